package clearance

import (
	"context"

	"barover/solver/expr"
	"barover/solver/tube"
)

// Figure is a sum on the tubes of a Prover.
type Figure struct {
	tubes []*tube.Tube
	run   []*tube.Runner // of each tube
	// wholes says that the sum takes a least, greatest or span.
	wholes bool
}

// Reason says why a sum is not provable.
type Reason string

func (r Reason) Error() string { return string(r) }

// Why a sum may not be provable.
const (
	HeadingLost Reason = "a heading cannot be followed without a jump over the whole turn"
	WholeOpen   Reason = "the least or greatest over a turn could not be enclosed"
)

// Figure makes a sum ready to be bounded. The error says what in it cannot be enclosed: it is to be sampled then.
func (p *Prover) Figure(ctx context.Context, sum expr.ID) (*Figure, error) {
	if len(p.tubes) == 0 {
		return nil, WholeOpen
	}
	f, err := tube.NewFigure(p.tubes[0].Plan, sum)
	if err != nil {
		return nil, err
	}
	g := &Figure{tubes: p.tubes}
	for i, t := range p.tubes {
		r, ok := tube.NewRunner(f, t)
		if !ok {
			return nil, HeadingLost
		}
		if g.wholes = len(f.Wholes) > 0; g.wholes {
			w, err := p.wholes(ctx, i, f.Wholes)
			if err != nil {
				return nil, err
			}
			r.SetWholes(w.over)
		}
		g.run = append(g.run, r)
	}
	return g, nil
}

// Extreme is what is known of the least or the greatest of a sum: wherever the tubes reach it is nowhere below Lo (above Hi),
// and at the place At it is no more than Hi (no less than Lo).
type Extreme struct {
	Lo, Hi float64
	At     Place
	Done   bool // Hi - Lo is within the tolerance and what the tubes are wide
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
