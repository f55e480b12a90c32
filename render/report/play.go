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
	tight := of(f.Play.Tight)
	a.Tight, a.tight, a.playLost = tight, &tight, math.IsNaN(f.Play.Least)
}

// playText tells what play makes of a check.
func (r *Report) playText(a *checkAnswer) (parts []string) {
	if a.tight != nil {
		words := a.tight.Read(r.units, a.kind) + " tight"
		if !a.playLost {
			words += ", " + a.Least.Read(r.units, a.kind) + " with play"
		}
		parts = append(parts, words)
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
