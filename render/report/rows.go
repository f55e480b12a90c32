package report

import (
	"strings"

	"barover/render/report/figures"
	"barover/sketch/quantity"
	"barover/solver"
)

// row is one line of the table for reading: a check, or all clear lines that ask about the same pair, of which it shows
// the one that holds by least.
type row struct {
	*checkAnswer
	Called
	lines []string // where the others of them stand that do not hold either
}

// rows parts what falls short from what holds, each in the order of the report.
func (r *Report) rows() (short, holds []*row) {
	for i := range r.told {
		if w := r.row(&r.told[i]); w.OK {
			holds = append(holds, w)
		} else {
			short = append(short, w)
		}
	}
	return short, holds
}

// row is a judgement as a line of the table.
func (r *Report) row(t *solver.Told) *row {
	w := &row{checkAnswer: &r.Checks[t.Finding.Check]}
	var others []CheckName
	for _, f := range t.Same {
		a := &r.Checks[f.Check]
		others = append(others, a.CheckName)
		if !a.OK {
			w.lines = append(w.lines, a.Place)
		}
	}
	w.Called = Call(w.CheckName, others...)
	return w
}

// where is the line of a row, and the others that ask the same and fall short too.
func (w *row) where() string {
	if len(w.lines) == 0 {
		return w.Place
	}
	return w.Place + " and " + strings.Join(w.lines, ", ")
}

// apart reports whether the two never pass each other.
func (a *checkAnswer) apart() bool { return a.judged.State == solver.LiesApart }

// worst is the figure where the check holds by least.
func (a *checkAnswer) worst(u quantity.Units) figures.Figure {
	return figures.Of(u, a.judged.Worst, a.kind)
}

// still reports whether the figure is the same at every position, and so has no place where it is worst: it lies across
// the engine, or reads the same where it is least and where it is greatest.
func (a *checkAnswer) still() bool { return a.Kind == "gap" || a.level }

// asked is what the check asks.
func (a *checkAnswer) asked(u quantity.Units) string {
	least, most := a.AtLeast.Size(u, a.kind), a.AtMost.Size(u, a.kind)
	switch {
	case a.Kind == "loose":
		return "± " + most
	case a.AtLeast.Missing() && a.AtMost.Missing():
		return "≥ 0"
	case a.AtMost.Missing():
		return "≥ " + least
	case a.AtLeast.Missing():
		return "≤ " + most
	}
	return least + "…" + most
}
