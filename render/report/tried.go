package report

import (
	"context"
	"fmt"

	"barover/render/report/figures"
	"barover/sketch/assembled"
	"barover/sketch/quantity"
	"barover/solver"
	"barover/solver/machine"
)

// atQuarter is what a check shows with the crank at a quarter of the turn and the travels at rest: what turning the engine
// by hand and looking there would show.
type atQuarter struct {
	figures.List // the turn, and "is"

	room    float64
	holds   bool
	overlap bool // of a pair: it runs into each other there
	apart   bool // of a gap: the two do not pass each other there
}

func (q *atQuarter) turn() figures.Figure { return q.List[0].Value }
func (q *atQuarter) is() figures.Figure   { return q.List[1].Value }

// tryQuarters puts into a report what a trial by hand at the quarters would show of each check.
func (r *Report) tryQuarters(ctx context.Context, e *assembled.Engine) error {
	if r.fixed {
		return nil
	}
	checks := make([]int, len(r.Checks))
	for i := range checks {
		checks[i] = i
	}
	found, err := e.Machine.TryAt(ctx, e.Machine.Quarters(), checks)
	if err != nil {
		return err
	}
	w := NewReporter(e)
	for i := range found {
		r.Checks[i].AtQuarters = figures.Each(found[i], func(t *machine.Tried) atQuarter { return w.atQuarter(&e.Problem.Checks[i], t) })
	}
	return nil
}

func (w Reporter) atQuarter(c *solver.Check, t *machine.Tried) atQuarter {
	k := quantity.KindOf(c.Angle, c.Number)
	return atQuarter{figures.List{
		{Name: w.Engine.Problem.Turn.Name, Value: figures.Of(w.Units, t.Turn, quantity.Angle), Kind: quantity.Angle},
		{Name: "is", Value: figures.Of(w.Units, t.Is, k), Kind: k},
	}, t.Room, c.Suffices(t.Room), solver.Overlap(t.Is), t.Apart}
}

// level is how near two figures may be to count as the same: of two quarters that are level, the first is reported.
const level = 1e-9

// worstTried is the quarter at which a check holds by least; nil where none was tried.
func (a *checkAnswer) worstTried() (worst *atQuarter) {
	for i := range a.AtQuarters {
		q := &a.AtQuarters[i]
		nearer := worst != nil && q.room < worst.room-level
		if a.judged.State == solver.Fouls { // however far apart the two come elsewhere
			nearer = worst != nil && (q.is().Missing() || q.is() < worst.is())
		}
		if worst == nil || nearer {
			worst = q
		}
	}
	return worst
}

// shownAt reports whether what is wrong with a check shows at a quarter. Of what fouls, a trial by hand shows the touch.
func (a *checkAnswer) shownAt(q *atQuarter) bool {
	if a.judged.State == solver.Fouls {
		return !q.apart && (q.is().Missing() || q.overlap)
	}
	return !q.holds
}

// trialText is what a trial by hand at the quarters would show of a check.
func (r *Report) trialText(a *checkAnswer) string {
	q := a.worstTried()
	if q == nil || a.level || a.apart() || a.OK && (!r.allTried || a.Kind == "gap") {
		return ""
	}
	text := "tried at the quarters"
	if len(r.moves) > 0 {
		text += " with travels at rest"
	}
	at := " at " + q.turn().Read(r.units, quantity.Angle)
	if q.apart {
		return text + ": the two do not pass there"
	}
	if q.is().Missing() {
		return text + " it shows: no value" + at
	}
	figure := q.is().Read(r.units, a.kind) + at
	switch {
	case a.OK:
		return text + ": " + figure
	case a.shownAt(q):
		return text + " it shows: " + figure
	case a.judged.State == solver.Fouls:
		return text + ": " + figure + ", no foul"
	}
	return text + ": " + figure + ", as asked"
}

// trial says whether turning the engine by hand and looking at the quarters would have passed all that falls short.
func (r *Report) trial(short []*row) string {
	for _, a := range short {
		if q := a.worstTried(); q == nil || a.level || a.shownAt(q) {
			return ""
		}
	}
	if len(short) == 0 || !r.Assembled {
		return ""
	}
	where, what := "", "none of it shows"
	if len(r.moves) > 0 {
		where = " with the travels at rest"
	}
	if len(short) == 1 {
		what = "it does not show"
	}
	return fmt.Sprintf(" Tried at the quarters%s, %s.", where, what)
}
