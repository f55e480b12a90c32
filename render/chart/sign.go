package chart

import (
	"math"

	"barover/render/drawing"
	"barover/solver/plane"
)

// Sign is places that are shown by one sign, named in the key.
type Sign struct {
	Name  string
	Shape SignShape
	At    []plane.Vec
}

// SignShape is the shape of a sign. Each differs from the others in its outline alone, in black and white.
type SignShape uint8

// signShapes is how many there are before they come again.
const signShapes = 12

// signSize is half of the height of a sign, mm.
const signSize = 1.25

var (
	signOpen = &drawing.Style{Name: "sign", Width: 0.25, Line: drawing.Continuous, Stroke: black, Fill: drawing.RGB(0xffffff)}
	signFull = &drawing.Style{Name: "sign-full", Width: 0.25, Line: drawing.Continuous, Stroke: black, Fill: black}
	signLine = &drawing.Style{Name: "sign-line", Width: 0.5, Line: drawing.Continuous, Stroke: black}
)

// corners are the shapes with straight sides: how many corners, and where the first stands, rad.
var corners = []struct {
	n    int
	from float64
}{{4, math.Pi / 4}, {3, math.Pi / 2}, {4, 0}, {3, -math.Pi / 2}}

// draw draws one sign about p: rounds, squares, triangles, diamonds, triangles on their heads, each open and full, and at
// last crosses.
func (s SignShape) draw(l *drawing.Layer, p plane.Vec, label string) {
	k, style := int(s%signShapes), signOpen
	if k%2 == 1 {
		style = signFull
	}
	switch k /= 2; {
	case k == 0:
		l.Draw(drawing.Circle(p, signSize), style, label)
	case k <= len(corners):
		c := corners[k-1]
		var run []plane.Vec
		for i := range c.n {
			sin, cos := math.Sincos(c.from + 2*math.Pi*float64(i)/float64(c.n))
			run = append(run, p.Add(plane.Vec{X: cos, Y: sin}.Scale(signSize*1.25)))
		}
		l.Draw(drawing.Polyline(run, true), style, label)
	default:
		turn := plane.Vec{X: signSize}
		if s%2 == 1 {
			turn = plane.Vec{X: signSize, Y: signSize}.Scale(math.Sqrt2 / 2)
		}
		up := turn.Turned()
		l.Draw(append(drawing.Line(p.Sub(turn), p.Add(turn)), drawing.Line(p.Sub(up), p.Add(up))...), signLine, label)
	}
}

// signs draws the signs that stand within the field.
func (f field) signs(l *drawing.Layer, signs []Sign) {
	for _, g := range signs {
		for _, v := range g.At {
			if p := f.at(v); f.box.Grown(-signSize).Holds(p) {
				g.Shape.draw(l, p, g.Name)
			}
		}
	}
}
