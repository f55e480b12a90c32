package office

import (
	"barover/render/drawing"
	"barover/solver/plane"
)

var (
	stampBox  = &drawing.Style{Name: "stamp", Width: 0.7, Line: drawing.Continuous, Stroke: red, Fill: white}
	stampHead = &drawing.TextStyle{Name: "stamp-head", Height: 7, Colour: red, Bold: true}
	stampText = &drawing.TextStyle{Name: "stamp-text", Height: 2.5, Colour: red}
)

// Stamp returns the drawing stamped as out of date; text says why: "line 12: …". The drawing itself is not changed.
func Stamp(d *drawing.Drawing, text string) *drawing.Drawing {
	return d.Over(StampLayer(d.Width, d.Height, text))
}

// StampLayer is the stamp on a sheet of that size, mm: a box across its upper part, which cannot be overlooked and yet
// leaves most of the picture to be seen.
func StampLayer(width, height float64, text string) *drawing.Layer {
	l := &drawing.Layer{ID: "stamp", Title: "Out of date"}
	wide := max(20, min(width-60, 170))
	lines := stampText.Wrap(text, wide-10)
	if len(lines) > 4 {
		lines = append(lines[:3], "…")
	}
	for i := range lines {
		lines[i] = stampText.Fit(lines[i], wide-10)
	}
	high := 14 + 4.5*float64(len(lines))
	a := plane.Vec{X: (width - wide) / 2, Y: height - 16 - high}
	b := a.Add(plane.Vec{X: wide, Y: high})
	in := plane.Vec{X: 1.2, Y: 1.2}
	l.Draw(drawing.Rect(a, b), stampBox, "out of date: "+text)
	l.Draw(drawing.Rect(a.Add(in), b.Sub(in)), ThinLine, "")
	l.Write(plane.Vec{X: width / 2, Y: b.Y - 10.5}, drawing.Middle, stampHead, "OUT OF DATE")
	for i, t := range lines {
		l.Write(plane.Vec{X: width / 2, Y: b.Y - 15 - 4.5*float64(i)}, drawing.Middle, stampText, t)
	}
	return l
}
