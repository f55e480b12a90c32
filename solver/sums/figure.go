package sums

import (
	"context"
	"math"

	"barover/solver/expr"
	"barover/solver/tube"
)

// Figure is a sum on the tubes of a Prover, for one goroutine.
type Figure struct {
	tubes  []*tube.Tube
	on     []int          // the tubes that are needed for its extremes: see tube.Unlike
	run    []*tube.Runner // of each tube, made when first needed; nil
	takes  *wholes        // what the runner made last takes over all of the turn; nil for nothing
	floor  float64        // the sum is never below this by its form: 0 for a distance
	prover *Prover
	sum    *tube.Figure
}

// Figure prepares a sum for bounding. The error says which part of it cannot be enclosed; such a sum has to be sampled.
func (p *Prover) Figure(ctx context.Context, sum expr.ID) (*Figure, error) {
	if len(p.tubes) == 0 {
		return nil, WholeOpen
	}
	f, err := tube.NewFigure(p.tubes[0].Plan, p.values, sum, expr.None)
	if err != nil {
		return nil, err
	}
	on := tube.Unlike(p.tubes, p.tubes[0].Plan.Schedule.SumRides(sum))
	g := &Figure{tubes: p.tubes, on: on, run: make([]*tube.Runner, len(p.tubes)), prover: p, sum: f}
	g.floor = math.Inf(-1)
	if op := p.values.Graph.Nodes[sum].Op; op == expr.Hypot || op == expr.Abs || op == expr.Sqrt {
		g.floor = 0
	}
	for _, i := range on {
		if err := g.ready(ctx, i); err != nil {
			return nil, err
		}
	}
	return g, nil
}

// ready makes the sum's runner on tube i.
func (f *Figure) ready(ctx context.Context, i int) error {
	if f.run[i] != nil {
		return nil
	}
	r, w, err := f.prover.runner(ctx, f.sum, i)
	if err != nil {
		return err
	}
	f.run[i], f.takes = r, w
	return nil
}

// Answer is what is known of the least or the greatest of a sum: it is nowhere in the tubes below Lo (above Hi), and at
// the place At it is at most Hi (at least Lo).
type Answer struct {
	Lo, Hi float64
	At     tube.Place
	Done   bool         // Hi - Lo is within the tolerance plus the width of the tubes
	Open   []tube.Range // stretches of the turn over which the sum could not be enclosed somewhere; they are left out
	Boxes  int
}

// Least finds the least of the sum to a tolerance of its own unit.
func (f *Figure) Least(ctx context.Context, tolerance float64) Answer {
	return f.seek(ctx, tolerance, 1)
}

// Greatest finds the greatest of the sum.
func (f *Figure) Greatest(ctx context.Context, tolerance float64) Answer {
	e := f.seek(ctx, tolerance, -1)
	e.Lo, e.Hi = -e.Hi, -e.Lo
	return e
}

// Below finds where on the turn the sum is less than limit, at one travel setting of one of the tubes. Outside the
// stretches it is proved not to be, wherever the tube reaches. Their ends are right to fine, rad.
func (f *Figure) Below(ctx context.Context, at tube.Place, limit, fine float64) tube.Stretches {
	return f.beyond(ctx, at, limit, fine, 1)
}

// Above is Below for where the sum is more than limit.
func (f *Figure) Above(ctx context.Context, at tube.Place, limit, fine float64) tube.Stretches {
	return f.beyond(ctx, at, -limit, fine, -1)
}

// beyond finds where sign·sum is less than limit.
func (f *Figure) beyond(ctx context.Context, at tube.Place, limit, fine, sign float64) tube.Stretches {
	t := f.tubes[at.Tube]
	if f.ready(ctx, at.Tube) != nil {
		return tube.Stretches{At: []tube.Range{t.Turn}}
	}
	return tube.StretchesOf(ctx, t, at.Travel, fine, struct{}{}, func(i int, part *tube.Part, _ struct{}) (none struct{}, may, surely bool) {
		v, ok := f.run[at.Tube].Over(i, part)
		if !ok {
			return none, true, false
		}
		lo, _ := t.Space.Least(v.Poly)
		hi, _ := t.Space.Greatest(v.Poly)
		if lo, hi = lo-v.Rad, hi+v.Rad; sign < 0 {
			lo, hi = -hi, -lo
		}
		return none, !(lo >= limit), hi < limit
	})
}
