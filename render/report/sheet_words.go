package report

import (
	"cmp"
	"strings"

	"barover/render/report/figures"
	"barover/render/sheet"
	"barover/sketch/quantity"
	"barover/solver"
)

// mends says what would mend a finding.
func (r *Report) mends() func(f *solver.Finding) string {
	words := map[int]string{}
	short, _ := r.rows()
	for _, w := range short {
		text, _ := r.remedies(w)
		words[w.judged.Finding.Check] = strings.TrimSuffix(text, toTry) // no command is typed on paper
	}
	return func(f *solver.Finding) string { return words[f.Check] }
}

// toShow is the check of what is drawn whose tightest place tells most: the first that falls short, else the tightest pair, else
// whatever has a place at all.
func (r *Report) toShow(drawn sheet.Pick) *checkAnswer {
	short, holds := r.rows()
	var first *checkAnswer
	for _, w := range append(short, holds...) {
		if len(w.At) == 0 || w.still() || !w.drawn(drawn) {
			continue
		}
		if !w.OK || w.Kind == "clear" {
			return w.checkAnswer
		}
		first = cmp.Or(first, w.checkAnswer)
	}
	return first
}

// drawn reports whether what a check is about is drawn.
func (a *checkAnswer) drawn(of sheet.Pick) bool {
	return !a.judged.OfPair() || of.Takes(a.A) && of.Takes(a.B)
}

// numberIn gives a plain number.
func numberIn(u quantity.Units) func(v float64) string {
	return func(v float64) string { return u.Value(v, quantity.Plain) }
}

// length formats a length as the tables do.
func (w Reporter) length(mm float64) string {
	return figures.Of(w.Units, mm, quantity.Length).Read(w.Units, quantity.Length)
}

// filled says what fills the gap of a finding; "" where nothing does.
func (w Reporter) filled(f *solver.Finding) string {
	if fill := w.fill(f); fill != nil {
		return fill.String()
	}
	return ""
}
