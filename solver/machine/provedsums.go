package machine

import (
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/clearance"
	"barover/solver/engine"
	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/sums"
	"barover/solver/tube"
)

// sumTolerance is how closely sums are proved: more finely than distances, since a sum costs less.
func (m *Machine) sumTolerance(angle, number bool) float64 {
	if angle || number {
		return 1e-6 // rad, or a bare number
	}
	return m.tolerance() / 10
}

// bounds is a sum's proved least and greatest.
type bounds struct {
	figure          *sums.Figure
	least, greatest sums.Answer
	open            []solver.Unproved // where the sum could not be enclosed
}

// bound proves the least and greatest of a sum; nil where it cannot.
func (p *proofs) bound(ctx context.Context, pr *clearance.Prover, sum expr.ID, tolerance float64) *bounds {
	f, err := pr.Figure(ctx, sum)
	if err != nil {
		return nil
	}
	b := &bounds{figure: f, least: f.Least(ctx, tolerance), greatest: f.Greatest(ctx, tolerance)}
	if !b.least.Done || !b.greatest.Done || ctx.Err() != nil {
		return nil
	}
	for _, r := range slices.Concat(b.least.Open, b.greatest.Open) {
		b.open = append(b.open, solver.Unproved{Interval: solver.Interval{From: r.From, To: r.To}, Why: solver.NoValueThere})
	}
	b.open = gathered(b.open)
	return b
}

// settleSum finds the least and the greatest of a sum on the exact motion. It starts at the places of the proof, which are known
// only to a tolerance.
func (p *proofs) settleSum(ctx context.Context, sum expr.ID, b *bounds, tolerance float64) (at [2]settledAt, ok bool, err error) {
	s := p.stations.Must()
	defer p.stations.Put(s)
	for i, e := range [2]sums.Answer{b.least, b.greatest} {
		search := settler{p, p.m.Sum(sum), sum, e.Lo, e.Hi, plane.Sign(i == 0), 10 * tolerance, nil, s}
		if at[i], ok, err = search.settle(ctx, e.At); err != nil || !ok {
			return at, false, err
		}
	}
	return at, true, nil
}

// stay is where a sum begins to stay at an extreme, on the samples of that setting; see engine.Run.Stay.
func (p *proofs) stay(ctx context.Context, sum expr.ID, at settledAt, sign float64) (engine.Knot, error) {
	s := p.stations.Must()
	defer p.stations.Put(s)
	if !at.run.StaysAt(sum, at.Knot, s) {
		return at.Knot, nil
	}
	r, err := p.lookedAt(ctx, at.run.Travel, p.m.NeedsOf(sum))
	if err != nil {
		return at.Knot, err
	}
	return r.Stay(sum, at.Knot, sign), nil
}

// keep proves a keep line whose limits do not change with the turn.
func (p *proofs) keep(ctx context.Context, pr *clearance.Prover, c *solver.Check, f *solver.Finding) (bool, error) {
	if p.m.Moves(c.AtLeast) || p.m.Moves(c.AtMost) {
		return false, nil
	}
	tolerance := p.m.sumTolerance(c.Angle, c.Number)
	b := p.bound(ctx, pr, c.Sum, tolerance)
	if b == nil {
		return false, ctx.Err()
	}
	f.Unproved = slices.Concat(f.Unproved, b.open)
	f.Sure = p.m.sure(f.Unproved)
	ends, ok, err := p.settleSum(ctx, c.Sum, b, tolerance)
	if err != nil || !ok {
		return false, err
	}
	f.Least, f.Greatest = ends[0].V, ends[1].V
	room, upper := c.Room(f.Least, f.Greatest, f.AtLeast, f.AtMost)
	at := ends[0]
	if upper {
		at = ends[1]
	}
	if at.Knot, err = p.stay(ctx, c.Sum, at, plane.Sign(!upper)); err != nil {
		return false, err
	}
	f.At = at.extreme().at
	f.OK = c.Suffices(room)
	if !f.OK {
		f.Fouls, f.FoulsAt = p.beyond(ctx, pr, at, p.outside(ctx, c, f)...), f.At.Travel
		return true, ctx.Err()
	}
	return !(b.least.Lo < f.AtLeast-c.Meets()) && !(b.greatest.Hi > f.AtMost+c.Meets()), nil
}

// measure proves the least and greatest of a measure; nil where it cannot.
func (p *proofs) measure(ctx context.Context, i int) (*solver.Extremes, error) {
	m := &p.m.Problem.Measures[i]
	pr := p.provers.Must()
	defer p.provers.Put(pr)
	tolerance := p.m.sumTolerance(m.Angle, m.Number)
	b := p.bound(ctx, pr, m.Sum, tolerance)
	if b == nil || len(b.open) > 0 {
		return nil, ctx.Err()
	}
	ends, ok, err := p.settleSum(ctx, m.Sum, b, tolerance)
	if err != nil || !ok {
		return nil, err
	}
	for k := range ends {
		if ends[k].Knot, err = p.stay(ctx, m.Sum, ends[k], plane.Sign(k == 0)); err != nil {
			return nil, err
		}
	}
	lo, hi := ends[0].extreme(), ends[1].extreme()
	return &solver.Extremes{Measure: i, Least: lo.v, LeastAt: lo.at, Greatest: hi.v, GreatestAt: hi.at, Sure: solver.Proved}, nil
}

// outside lists the overruns of a sum: one for each limit that its extremes do not meet.
func (p *proofs) outside(ctx context.Context, c *solver.Check, f *solver.Finding) (over []overrun) {
	if !math.IsNaN(f.AtLeast) && !c.Suffices(f.Least-f.AtLeast) {
		over = append(over, p.past(ctx, c.Sum, f.AtLeast, 1))
	}
	if !math.IsNaN(f.AtMost) && !c.Suffices(f.AtMost-f.Greatest) {
		over = append(over, p.past(ctx, c.Sum, f.AtMost, -1))
	}
	return over
}

// past returns the overrun of a sum below a limit (sign 1) or above it (−1).
func (p *proofs) past(ctx context.Context, sum expr.ID, limit, sign float64) overrun {
	return overrun{p.m.Sum(sum), limit, sign, func(pr *clearance.Prover, at tube.Place) tube.Stretches {
		f, err := pr.Figure(ctx, sum)
		switch {
		case err != nil:
			return tube.Stretches{}
		case sign < 0:
			return f.Above(ctx, at, limit, fine)
		}
		return f.Below(ctx, at, limit, fine)
	}}
}
