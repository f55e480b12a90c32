package office

import (
	"math"

	"barover/render/drawing"
	"barover/solver/plane"
)

// Ruler draws a length from a along u with n divisions on one side of the line, 1 to the left of the way and -1 to its
// right, and its name so far along.
func Ruler(l *drawing.Layer, a, u plane.Vec, length float64, n int, name string, side, along float64) {
	p := drawing.Line(a, a.Add(u.Scale(length)))
	across := u.Turned()
	for i := range n + 1 {
		tick := 1.0
		if i == 0 || i == n {
			tick = 2.2
		}
		at := a.Add(u.Scale(length * float64(i) / float64(n)))
		p = append(p, drawing.Line(at, at.Add(across.Scale(side*tick)))...)
	}
	l.Draw(p, ThinLine, "check length "+name)
	off := 1.4
	if side < 0 {
		off = -off - label.Height
	}
	t := drawing.Text{At: a.Add(u.Scale(length * along)).Add(across.Scale(off)), Anchor: drawing.Middle, Style: label, S: name}
	if u.Y != 0 {
		t.Angle = math.Pi / 2
	}
	l.Items = append(l.Items, t)
}
