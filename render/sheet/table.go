package sheet

import (
	"strconv"

	"barover/render/drawing"
	"barover/solver/plane"
)

// column is a column of a table.
type column struct {
	head string
	end  bool // figures stand to the right
	most bool // it takes the room that the others leave
}

// tableRow is a row of a table; bad is what does not hold.
type tableRow struct {
	cells []string
	bad   bool
}

// answerColumns are those of the table of answers.
var answerColumns = []column{{head: "line"}, {head: "what the sketch asks", most: true}, {head: "least", end: true}, {head: "where"},
	{head: "answer"}, {head: "how sure"}}

// widths are as wide as what stands in each column asks, at most a third of the table for any but the one that takes the
// rest.
func widths(columns []column, rows []tableRow, total float64) []float64 {
	w := make([]float64, len(columns))
	rest, most := total, 0
	for i, c := range columns {
		if c.most {
			most = i
			continue
		}
		w[i] = bold18.Width(c.head)
		for _, r := range rows {
			w[i] = max(w[i], bold18.Width(r.cells[i]))
		}
		w[i] = min(w[i]+4, total/3)
		rest -= w[i]
	}
	w[most] = max(rest, total/5)
	return w
}

// drawTable draws a head and the rows from the top of the box down, and returns where the last row ends.
func drawTable(l *drawing.Layer, b drawing.Box, columns []column, rows []tableRow) float64 {
	l.Draw(drawing.Rect(b.Min, b.Max), blockLine, "")
	total, _ := b.Size()
	wide := widths(columns, rows, total)
	y := b.Max.Y - rowHigh
	row := func(style *drawing.TextStyle, text func(i int) string) {
		x := b.Min.X
		for i, c := range columns {
			t := style.FitPair(text(i), wide[i]-1.5)
			if c.end {
				l.Write(plane.Vec{X: x + wide[i] - 2, Y: y + 1.4}, drawing.End, style, t)
			} else {
				l.Write(plane.Vec{X: x + 1, Y: y + 1.4}, drawing.Start, style, t)
			}
			x += wide[i]
		}
	}
	row(bold18, func(i int) string { return columns[i].head })
	l.Draw(drawing.Line(plane.Vec{X: b.Min.X, Y: y}, plane.Vec{X: b.Max.X, Y: y}), thinLine, "")
	for _, r := range rows {
		style := text18
		if r.bad {
			style = plainRed
		}
		y -= rowHigh
		row(style, func(i int) string { return r.cells[i] })
		l.Draw(drawing.Line(plane.Vec{X: b.Min.X, Y: y}, plane.Vec{X: b.Max.X, Y: y}), rowLine, "")
	}
	return y
}

// tableOn draws on the sheet as much of a table as there is room for.
func (v *view) tableOn(columns []column, rows []tableRow, all int, whole string) {
	if v.l.table.Empty() {
		return
	}
	l := v.d.Layer("answers", "Answers")
	last := drawTable(l, v.l.table, columns, rows[:v.l.rows])
	if n := all - v.l.rows; n > 0 {
		l.Write(plane.Vec{X: v.l.table.Min.X + 2, Y: last - rowHigh + 1.4}, drawing.Start, text18,
			"and "+strconv.Itoa(n)+" more; all stand on the sheet of "+whole)
	}
}

// answersOn draws the table of answers.
func (v *view) answersOn() {
	list := v.answers()
	v.tableOn(answerColumns, v.answerRows(brief(list)), len(list), "answers")
}

// answerSection is the section of all answers; nothing is in it where they stand on the overlay.
func (s *scene) answerSection(l layout) section {
	list := s.answers()
	if l.rows >= len(list) {
		list = nil
	}
	word := ""
	if k := s.apart(); k > 0 {
		word = strconv.Itoa(k) + " pairs more never pass one another, or lie apart across the engine: nothing to measure"
	}
	t := tabled{n: len(list), wide: blockWide - 10, heads: answerColumns, word: word}
	t.rows = func(v *view, from, to int) []tableRow { return v.answerRows(list[from:to]) }
	return t.section("What the sketch asks, and the answers", "answers")
}

// tabled is a section of n rows of a table, in columns side by side of at least a width, mm.
type tabled struct {
	n     int
	wide  float64
	heads []column
	rows  func(v *view, from, to int) []tableRow
	word  string // a last one, or ""
}

// fewRows is with how many rows a table is not begun at the foot of a sheet.
const fewRows = 5

// section makes a section of a table.
func (t tabled) section(kind, short string) section {
	next := 0
	return section{kind: kind, short: short, left: func() bool { return next < t.n },
		deal: func(wide, high, whole float64) (p piece, ok bool) {
			columns := int(max(1, wide/t.wide))
			most := int(high/rowHigh) - 2 // but for the heads and a last word
			if high < whole && most < min(fewRows, (t.n-next+columns-1)/columns) {
				return p, false
			}
			from := next
			next = min(t.n, next+columns*max(1, most))
			to := next
			each := (to - from + columns - 1) / columns
			p.least = float64(each+1) * rowHigh
			if to == t.n && t.word != "" {
				p.least += rowHigh
			}
			p.draw = func(v *view, box drawing.Box) { t.draw(v, box, from, to, columns, each) }
			return p, true
		}}
}

// draw draws the rows from one to another in so many columns of so many.
func (t tabled) draw(v *view, box drawing.Box, from, to, columns, each int) {
	layer := v.d.Layer("answers", "Answers")
	rows := t.rows(v, from, to)
	for k, b := range panels(box, columns, 1) {
		part := rows[min(len(rows), k*each):min(len(rows), (k+1)*each)]
		if len(part) == 0 {
			break
		}
		b.Min.Y = b.Max.Y - float64(len(part)+1)*rowHigh
		drawTable(layer, b, t.heads, part)
	}
	if to == t.n && t.word != "" {
		layer.Write(plane.Vec{X: box.Min.X + 1, Y: box.Max.Y - float64(each+2)*rowHigh + 1}, drawing.Start, text18, t.word)
	}
}

// answerRows puts answers in words, as rows of answerColumns.
func (v *view) answerRows(list []answer) (rows []tableRow) {
	for i := range list {
		a := &list[i]
		v.say(a, v.w)
		rows = append(rows, tableRow{cells: []string{a.line, a.asks, a.figure, a.where, a.State.String(), a.sure}, bad: !a.Finding.OK})
	}
	return rows
}
