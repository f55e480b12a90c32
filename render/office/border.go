package office

import (
	"strconv"

	"barover/render/drawing"
	"barover/solver/plane"
)

// fieldLetters name the rows of the border's fields; I and O would pass for figures.
const fieldLetters = "ABCDEFGHJKLMNPQRSTUVWXYZ"

// Border draws the frame with its centring marks and the reference letters and figures of the fields, after ISO 5457.
func Border(d *drawing.Drawing, f drawing.Box) {
	l := d.Layer("border", "Border")
	l.Draw(drawing.Rect(f.Min, f.Max), FrameLine, "")
	for _, m := range Marks(f) {
		l.Draw(drawing.Line(m.Min, m.Max), FrameLine, "")
	}
	w, h := f.Size()
	fields := func(n int, at func(t float64) (mark, from, to plane.Vec), name func(i int) string) {
		for i := range n {
			p, _, _ := at((float64(i) + 0.5) / float64(n))
			l.Write(p.Sub(plane.Vec{Y: 0.9}), drawing.Middle, zoneText, name(i))
			if i > 0 {
				_, a, b := at(float64(i) / float64(n))
				l.Draw(drawing.Line(a, b), ThinLine, "")
			}
		}
	}
	count := func(length float64) int { return max(2, 2*int(length/100+0.5)) }
	figure := func(i int) string { return strconv.Itoa(i + 1) }
	letter := func(i int) string { return fieldLetters[i%len(fieldLetters) : i%len(fieldLetters)+1] }
	for _, y := range []float64{f.Max.Y, f.Min.Y - 5} {
		fields(count(w), func(t float64) (plane.Vec, plane.Vec, plane.Vec) {
			x := f.Min.X + t*w
			return plane.Vec{X: x, Y: y + 2.5}, plane.Vec{X: x, Y: y}, plane.Vec{X: x, Y: y + 5}
		}, figure)
	}
	for _, x := range []float64{f.Min.X - 5, f.Max.X} {
		fields(count(h), func(t float64) (plane.Vec, plane.Vec, plane.Vec) {
			y := f.Max.Y - t*h
			return plane.Vec{X: x + 2.5, Y: y}, plane.Vec{X: x, Y: y}, plane.Vec{X: x + 5, Y: y}
		}, letter)
	}
}

// Marks are the centring marks of a border, each from outside it into the sheet. The lowest ends at the border: the title block may
// stand there.
func Marks(f drawing.Box) []drawing.Box {
	c := f.Centre()
	return []drawing.Box{
		{Min: plane.Vec{X: c.X, Y: f.Max.Y - Mark}, Max: plane.Vec{X: c.X, Y: f.Max.Y + Mark}}, {Min: plane.Vec{X: c.X, Y: f.Min.Y - Mark}, Max: plane.Vec{X: c.X, Y: f.Min.Y}},
		{Min: plane.Vec{X: f.Min.X - Mark, Y: c.Y}, Max: plane.Vec{X: f.Min.X + Mark, Y: c.Y}}, {Min: plane.Vec{X: f.Max.X - Mark, Y: c.Y}, Max: plane.Vec{X: f.Max.X + Mark, Y: c.Y}}}
}
