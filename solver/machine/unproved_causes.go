package machine

import (
	"cmp"
	"context"
	"errors"
	"slices"

	"barover/solver"
	"barover/solver/clearance"
	"barover/solver/engine"
	"barover/solver/expr"
	"barover/solver/sums"
	"barover/solver/taylor"
	"barover/solver/tube"
)

// unprovedAll returns the whole turn, at every travel.
func (m *Machine) unprovedAll(w solver.Why) []solver.Unproved {
	t := m.Problem.Turn
	return []solver.Unproved{{Interval: solver.Interval{From: t.From, To: t.To}, Why: w}}
}

// causes are the reasons of tubes.
var causes = map[tube.Cause]solver.Why{tube.EitherWay: solver.EitherWay, tube.CannotAssemble: solver.NotAllAssembles, tube.OutOfBudget: solver.TooLong, tube.Unreached: solver.NotReached,
	tube.AtDeadCentre: solver.AtDeadCentre, tube.SizesPart: solver.SizesPart}

// gaps gathers the stretches of the turn over which the tubes claim nothing, and the settings beyond them. Stretches that
// cannot be assembled at a separate setting are reported by the linkage, not by the tubes.
func (p *proofs) gaps(beyond [][]tube.Range) {
	for _, t := range p.tubes {
		for _, g := range t.Gaps {
			if g.Cause == tube.CannotAssemble && !wide(g.Travel) {
				continue
			}
			p.unproved = append(p.unproved, solver.Unproved{Interval: solver.Interval{From: g.Turn.From, To: g.Turn.To}, Travel: intervals(g.Travel), Why: causes[g.Cause]})
		}
	}
	for _, travel := range beyond {
		u := p.m.unprovedAll(solver.TooManySettings)
		u[0].Travel = intervals(travel)
		p.unproved = append(p.unproved, u...)
	}
	p.unproved = gathered(p.unproved)
	for i := range p.unproved {
		if u := &p.unproved[i]; p.m.allTravels(u.Travel) {
			u.Travel = nil
		}
	}
}

func intervals(travel []tube.Range) (out []solver.Interval) {
	for _, r := range travel {
		out = append(out, solver.Interval{From: r.From, To: r.To})
	}
	return out
}

// gathered joins stretches that meet and have the same reason, with the travels of all.
func gathered(list []solver.Unproved) (out []solver.Unproved) {
	slices.SortStableFunc(list, func(a, b solver.Unproved) int {
		return cmp.Or(cmp.Compare(a.Why, b.Why), cmp.Compare(a.From, b.From))
	})
	for _, u := range list {
		if n := len(out) - 1; n >= 0 && out[n].Why == u.Why && u.From <= out[n].To {
			out[n].To = max(out[n].To, u.To)
			for k, r := range u.Travel {
				t := &out[n].Travel[k]
				t.From, t.To = min(t.From, r.From), max(t.To, r.To)
			}
			continue
		}
		u.Travel = slices.Clone(u.Travel)
		out = append(out, u)
	}
	slices.SortStableFunc(out, func(a, b solver.Unproved) int { return cmp.Compare(a.From, b.From) })
	return out
}

// allTravels reports whether ranges span every value of all travels.
func (m *Machine) allTravels(ranges []solver.Interval) bool {
	for k, t := range m.Problem.Travels {
		from, to := t.From, t.To
		if !t.Range && len(t.Settings) > 0 {
			from, to = slices.Min(t.Settings), slices.Max(t.Settings)
		}
		if ranges[k].From > from || ranges[k].To < to {
			return false
		}
	}
	return true
}

// stretches lists their stretches of the turn, joined.
func stretches(list []solver.Unproved) []solver.Interval {
	var out []solver.Interval
	for _, u := range list {
		out = append(out, u.Interval)
	}
	return engine.Together(out)
}

func wide(travel []tube.Range) bool {
	return slices.ContainsFunc(travel, func(r tube.Range) bool { return r.To > r.From })
}

// reason returns why nothing of the motion is enclosed.
func (m *Machine) reason(o Options) solver.Why {
	if o.Sampled {
		return solver.NotTried
	}
	m.enclosing.Lock()
	defer m.enclosing.Unlock()
	return m.whyNot
}

// why returns why a proof of a check failed.
func (p *proofs) why(ctx context.Context, pr *clearance.Prover, c *solver.Check) solver.Why {
	switch c.Kind {
	case solver.Clear, solver.Gap:
		return p.whyPair(c)
	case solver.Keep:
		return p.whySum(ctx, pr, c.Sum)
	}
	return solver.LooseLines
}

// whyPair returns why a proof of two profiles may fail.
func (p *proofs) whyPair(c *solver.Check) solver.Why {
	plan := p.tubes[0].Plan
	for _, i := range [2]int{c.A, c.B} {
		if part := p.m.Problem.Profiles[i].Part; !plan.Encloses(part) {
			if plan.Loose() {
				return solver.LooseLines
			}
			return solver.RoughDrive
		}
	}
	return solver.Undecided
}

// whySum returns why a proof of a sum may fail.
func (p *proofs) whySum(ctx context.Context, pr *clearance.Prover, sum expr.ID) solver.Why {
	if _, err := pr.Figure(ctx, sum); err != nil {
		return whyOpen(err, p.tubes[0].Plan.Loose())
	}
	if p.m.Problem.Graph.Takes(sum, expr.Op.IsPlace) {
		return solver.PlaceOpen
	}
	return solver.Undecided
}

// whyOpen returns why a sum is not bounded, where loose lines may place points.
func whyOpen(err error, loose bool) solver.Why {
	var rough taylor.Unenclosed
	switch {
	case errors.As(err, &rough) && (rough.Op == expr.X || rough.Op == expr.Y) && loose:
		return solver.LooseLines
	case errors.Is(err, clearance.SumOpen):
		return solver.NoValueThere
	case errors.As(err, &rough):
		return solver.RoughSum
	case errors.Is(err, sums.HeadingLost):
		return solver.HeadingLost
	}
	return solver.WholeOpen
}
