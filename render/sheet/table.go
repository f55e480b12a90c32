package sheet

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"barover/render/drawing"
	"barover/render/office"
	"barover/solver"
	"barover/solver/plane"
)

// answerColumns are the columns of the table of answers; the last is there if the table has the whole width of a sheet.
var answerColumns = []office.Column{{Head: ""}, {Head: "what the sketch asks", Most: true}, {Head: "asked"}, {Head: "worst", End: true}, {Head: "where"},
	{Head: "answer"}, {Head: "line"}}

// tabulated is a table of the engine, or of the change.
type tabulated struct {
	office.Table                       // the rows that may be on the overlay
	all          int                   // number of rows in all
	whole        string                // what stands where all of them are
	rest         func(rows int) string // how many of the others than the first so many come out how
}

// table is the table of answers, or of what changed.
func (b *both) table() tabulated {
	if b.changes() {
		rows := b.rows()
		rest := func(shown int) string {
			short := 0
			for _, r := range rows[shown:] {
				if r.Bad {
					short++
				}
			}
			return countOf(short, " does not hold", " do not hold")
		}
		return tabulated{office.Table{Columns: changeColumns, Rows: rows}, len(rows), "all stand on the sheet of what changed", rest}
	}
	list := b.is.answers()
	told := brief(list)
	rest := func(shown int) string {
		on := map[*solver.Finding]bool{}
		for _, a := range told[:shown] {
			on[a.Finding] = true
		}
		return tally(slices.DeleteFunc(slices.Clone(list), func(a answer) bool { return on[a.Finding] }))
	}
	whole := "all"
	if _, far := rows(list); far > 0 {
		whole += " but " + strconv.Itoa(far) + " with much room"
	}
	return tabulated{office.Table{Columns: answerColumns[:len(answerColumns)-1], Rows: b.is.answerRows(told, b.words)}, len(list),
		whole + " stand on the sheet of answers", rest}
}

// tableOn draws as much of the table on the overlay as there is room for.
func (v *bothView) tableOn() {
	l := &v.now.l
	if l.table.Empty() {
		return
	}
	t := v.table()
	layer := v.now.d.Layer("answers", "Answers")
	last := t.Part(0, l.rows).Draw(layer, l.table, office.RowHigh)
	if n := t.all - l.rows; n > 0 {
		words := "and " + strconv.Itoa(n) + " more"
		if rest := t.rest(l.rows); rest != "" {
			words += " (" + rest + ")"
		}
		wide, _ := l.table.Size()
		layer.Write(plane.Vec{X: l.table.Min.X + 2, Y: last - office.RowHigh + 1.4}, drawing.Start, text25,
			text25.Fit(words+"; "+t.whole, wide-4))
	}
}

// answerSection is the section of all answers; it is empty where they are on the overlay.
func (b *both) answerSection(l layout) section {
	list := b.is.answers()
	told, far := rows(list)
	if l.rows >= len(list) {
		told = nil
	}
	var words []string
	if far > 0 {
		words = append(words, counted(far, " pair more holds", " pairs more hold")+" by "+strconv.Itoa(roomy)+" times what is asked, proved, or by more")
	}
	if k := b.is.apart(); k > 0 {
		words = append(words, counted(k, " pair more never passes", " pairs more never pass")+" in the side view or across the engine: nothing to measure")
	}
	words = append(words, stateKey(told))
	t := tabled{office.Table{Columns: answerColumns, Rows: b.is.answerRows(told, b.words)}, words}
	s := t.section(whatIsAsked+", and the answers", "answers")
	s.first = &b.answersOn
	return s
}

// whatIsAsked heads what tells of the answers.
const whatIsAsked = "What the sketch asks"

// verdict is how many answers came out how, and the sheet on which they stand; "" where the overlay has their table.
func (v *bothView) verdict() string {
	list := v.is.answers()
	if len(list) == 0 || v.now.l.rows > 0 {
		return ""
	}
	text := whatIsAsked + ": " + tally(list)
	if v.answersOn > 0 {
		text += "; see sheet " + strconv.Itoa(v.answersOn)
	}
	return text
}

// tally is how many answers came out how: "2 checks foul, 1 falls short, 40 hold", "all 40 hold", "both hold".
func tally(list []answer) string {
	var fouls, short, seen, hold int
	for i := range list {
		switch a := &list[i]; {
		case a.State == solver.Fouls:
			fouls++
		case !a.OK:
			short++
		case a.State == solver.HoldsProved:
			hold++
		default:
			seen++
		}
	}
	words := []string{countOf(fouls, " check fouls", " checks foul"), countOf(short, " falls short", " fall short"), countOf(seen, " not proved", " not proved"),
		countOf(hold, " holds", " hold")}
	if words = slices.DeleteFunc(words, func(s string) bool { return s == "" }); len(list) > 1 && len(words) == 1 {
		if one, two := strings.CutPrefix(words[0], "2"); two && len(list) == 2 {
			return "both" + one
		}
		return "all " + words[0]
	}
	return strings.Join(words, ", ")
}

// countOf is counted, or "" for none.
func countOf(n int, one, many string) string {
	if n == 0 {
		return ""
	}
	return counted(n, one, many)
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

// answerRows puts answers in words, as rows of answerColumns.
func (s *scene) answerRows(list []answer, w Words) (rows []office.Row) {
	for i := range list {
		a := &list[i]
		s.say(a, w)
		rows = append(rows, office.Row{Cells: []string{"", a.title(), a.asked, a.figure, a.where, a.state, a.line}, Bad: !a.OK, Flag: a.no})
	}
	return rows
}

// tabled is a section of the rows of a table, in columns side by side where that saves a sheet.
type tabled struct {
	office.Table
	words []string // below the last row
}

// fewRows is the least number of rows at the foot of a sheet with which a table begins there.
const fewRows = 5

// stand is the arrangement of rows on a sheet: from one up to another, in columns, with that height for a row of one
// line.
type stand struct {
	from, to, columns int
	row               float64
}

// each is the number of rows in a column.
func (a *stand) each() int { return (a.to - a.from + a.columns - 1) / a.columns }

// section makes a section of a table.
func (t tabled) section(kind, short string) section {
	next, lines := 0, map[float64][]int{}
	return section{kind: kind, short: short, left: func() bool { return next < len(t.Rows) },
		deal: func(wide, high, whole float64) (p piece, ok bool) {
			if lines[wide] == nil {
				lines[wide] = t.Lines(wide)
			}
			of := lines[wide]
			a, all := t.fitting(of, next, wide, high)
			if !all {
				_, alone := t.fitting(of, next, wide, whole)
				a = t.filling(of, next, wide, high, whole)
				if high < whole && (alone || a.to-a.from < fewRows) {
					return p, false
				}
			}
			next = a.to
			p.least = t.high(of, a, wide)
			p.draw = func(v *view, box drawing.Box) { t.draw(v, box, a) }
			return p, true
		}}
}

// fitting is the arrangement of the rows from one on in a room, with the words below them; false where they have no room.
func (t tabled) fitting(lines []int, from int, wide, high float64) (stand, bool) {
	for _, row := range []float64{office.RowHigh, office.RowLow} {
		for _, columns := range []int{1, t.abreast(wide)} {
			if a := (stand{from, len(t.Rows), columns, row}); t.high(lines, a, wide) <= high {
				return a, true
			}
		}
	}
	return stand{}, false
}

// filling is as many of the rows from one on as have room where not all have, low where that saves a sheet. The last row
// is left for another sheet, so that the words below it have a row above them.
func (t tabled) filling(lines []int, from int, wide, high, whole float64) (a stand) {
	columns, rest := t.abreast(wide), float64(len(t.Rows)-from)
	sheets := func(row float64) float64 { return math.Ceil(rest / float64(columns*max(1, int(whole/row)-1))) }
	a = stand{from, from + 1, columns, office.RowHigh}
	if sheets(office.RowLow) < sheets(office.RowHigh) {
		a.row = office.RowLow
	}
	for more := a; more.to < len(t.Rows); more.to++ {
		if t.high(lines, more, wide) > high {
			break
		}
		a = more
	}
	return a
}

// abreast is how many columns of the whole table have room side by side.
func (t tabled) abreast(wide float64) int { return max(1, int((wide+panelGap)/(t.Wide()+panelGap))) }

// high is the height of rows with their heads, and with the words below the last.
func (t tabled) high(lines []int, a stand, wide float64) (high float64) {
	for k := range a.columns {
		column := a.row
		for i := a.from + k*a.each(); i < min(a.to, a.from+(k+1)*a.each()); i++ {
			n := 1
			if a.columns == 1 {
				n = lines[i]
			}
			column += office.High(n, a.row)
		}
		high = max(high, column)
	}
	if a.to == len(t.Rows) {
		high += t.wordsHigh(wide)
	}
	return high
}

// draw draws rows.
func (t tabled) draw(v *view, box drawing.Box, a stand) {
	layer := v.d.Layer("answers", "Answers")
	foot, full := box.Max.Y, t.Full()
	for k, b := range box.Panels(a.columns, 1, panelGap) {
		b.Max.X = min(b.Max.X, b.Min.X+full)
		from := min(a.to, a.from+k*a.each())
		if to := min(a.to, from+a.each()); from < to {
			b.Min.Y = b.Max.Y
			foot = min(foot, t.Part(from, to).Draw(layer, b, a.row))
		}
	}
	if a.to == len(t.Rows) {
		wide, _ := box.Size()
		for i, line := range t.wrapped(wide) {
			layer.Write(plane.Vec{X: box.Min.X + 1, Y: foot - 4 - 4*float64(i)}, drawing.Start, text25, text25.Fit(line, wide-2))
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

// wordsHigh is the height of the last words, mm.
func (t tabled) wordsHigh(wide float64) float64 {
	if n := len(t.wrapped(wide)); n > 0 {
		return 4*float64(n) + 2
	}
	return 0
}
