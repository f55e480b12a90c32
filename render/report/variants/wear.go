package variants

import (
	"fmt"
	"math"
	"slices"

	"barover/render/report"
	"barover/render/report/figures"
	"barover/render/terminal"
	"barover/sketch/assembled"
	"barover/sketch/quantity"
	"barover/solver"
	"barover/solver/seek"
)

// Worn is how far every play may grow. Its fields are the object that `seek --wear --json` prints.
type Worn struct {
	Wear wear `json:"wear"`

	e   *assembled.Engine
	a   *seek.Wear
	say report.CheckName
}

type wear struct {
	HoldsTo   figures.Figure `json:"holds_to"`   // proved; null where something falls short as it is
	ShortFrom figures.Figure `json:"short_from"` // an engine solved falls short; null where none was found
	First     string         `json:"first"`      // what falls short
	At        figures.List   `json:"at"`
	Why       string         `json:"why,omitempty"` // why it is not known what lies between
}

// NewWorn puts an answer into the units of the sketch.
func NewWorn(e *assembled.Engine, a *seek.Wear) *Worn {
	w := report.NewReporter(e)
	of := func(v float64, known bool) figures.Figure {
		if !known {
			return figures.Figure(math.NaN())
		}
		return figures.Of(w.Units, v, quantity.Length)
	}
	r := &Worn{e: e, a: a}
	r.Wear = wear{HoldsTo: of(a.HoldsTo, a.HoldsTo >= 0), ShortFrom: of(a.ShortFrom, a.Short >= 0), At: figures.List{}}
	if a.Short >= 0 {
		r.say = w.Name(a.Short)
		r.Wear.First, r.Wear.At = r.say.Place+" "+r.say.Named, w.Position(a.At)
	} else if a.Why.Why != solver.NotTried {
		r.Wear.Why = a.Why.Why.String()
	}
	return r
}

// Status is 1 where something falls short as it is, or may.
func (r *Worn) Status() int { return report.StatusOf(!r.a.Any || r.a.HoldsTo >= 0) }

// Text is one sentence.
func (r *Worn) Text(c terminal.Ink) string {
	words := r.sentence()
	if r.a.Any && slices.ContainsFunc(r.e.Problem.Checks, func(c solver.Check) bool { return c.Kind == solver.Keep }) {
		words += " Keep lines are not asked: check --wear says what play does to them."
	}
	return c.Verdict(r.Status() == report.AllHolds, words)
}

func (r *Worn) sentence() string {
	a, u := r.a, r.e.Units
	read := func(v float64) string { return figures.Of(u, v, quantity.Length).Read(u, quantity.Length) }
	holds, from := rounded(u, a.HoldsTo, quantity.Length, -1), rounded(u, a.ShortFrom, quantity.Length, 1)
	what := "every play larger"
	if len(r.e.Problem.Plays) == 0 {
		what = "every pin worn"
	}
	short := ""
	if a.Short >= 0 {
		turn := figures.Of(u, a.At.Turn, quantity.Angle).Read(u, quantity.Angle)
		short = fmt.Sprintf("%s falls short at %s°, with %s of the %s asked", r.say.Named, turn, read(a.Least), read(r.asked()))
	}
	switch {
	case !a.Any:
		return "There is no clear line to hold wear against."
	case a.HoldsTo < 0 && short != "":
		return "As it is, " + short + "."
	case a.HoldsTo < 0:
		return "It is not proved that it holds as it is: " + a.Why.Why.String() + "."
	case short != "":
		return fmt.Sprintf("Every clear line holds with %s by up to %s: proved. With %s %s.", what, holds, from, short)
	case a.Why.Why != solver.NotTried:
		return fmt.Sprintf("Every clear line holds with %s by up to %s: proved. What more does is not known: %s.", what, holds, a.Why.Why)
	}
	return fmt.Sprintf("Every clear line holds with %s by up to %s: proved; nothing falls short before.", what, holds)
}

// asked is the distance that the line asks which falls short, mm.
func (r *Worn) asked() float64 {
	id := r.e.Problem.Checks[r.a.Short].AtLeast
	if id < 0 {
		return 0
	}
	return r.e.Values.At(id)
}
