package office

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"barover/render/drawing"
	"barover/solver/plane"
)

// Column is a column of a table.
type Column struct {
	Head string
	End  bool // figures stand to the right
	Most bool // it takes the room that the others leave, and stands in several lines where it is too narrow
}

// Row is a row of a table; Bad is what does not hold. What stands behind a tab in a cell is left out where it has no room.
type Row struct {
	Cells []string
	Bad   bool
	Flag  int // drawn in the first cell; 0 for none
}

// Table is a head and rows.
type Table struct {
	Columns []Column
	Rows    []Row
	whole   []float64 // of what it is a part: how wide each column must be
}

// Part is the table with the rows from one up to another alone, its columns as wide as the whole asks.
func (t *Table) Part(from, to int) *Table {
	return &Table{Columns: t.Columns, Rows: t.Rows[from:to], whole: t.least()}
}

// Heights of rows, mm: as they stand, as low as they are made where that saves a sheet, and each further line of a cell.
const (
	RowHigh  = 5.2
	RowLow   = 4.2
	lineHigh = 3.6
)

// cellRoom is what a cell has beside its words, mm.
const cellRoom = 4.0

// least is how wide each column must be for its words, mm.
func (t *Table) least() []float64 {
	if t.whole != nil {
		return t.whole
	}
	return t.asks(func(cell string) string {
		first, _, _ := strings.Cut(cell, "\t")
		return first
	})
}

// Full is how wide the table is with all of every cell in one line, mm: wider, its words would stand far apart.
func (t *Table) Full() (sum float64) {
	for _, w := range t.asks(func(cell string) string { return strings.Replace(cell, "\t", "", 1) }) {
		sum += w
	}
	return sum
}

// asks is how wide each column must be for what is taken of its cells, mm.
func (t *Table) asks(taken func(cell string) string) []float64 {
	w := make([]float64, len(t.Columns))
	for i, c := range t.Columns {
		w[i] = Bold25.Width(c.Head)
		for _, r := range t.Rows {
			w[i] = max(w[i], r.style().Width(taken(r.Cells[i])))
			if r.Flag > 0 && i == 0 {
				w[i] = max(w[i], FlagWide-3)
			}
		}
		w[i] += cellRoom
	}
	return w
}

func (r *Row) style() *drawing.TextStyle {
	if r.Bad {
		return Bold25
	}
	return Text25
}

// Wide is how wide the table is with every cell in one line, mm, except for what may be left out.
func (t *Table) Wide() (sum float64) {
	for _, w := range t.least() {
		sum += w
	}
	return sum
}

// widths are the columns of a table that is so wide: as their words ask, and the one that takes what is left at least a fifth of it.
// Where there is not that much, the others give way in proportion.
func (t *Table) widths(total float64) []float64 {
	w := slices.Clone(t.least())
	others, most := 0.0, 0
	for i, c := range t.Columns {
		if c.Most {
			most = i
		} else {
			others += w[i]
		}
	}
	if room := total * (1 - leastMost); others > room {
		for i := range w {
			w[i] *= room / others
		}
		others = room
	}
	w[most] = total - others
	return w
}

// leastMost is the share of a table that the column has at least which takes what the others leave.
const leastMost = 0.2

// words are what stands in a cell so wide. Only the column that takes what is left has several lines.
func (t *Table) words(r *Row, i int, wide float64) []string {
	most := 1
	if t.Columns[i].Most {
		most = mostLines
	}
	return Wrapped(r.style(), r.Cells[i], wide-2, most)
}

// mostLines bounds the lines of a cell.
const mostLines = 4

// Wrapped is a text in so many lines at most, none longer than so many mm. What stands behind a tab is left out where it does not stand
// in one line with what is before it; what has no room even so is cut in its middle, where names differ least.
func Wrapped(s *drawing.TextStyle, text string, wide float64, most int) []string {
	first, rest, _ := strings.Cut(text, "\t")
	switch {
	case s.Width(first+rest) <= wide:
		return []string{first + rest}
	case s.Width(first) <= wide || most == 1:
		return []string{s.FitPair(first, wide)}
	}
	lines := s.Wrap(first, wide)
	if len(lines) > most {
		lines = append(lines[:most-1], strings.Join(lines[most-1:], " "))
	}
	for i := range lines {
		lines[i] = s.FitMiddle(lines[i], wide)
	}
	return lines
}

// Lines is how many lines each row takes in a table so wide.
func (t *Table) Lines(wide float64) (lines []int) {
	w := t.widths(wide)
	for k := range t.Rows {
		n := 1
		for i := range t.Columns {
			n = max(n, len(t.words(&t.Rows[k], i, w[i])))
		}
		lines = append(lines, n)
	}
	return lines
}

// High is how high a row of so many lines stands, mm, where one of one line stands so high.
func High(lines int, row float64) float64 { return row + lineHigh*float64(max(0, lines-1)) }

// Draw draws the table from the top of the box down, a row of one line so high, and returns where the last row ends.
func (t *Table) Draw(l *drawing.Layer, b drawing.Box, high float64) float64 {
	total, _ := b.Size()
	wide := t.widths(total)
	y := b.Max.Y
	line := func(style *drawing.TextStyle, n int, words func(i int) []string) {
		x, top := b.Min.X, y
		y -= High(n, high)
		for i, c := range t.Columns {
			for k, s := range words(i) {
				at := plane.Vec{X: x + 1, Y: top - (high+style.Height)/2 - lineHigh*float64(k)}
				anchor := drawing.Start
				if c.End {
					anchor, at.X = drawing.End, at.X+wide[i]-3
				}
				l.Write(at, anchor, style, s)
			}
			x += wide[i]
		}
	}
	line(Bold25, 1, func(i int) []string { return []string{Bold25.Fit(t.Columns[i].Head, wide[i]-1)} })
	l.Draw(drawing.Line(plane.Vec{X: b.Min.X, Y: y}, plane.Vec{X: b.Max.X, Y: y}), ThinLine, "")
	for k, n := range t.Lines(total) {
		r := &t.Rows[k]
		if r.Flag > 0 {
			Flag(l, plane.Vec{X: b.Min.X + wide[0]/2, Y: y - high/2}, r.Flag)
		}
		line(r.style(), n, func(i int) []string { return t.words(r, i, wide[i]) })
		l.Draw(drawing.Line(plane.Vec{X: b.Min.X, Y: y}, plane.Vec{X: b.Max.X, Y: y}), RowLine, "")
	}
	l.Draw(drawing.Rect(plane.Vec{X: b.Min.X, Y: math.Min(y, b.Min.Y)}, b.Max), BlockLine, "")
	return y
}

// FlagWide is the room that a flag takes along a line of text, mm.
const FlagWide = 6.0

// Flag draws the number of what does not hold, light on a dark disc. It stands at the place itself and before the row of the
// table, so that each leads to the other, in grey as well.
func Flag(l *drawing.Layer, at plane.Vec, no int) {
	s := strconv.Itoa(no)
	half := max(0, flagText.Width(s)/2+flagEdge-flagHigh/2) // of what is straight between the round ends
	a, b := at.Sub(plane.Vec{X: half}), at.Add(plane.Vec{X: half})
	up := plane.Vec{Y: flagHigh / 2}
	var p drawing.Path
	p.MoveTo(b.Sub(up))
	p.ArcTo(b, math.Pi, b.Add(up))
	p.LineTo(a.Add(up))
	p.ArcTo(a, math.Pi, a.Sub(up))
	p.Close()
	l.Draw(p, flagDisc, "")
	l.Write(at.Sub(plane.Vec{Y: flagText.Height / 2}), drawing.Middle, flagText, s)
}

// Sizes of a flag, mm: lower than the lowest row, and wider where its number is.
const (
	flagHigh = 4.0
	flagEdge = 0.6
)
