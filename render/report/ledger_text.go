package report

import (
	"fmt"
	"slices"
	"strings"

	"barover/render/terminal"
	"barover/sketch"
	"barover/sketch/quantity"
)

// Text is the ledger as a table to read: what has to be made again, then what is made otherwise than asked, then what
// has a new size without being made, then the rest.
func (r *LedgerReport) Text(c terminal.Ink) string {
	var again, otherwise, follow, rest []*dimRecord
	for i := range r.Dims {
		switch d := &r.Dims[i]; {
		case d.Again:
			again = append(again, d)
		case d.differing:
			otherwise = append(otherwise, d)
		case d.follows:
			follow = append(follow, d)
		default:
			rest = append(rest, d)
		}
	}
	text := Title(r.e, "") + r.section(c, "To be made again", again) + r.section(c, "Made otherwise", otherwise) + r.followSection(follow)
	changedFirst(rest)
	if !r.asDrawn() {
		text += r.section(c, "Dimensions", rest)
	}
	return text + "\n" + c.Verdict(len(again) == 0 && r.breaking() == 0, r.sentence(len(again), len(otherwise))+followSentence(len(follow)))
}

// section is a table of dimensions, with a column for plans and one for tolerances where there are any.
func (r *LedgerReport) section(c terminal.Ink, head string, dims []*dimRecord) string {
	if len(dims) == 0 {
		return ""
	}
	u := r.e.Units
	has := func(is func(d *dimRecord) bool) bool { return slices.ContainsFunc(dims, is) }
	columns := []struct {
		head  string
		cell  func(d *dimRecord) string
		shown bool
	}{
		{head, func(d *dimRecord) string { return d.Name }, true},
		{"drawn", func(d *dimRecord) string { return d.size(u, d.dim.Drawn) }, true},
		{"planned", func(d *dimRecord) string { return d.size(u, d.dim.Planned) }, has(func(d *dimRecord) bool { return !d.Planned.Missing() })},
		{"asked", func(d *dimRecord) string { return d.size(u, d.dim.Asked) }, true},
		{"tolerance", func(d *dimRecord) string { return d.limits(u) }, has(func(d *dimRecord) bool { return !d.Lower.Missing() })},
		{"made", func(d *dimRecord) string { return d.size(u, d.dim.Made) }, true},
		{"differs", func(d *dimRecord) string { return signed(d.size(u, d.dim.Made-d.dim.Asked)) }, true},
	}
	g := terminal.Grid{Right: []bool{false, true, true, true, true, true, true}, Least: []int{18}}
	row := func(paint func(string) string, cell func(i int) string) {
		var cells []string
		for i := range columns {
			if columns[i].shown {
				cells = append(cells, cell(i))
			}
		}
		g.Row(paint, cells...)
	}
	row(nil, func(i int) string { return columns[i].head })
	for _, d := range dims {
		row(c.Warning(len(d.Breaks) > 0), func(i int) string { return columns[i].cell(d) })
		g.Note(r.details(d), "   ")
	}
	return "\n" + g.Text()
}

// limits are the deviations of a dimension as one writes them.
func (d *dimRecord) limits(u quantity.Units) string {
	t := d.dim.Tol
	text := "–"
	switch {
	case !t.Given:
		return text
	case t.Lower == -t.Upper:
		text = "± " + d.size(u, t.Upper)
	default:
		text = signed(d.size(u, t.Lower)) + " to " + signed(d.size(u, t.Upper))
	}
	if t.Fit != "" {
		text = t.Fit + " " + text
	}
	return text
}

// size writes a value of the dimension. A bare number that nothing makes a length is a fraction where it is written as one.
func (d *dimRecord) size(u quantity.Units, v float64) string {
	if k := d.dim.Kind; !d.dim.Fraction || k.Is(quantity.Length) || k.Is(quantity.Angle) {
		return Size(u, v, k)
	}
	return Size(quantity.Units{Inches: true}, quantity.Units{Inches: true}.MM(v), quantity.Length)
}

// mostMoves is how many checks are named for reading that a difference moves.
const mostMoves = 3

// details are the words about a dimension below its figures.
func (r *LedgerReport) details(d *dimRecord) string {
	parts := []string{d.Note, d.PlanNote, d.MadeNote}
	if d.dim.PlanStmt >= 0 && d.dim.Source == sketch.FromMade {
		parts = append(parts, "the plan is overtaken by what was made")
	}
	parts = append(parts, r.changedText(d))
	if !d.differing {
		return Joined("; ", parts...)
	}
	if d.Within {
		parts = append(parts, "within its limits")
	}
	if n := len(Once(d.Breaks)); n > 0 {
		words := "breaks " + d.Breaks[0].Named + ", " + d.Breaks[0].Place
		if n > 1 {
			words += fmt.Sprintf(", and %d more", n-1)
		}
		parts = append(parts, words)
	}
	if n := len(d.Mends); n > 0 {
		parts = append(parts, fmt.Sprintf("mends %s", d.Mends[0].Named))
	}
	return Joined("; ", append(parts, r.movesText(d))...)
}

func (r *LedgerReport) movesText(d *dimRecord) string {
	if len(d.Moves) == 0 {
		return "moves no check"
	}
	var words []string
	for _, m := range d.Moves {
		by := signed(m.By.Read(r.e.Units, m.kind))
		if m.By.Missing() {
			by = "to or from apart"
		}
		if text := m.Named + " " + by; !slices.Contains(words, text) {
			words = append(words, text)
		}
	}
	text := "moves " + strings.Join(FewOf(words, mostMoves, "and %d more"), ", ")
	if d.BySlope {
		text += " (by slopes: the engine cannot be solved with what is asked)"
	}
	return text
}

// breaking is how many dimensions break a check.
func (r *LedgerReport) breaking() (n int) {
	for i := range r.Dims {
		if len(r.Dims[i].Breaks) > 0 {
			n++
		}
	}
	return n
}

// asDrawn reports whether nothing is made or planned, and no value is another than drawn: then there is nothing to set beside one
// another.
func (r *LedgerReport) asDrawn() bool {
	return !slices.ContainsFunc(r.Dims, func(d dimRecord) bool {
		return d.dim.IsMade() || !d.Planned.Missing() || d.follows || byItself(d.dim)
	})
}

// sentence says how it all came out.
func (r *LedgerReport) sentence(again, otherwise int) string {
	made, counts := 0, 0
	for i := range r.Dims {
		if d := r.Dims[i].dim; d.IsMade() {
			made++
			if d.Source == sketch.FromMade {
				counts++
			}
		}
	}
	words := fmt.Sprintf("%s, %d made", CountOf(len(r.Dims), "dimension", "dimensions"), made)
	switch {
	case r.asDrawn():
		return CountOf(len(r.Dims), "dimension", "dimensions") + ", nothing made or planned."
	case made == 0:
		return words + "."
	case counts == 0:
		return words + ", which does not count here."
	case again+otherwise == 0:
		return words + ", each as it is asked for."
	}
	words += fmt.Sprintf(", %d otherwise than asked", again+otherwise)
	if again > 0 {
		words += fmt.Sprintf(": %d no longer what the others ask", again)
	}
	if n := r.breaking(); n > 0 {
		return words + fmt.Sprintf("; %d of them %s a check.", n, map[bool]string{true: "breaks", false: "break"}[n == 1])
	}
	return words + "; none of them breaks a check."
}
