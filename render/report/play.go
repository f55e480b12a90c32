package report

import (
	"math"

	"barover/render/report/figures"
	"barover/solver"
)

// withPlay is between what a keep line stays wherever its parts stand in their play.
type withPlay struct {
	Least    figures.Figure `json:"least"`
	Greatest figures.Figure `json:"greatest"`
}

// play adds to an answer what play makes of it.
func (w Reporter) play(f *solver.Finding, a *checkAnswer) {
	if f.Play == nil {
		return
	}
	of := func(v float64) figures.Figure { return figures.Of(w.Units, v, a.kind) }
	if w.Engine.Problem.Checks[f.Check].Kind == solver.Keep {
		a.WithPlay = &withPlay{of(f.Play.Least), of(f.Play.Greatest)}
		return
	}
	tight, least := of(f.Play.Tight), of(f.Play.Least)
	a.Tight, a.tight, a.LeastProved = tight, &tight, &least
	if !math.IsNaN(f.AtMost) {
		most, greatest := of(f.Play.TightMost), of(f.Play.Greatest)
		a.tightMost, a.GreatestProved = &most, &greatest
	}
}

// provedText is what no place in its play brings a clear line beyond, where that reads otherwise than the worst found.
func (r *Report) provedText(a *checkAnswer) (parts []string) {
	tell := func(word string, worst figures.Figure, proved *figures.Figure) {
		if proved != nil && !proved.Missing() && proved.Read(r.units, a.kind) != worst.Read(r.units, a.kind) {
			parts = append(parts, word+" "+proved.Read(r.units, a.kind)+", proved")
		}
	}
	tell("nowhere below", a.Least, a.LeastProved)
	tell("nowhere above", a.Greatest, a.GreatestProved)
	return parts
}

// playText tells what play makes of a check.
func (r *Report) playText(a *checkAnswer) (parts []string) {
	if a.tight != nil {
		tight, with := a.tight, a.Least
		if a.judged.Upper && a.tightMost != nil {
			tight, with = a.tightMost, a.Greatest
		}
		words := tight.Read(r.units, a.kind) + " tight, " + with.Read(r.units, a.kind) + " with play"
		parts = append(append(parts, words), r.provedText(a)...)
	}
	if p := a.WithPlay; p != nil {
		switch {
		case p.Least.Missing() && p.Greatest.Missing():
			parts = append(parts, "what play makes of it is not known")
		default:
			parts = append(parts, "with play "+p.Least.Read(r.units, a.kind)+" to "+p.Greatest.Read(r.units, a.kind))
		}
	}
	return parts
}
