package sheet

import (
	"strconv"

	"barover/render/drawing"
	"barover/solver/plane"
)

// flagWide is the room that a flag takes along a line of text, mm.
const flagWide = 6.0

// flag draws the number of what does not hold, light on a dark disc. It stands at the place itself and before the row of the
// table, so that each leads to the other, in grey as well.
func flag(l *drawing.Layer, at plane.Vec, no int) {
	s := strconv.Itoa(no)
	r := max(2.2, flagText.Width(s)/2+0.6)
	l.Draw(drawing.Circle(at, r), flagDisc, "")
	l.Write(at.Sub(plane.Vec{Y: flagText.Height / 2}), drawing.Middle, flagText, s)
}
