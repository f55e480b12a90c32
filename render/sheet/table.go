package sheet

import (
	"strconv"

	"barover/render/drawing"
	"barover/solver/plane"
)

// column is a column of the table of answers.
type column struct {
	head string
	of   func(a *answer) string
	end  bool // figures stand to the right
}

var columns = []column{
	{"line", func(a *answer) string { return a.line }, false},
	{"what the sketch asks", func(a *answer) string { return a.asks }, false},
	{"least", func(a *answer) string { return a.figure }, true},
	{"where", func(a *answer) string { return a.where }, false},
	{"answer", func(a *answer) string { return a.verdict }, false},
	{"how sure", func(a *answer) string { return a.sure }, false},
}

// asksColumn takes the room that the others leave.
const asksColumn = 1

// widths are as wide as what stands in each column asks, at most a third of the table for any but asksColumn.
func widths(list []answer, total float64) []float64 {
	w := make([]float64, len(columns))
	rest := total
	for i, c := range columns {
		if i == asksColumn {
			continue
		}
		w[i] = bold18.Width(c.head)
		for k := range list {
			w[i] = max(w[i], bold18.Width(c.of(&list[k])))
		}
		w[i] = min(w[i]+4, total/3)
		rest -= w[i]
	}
	w[asksColumn] = max(rest, total/5)
	return w
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

// answerSheets tells how many sheets all answers need, none where they stand on the overlay, and makes each: tables side by
// side where the paper is wide enough.
func (s *scene) answerSheets(l layout) (int, func(o Options, i int) *drawing.Drawing) {
	list := s.answers()
	wide, high := roomOf(l).Size()
	high -= 2 * rowHigh // for a last word
	columns := int(max(1, wide/(blockWide-10)))
	column := max(1, int(high/rowHigh)-1)
	each := columns * column
	n := (len(list) + each - 1) / each
	if l.rows >= len(list) {
		n = 0
	}
	return n, func(o Options, i int) *drawing.Drawing {
		p := newPage(&o, l, "What the sketch asks, and the answers", "–")
		v := &view{scene: s, o: &o, w: o.Words}
		layer := p.d.Layer("answers", "Answers")
		part := list[i*each : min(len(list), (i+1)*each)]
		for k, box := range panels(p.room, columns, 1) {
			rows := part[min(len(part), k*column):min(len(part), (k+1)*column)]
			if len(rows) == 0 {
				break
			}
			box.Min.Y = box.Max.Y - float64(len(rows)+1)*rowHigh
			v.rows(layer, box, rows)
		}
		if k := s.apart(); k > 0 && i == n-1 {
			layer.Write(plane.Vec{X: p.room.Min.X + 1, Y: p.room.Min.Y + 1}, drawing.Start, text18,
				strconv.Itoa(k)+" pairs more never pass one another, or lie apart across the engine: nothing to measure")
		}
		return p.d
	}
}

// rows draws a head and a row an answer from the top of the box down, and returns where the last row ends.
func (v *view) rows(l *drawing.Layer, b drawing.Box, list []answer) float64 {
	for i := range list {
		v.say(&list[i], v.w)
	}
	l.Draw(drawing.Rect(b.Min, b.Max), blockLine, "")
	total, _ := b.Size()
	wide := widths(list, total)
	y := b.Max.Y - rowHigh
	row := func(style *drawing.TextStyle, text func(c *column) string) {
		x := b.Min.X
		for i := range columns {
			c := &columns[i]
			t := style.Fit(text(c), wide[i]-1.5)
			if c.end {
				l.Write(plane.Vec{X: x + wide[i] - 2, Y: y + 1.4}, drawing.End, style, t)
			} else {
				l.Write(plane.Vec{X: x + 1, Y: y + 1.4}, drawing.Start, style, t)
			}
			x += wide[i]
		}
	}
	row(bold18, func(c *column) string { return c.head })
	l.Draw(drawing.Line(plane.Vec{X: b.Min.X, Y: y}, plane.Vec{X: b.Max.X, Y: y}), thinLine, "")
	for i := range list {
		style := text18
		if !list[i].finding.OK {
			style = plainRed
		}
		y -= rowHigh
		row(style, func(c *column) string { return c.of(&list[i]) })
		l.Draw(drawing.Line(plane.Vec{X: b.Min.X, Y: y}, plane.Vec{X: b.Max.X, Y: y}), rowLine, "")
	}
	return y
}
