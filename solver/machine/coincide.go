package machine

import (
	"context"
	"math"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/expr"
)

// meeting adds to what was seen the places within ranges at which the points of a heading coincide.
func (s *survey) meeting(ctx context.Context) error {
	take := func(t *tally, sums []expr.ID, sight func(*engine.Run) engine.Sight) error {
		for _, id := range s.m.HeadingsIn(sums...) {
			p, err := s.m.Meets(ctx, id)
			if err != nil || !p.Found {
				return err
			}
			r, err := s.m.RunFor(ctx, p.Travel, s.need)
			if err != nil {
				return err
			}
			seen := sight(r)
			if !math.IsInf(seen.Margin, -1) { // the travels are rounded, so that at them the points may pass one another
				seen.Worst, seen.Margin = engine.Knot{T: p.Turn, V: math.NaN()}, math.Inf(-1)
				seen.Fouls = []solver.Interval{{From: p.Turn, To: p.Turn}}
			}
			if t.at != nil && math.IsInf(t.worst.Margin, -1) && math.IsInf(seen.Margin, -1) {
				t.at = nil // beyond the place there is no value either, and the place says why
			}
			t.take(&seen, p.Travel)
		}
		return nil
	}
	for k, i := range s.asked.Checks {
		if c := &s.m.Problem.Checks[i]; c.Kind == solver.Keep {
			if err := take(&s.checks[k], []expr.ID{c.Sum, c.AtLeast, c.AtMost}, func(r *engine.Run) engine.Sight { return r.CheckBeside(i, s.asked.Bar(k)) }); err != nil {
				return err
			}
		}
	}
	return nil
}
