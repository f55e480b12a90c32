package sheet

import (
	"strconv"

	"barover/render/drawing"
	"barover/solver/plane"
)

// column is a column of the table of answers: how wide it is, mm, and what it holds.
type column struct {
	wide float64
	head string
	of   func(a *answer) string
	end  bool // figures stand to the right
}

var columns = []column{
	{10, "line", func(a *answer) string { return a.line }, false},
	{64, "what the sketch asks", func(a *answer) string { return a.asks }, false},
	{18, "least", func(a *answer) string { return a.figure }, true},
	{49, "where", func(a *answer) string { return a.where }, false},
	{25, "answer", func(a *answer) string { return a.verdict }, false},
	{14, "how sure", func(a *answer) string { return a.sure }, false},
}

// tableOn draws on the sheet as much of the table of answers as there is room for.
func (v *view) tableOn() {
	if v.l.table.Empty() {
		return
	}
	list := v.answers()
	l := v.d.Layer("answers", "Answers")
	last := v.rows(l, v.l.table, brief(list)[:v.l.rows])
	if n := len(list) - v.l.rows; n > 0 {
		l.Write(plane.Vec{X: v.l.table.Min.X + 2, Y: last - rowHigh + 1.4}, drawing.Start, text18,
			"and "+strconv.Itoa(n)+" more; all stand on the sheet of answers")
	}
}

// rows draws a head and a row an answer from the top of the box down, and returns where the last row ends.
func (v *view) rows(l *drawing.Layer, b drawing.Box, list []answer) float64 {
	l.Draw(drawing.Rect(b.Min, b.Max), blockLine, "")
	width, _ := b.Size()
	stretch := width / blockWide
	y := b.Max.Y - rowHigh
	x := b.Min.X
	for _, c := range columns {
		if w := c.wide * stretch; c.end {
			l.Write(plane.Vec{X: x + w - 2, Y: y + 1.4}, drawing.End, bold18, c.head)
		} else {
			l.Write(plane.Vec{X: x + 1, Y: y + 1.4}, drawing.Start, bold18, c.head)
		}
		x += c.wide * stretch
	}
	l.Draw(drawing.Line(plane.Vec{X: b.Min.X, Y: y}, plane.Vec{X: b.Max.X, Y: y}), thinLine, "")
	for i := range list {
		a := &list[i]
		v.say(a, v.w)
		style := text18
		if !a.finding.OK {
			style = plainRed
		}
		y -= rowHigh
		x = b.Min.X
		for _, c := range columns {
			w := c.wide * stretch
			text := style.Fit(c.of(a), w-1.5)
			if c.end {
				l.Write(plane.Vec{X: x + w - 2, Y: y + 1.4}, drawing.End, style, text)
			} else {
				l.Write(plane.Vec{X: x + 1, Y: y + 1.4}, drawing.Start, style, text)
			}
			x += w
		}
		l.Draw(drawing.Line(plane.Vec{X: b.Min.X, Y: y}, plane.Vec{X: b.Max.X, Y: y}), rowLine, "")
	}
	return y
}
