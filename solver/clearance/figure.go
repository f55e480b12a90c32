package clearance

import (
	"context"
	"math"

	"barover/solver/expr"
	"barover/solver/tube"
)

// Figure is a sum on the tubes of a Prover.
type Figure struct {
	tubes []*tube.Tube
	on    []int          // the tubes that are needed for its extremes: see unlike
	run   []*tube.Runner // of each tube, made when first needed; nil
	// wholes says that the sum uses an operation over all of the turn.
	wholes bool
	takes  *wholes // of the runner made last; nil for none
	floor  float64 // the sum is never below this by its form: 0 for a distance
	prover *Prover
	sum    *tube.Figure
}

// Reason says why a sum cannot be proved.
type Reason string

func (r Reason) Error() string { return string(r) }

// Why a sum may not be provable.
const (
	HeadingLost Reason = "a heading cannot be followed without a jump over the whole turn"
	WholeOpen   Reason = "what it takes over a whole turn could not be enclosed"
)

// Figure prepares a sum for bounding. The error says which part of it cannot be enclosed; such a sum has to be sampled.
func (p *Prover) Figure(ctx context.Context, sum expr.ID) (*Figure, error) {
	if len(p.tubes) == 0 {
		return nil, WholeOpen
	}
	f, err := tube.NewFigure(p.tubes[0].Plan, p.values, sum, expr.None)
	if err != nil {
		return nil, err
	}
	on := p.unlike(p.tubes[0].Plan.Schedule.SumRides(sum))
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
	r, ok := tube.NewRunner(f.sum, f.tubes[i])
	if !ok {
		return HeadingLost
	}
	if f.wholes = len(f.sum.Wholes) > 0; f.wholes {
		w, err := f.prover.wholes(ctx, i, f.sum.Wholes)
		if err != nil {
			return err
		}
		r.SetWholes(w.over)
		f.takes = w
	}
	f.run[i] = r
	return nil
}

// Extreme is what is known of the least or the greatest of a sum: it is nowhere in the tubes below Lo (above Hi), and at
// the place At it is at most Hi (at least Lo).
type Extreme struct {
	Lo, Hi float64
	At     Place
	Done   bool         // Hi - Lo is within the tolerance plus the width of the tubes
	Open   []tube.Range // stretches of the turn over which the sum could not be enclosed somewhere; they are left out
	Boxes  int
}

// Least finds the least of the sum to a tolerance of its own unit.
func (f *Figure) Least(ctx context.Context, tolerance float64) Extreme {
	return f.seek(ctx, tolerance, 1)
}

// Greatest finds the greatest of the sum.
func (f *Figure) Greatest(ctx context.Context, tolerance float64) Extreme {
	e := f.seek(ctx, tolerance, -1)
	e.Lo, e.Hi = -e.Hi, -e.Lo
	return e
}
