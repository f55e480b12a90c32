package report

import (
	"fmt"
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
		c := &w.Engine.Problem.Checks[f.Check]
		a.playRoom, _ = c.Room(f.Play.Least, f.Play.Greatest, f.AtLeast, f.AtMost)
		a.playRoom += c.Meets()
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
		words, play := tight.Read(r.units, a.kind)+" tight", with.Read(r.units, a.kind)
		if play == tight.Read(r.units, a.kind) && a.LeastProved.Missing() && (a.GreatestProved == nil || a.GreatestProved.Missing()) {
			words += "; what play makes of it is not known" // neither bounded nor found in a solved engine
		} else {
			words += ", " + play + " with play"
		}
		parts = append(append(parts, words), r.provedText(a)...)
	}
	if p := a.WithPlay; p != nil {
		switch {
		case p.Least.Missing() && p.Greatest.Missing():
			parts = append(parts, "what play makes of it is not known")
		default:
			words := "with play " + p.Least.Read(r.units, a.kind) + " to " + p.Greatest.Read(r.units, a.kind)
			if a.shortOfPlay() {
				words += ", beyond what is asked"
			}
			parts = append(parts, words)
		}
	}
	return parts
}

// shortOfPlay reports whether a keep line that holds with tight pins may not hold where the parts stand in their play.
func (a *checkAnswer) shortOfPlay() bool {
	return a.WithPlay != nil && a.OK && a.playRoom < 0
}

// playCaution reports the keep lines that hold with tight pins alone, by which they are judged.
func (r *Report) playCaution() string {
	var names []string
	for i := range r.Checks {
		if a := &r.Checks[i]; a.shortOfPlay() {
			names = append(names, a.Named)
		}
	}
	switch n := len(names); n {
	case 0:
		return ""
	case 1:
		return " With play it may not hold: " + names[0] + ". A keep line is judged with tight pins."
	default:
		return fmt.Sprintf(" With play %d keep lines may not hold: %s. A keep line is judged with tight pins.", n,
			Few(names, "; "))
	}
}
