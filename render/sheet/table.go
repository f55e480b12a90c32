package sheet

import (
	"strconv"
	"strings"

	"barover/render/drawing"
	"barover/solver"
	"barover/solver/plane"
)

// column is a column of a table.
type column struct {
	head string
	end  bool // figures stand to the right
	most bool // it takes the room that the others leave
}

// tableRow is a row of a table; bad is what does not hold. What stands behind a tab in a cell is left out where it has no room.
type tableRow struct {
	cells []string
	bad   bool
	flag  int // drawn in the first cell; 0 for none
}

// answerColumns are those of the table of answers.
var answerColumns = []column{{head: ""}, {head: "what the sketch asks", most: true}, {head: "asked"}, {head: "least", end: true}, {head: "where"},
	{head: "answer"}, {head: "line"}}

// fitCell is what of a cell finds room.
func fitCell(s *drawing.TextStyle, cell string, most float64) string {
	first, rest, _ := strings.Cut(cell, "\t")
	if whole := first + rest; s.Width(whole) <= most {
		return whole
	}
	return s.FitPair(first, most)
}

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
		w[i] = max(flagWide-3, bold25.Width(c.head))
		for _, r := range rows {
			w[i] = max(w[i], bold25.Width(r.cells[i]))
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
			t := fitCell(style, text(i), wide[i]-2)
			if c.end {
				l.Write(plane.Vec{X: x + wide[i] - 2, Y: y + 1.4}, drawing.End, style, t)
			} else {
				l.Write(plane.Vec{X: x + 1, Y: y + 1.4}, drawing.Start, style, t)
			}
			x += wide[i]
		}
	}
	row(bold25, func(i int) string { return columns[i].head })
	l.Draw(drawing.Line(plane.Vec{X: b.Min.X, Y: y}, plane.Vec{X: b.Max.X, Y: y}), thinLine, "")
	for _, r := range rows {
		style := text25
		if r.bad {
			style = bold25
		}
		y -= rowHigh
		if r.flag > 0 {
			flag(l, plane.Vec{X: b.Min.X + wide[0]/2, Y: y + rowHigh/2}, r.flag)
		}
		row(style, func(i int) string { return r.cells[i] })
		l.Draw(drawing.Line(plane.Vec{X: b.Min.X, Y: y}, plane.Vec{X: b.Max.X, Y: y}), rowLine, "")
	}
	return y
}

// tabulated is what a table of the engine, or of the change, has.
type tabulated struct {
	columns []column
	rows    func(v *view) []tableRow // that may stand on the overlay
	counts  table
	whole   string // where all of it stands
}

// table is the table of answers, or of what changed.
func (b *both) table() tabulated {
	if b.changes() {
		rows := b.rows()
		return tabulated{changeColumns, func(*view) []tableRow { return rows }, table{len(rows), len(rows)}, "what changed"}
	}
	list := b.is.answers()
	short := brief(list)
	return tabulated{answerColumns, func(v *view) []tableRow { return v.answerRows(short) }, table{len(short), len(list)}, "answers"}
}

// wideTable is how wide a table of answers is that has every column, mm.
const wideTable = 220.0

// tableOn draws on the overlay as much of the table as there is room for.
func (v *bothView) tableOn() {
	l := &v.now.l
	if l.table.Empty() {
		return
	}
	t := v.table()
	if wide, _ := l.table.Size(); wide < wideTable && !v.changes() { // the line of the sketch stands on the sheet of answers
		t.columns = t.columns[:len(t.columns)-1]
	}
	layer := v.now.d.Layer("answers", "Answers")
	last := drawTable(layer, l.table, t.columns, t.rows(v.now)[:l.rows])
	if n := t.counts.all - l.rows; n > 0 {
		layer.Write(plane.Vec{X: l.table.Min.X + 2, Y: last - rowHigh + 1.4}, drawing.Start, text25,
			"and "+strconv.Itoa(n)+" more; all stand on the sheet of "+t.whole)
	}
}

// answerSection is the section of all answers; nothing is in it where they stand on the overlay.
func (s *scene) answerSection(l layout) section {
	list := s.answers()
	told, far := rows(list)
	if l.rows >= len(list) {
		told = nil
	}
	var words []string
	if far > 0 {
		words = append(words, counted(far, " pair more holds", " pairs more hold")+" by "+strconv.Itoa(roomy)+" times what is asked, proved, or by more")
	}
	if k := s.apart(); k > 0 {
		words = append(words, counted(k, " pair more never passes", " pairs more never pass")+" in the side view or across the engine: nothing to measure")
	}
	words = append(words, stateKey(told))
	t := tabled{n: len(told), wide: blockWide, heads: answerColumns, words: words}
	t.rows = func(v *view, from, to int) []tableRow { return v.answerRows(told[from:to]) }
	return t.section("What the sketch asks, and the answers", "answers")
}

// counted puts a number before words for one or for many.
func counted(n int, one, many string) string {
	if n == 1 {
		return "1" + one
	}
	return strconv.Itoa(n) + many
}

// stateKey explains the words of the states that are used.
func stateKey(list []answer) string {
	used := map[solver.State]bool{}
	for _, a := range list {
		used[a.State] = true
	}
	var words []string
	for s := solver.Fouls; s <= solver.LiesApart; s++ {
		if used[s] {
			words = append(words, s.String()+": "+s.Meaning())
		}
	}
	return strings.Join(words, "; ")
}

// tabled is a section of n rows of a table, in columns side by side of at least a width, mm.
type tabled struct {
	n     int
	wide  float64
	heads []column
	rows  func(v *view, from, to int) []tableRow
	words []string // below the last row
}

// fewRows is with how many rows a table is not begun at the foot of a sheet.
const fewRows = 5

// section makes a section of a table.
func (t tabled) section(kind, short string) section {
	next := 0
	return section{kind: kind, short: short, left: func() bool { return next < t.n },
		deal: func(wide, high, whole float64) (p piece, ok bool) {
			columns := int(max(1, wide/t.wide))
			most := t.whole(wide, high) // but for the heads and the last words
			if rest := (t.n - next + columns - 1) / columns; high < whole && most < rest && (most < fewRows || t.whole(wide, whole) >= rest) {
				return p, false // where a sheet of its own takes it whole, or would be begun at the foot of one
			}
			from := next
			next = min(t.n, next+columns*max(1, most))
			to := next
			each := (to - from + columns - 1) / columns
			p.least = float64(each+1) * rowHigh
			if to == t.n {
				p.least += t.wordsHigh(wide)
			}
			p.draw = func(v *view, box drawing.Box) { t.draw(v, box, from, to, columns, each) }
			return p, true
		}}
}

// whole is how many rows a column has on a sheet with nothing else.
func (t tabled) whole(wide, high float64) int { return int((high-t.wordsHigh(wide))/rowHigh) - 1 }

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
	if to == t.n {
		wide, _ := box.Size()
		for i, line := range t.wrapped(wide) {
			layer.Write(plane.Vec{X: box.Min.X + 1, Y: box.Max.Y - float64(each+1)*rowHigh - 4 - 4*float64(i)}, drawing.Start, text25, text25.Fit(line, wide-2))
		}
	}
}

// wrapped is the last words in lines.
func (t tabled) wrapped(wide float64) (lines []string) {
	for _, w := range t.words {
		lines = append(lines, text25.Wrap(w, wide-2)...)
	}
	return lines
}

// wordsHigh is how high the last words stand, mm.
func (t tabled) wordsHigh(wide float64) float64 {
	if n := len(t.wrapped(wide)); n > 0 {
		return 4*float64(n) + 2
	}
	return 0
}

// answerRows puts answers in words, as rows of answerColumns.
func (v *view) answerRows(list []answer) (rows []tableRow) {
	for i := range list {
		a := &list[i]
		v.say(a, v.w)
		what := a.called
		if a.about != "" {
			what += "\t: " + a.about
		}
		rows = append(rows, tableRow{cells: []string{"", what, a.asked, a.figure, a.where, a.state, a.line}, bad: !a.OK, flag: a.no})
	}
	return rows
}
