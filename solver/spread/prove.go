package spread

import (
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/machine"
	"barover/solver/tube"
)

// The worst of tolerances is proved where it can be: all engines are enclosed at once, and each figure is bounded over all of them
// and all positions. The engine that the bound is nearest to is solved as any other, so that the bound has a witness.

// middles is the tolerances' own middles: what the sizes of a proof lie about.
func (s *spread) middles() []float64 {
	out := s.nominal()
	for i, t := range s.q.Tolerances {
		out[i] = t.Value + (t.Lower+t.Upper)/2
	}
	return out
}

// prove bounds every side, and solves the engine that each bound is nearest to.
func (s *spread) prove(ctx context.Context) error {
	if len(s.q.Tolerances) == 0 || len(s.sides) == 0 || s.o.Sampled {
		return nil
	}
	over, played, err := s.enclose(ctx)
	if over == nil || err != nil {
		return err
	}
	err = machine.Share(ctx, s.quiet(), len(s.sides), func(i int) error {
		d := &s.sides[i]
		by := s.bounderOf(d, over, played)
		b, err := by.Check(ctx, d.half, s.split.upper[d.half])
		if err != nil {
			return err
		}
		d.bound, d.holds = b, by.Holds(d.half, &b)
		return nil
	})
	if err != nil {
		return err
	}
	var places []place
	for i := range s.sides {
		if d := &s.sides[i]; d.bound.With != nil {
			places = append(places, place{s.witness(d), d})
		}
	}
	_, err = s.visit(ctx, places)
	return err
}

// unbind takes back what was proved of a side where an engine goes beyond it. That can be where loose lines bind alone: it is proved of
// the places that they allow, and then they allow none.
func (s *spread) unbind(d *side) {
	sign := 1.0
	if s.split.upper[d.half] {
		sign = -1
	}
	if d.bound.Loose() && sign*(d.worst.figure-d.bound.Worst) < -rounding {
		d.holds = false
		d.bound = machine.Bound{Why: solver.Unproved{Interval: solver.Interval{From: s.q.Problem.Turn.From, To: s.q.Problem.Turn.To}, Why: solver.LooseBinds}}
	}
}

// witness is the sizes of the engine that a bound is nearest to. Those that have nothing to do with it keep their values.
func (s *spread) witness(d *side) []float64 {
	out := s.within()
	middle := s.middles()
	for i, t := range s.q.Tolerances {
		if v := d.bound.With[i]; v != middle[i] && slices.Contains(d.reach, i) {
			out[i] = math.Max(t.Value+t.Lower, math.Min(t.Value+t.Upper, v))
		}
	}
	return out
}

// enclose encloses all engines, with tight pins and with play; nil where that cannot be tried, for which each side then has the reason.
func (s *spread) enclose(ctx context.Context) (tight *machine.OverSizes, played bounder, err error) {
	why := solver.SizesMoveRange
	if s.turnStays() {
		m, err := s.machine(s.middles())
		if err == nil {
			var sizes machine.Sizes
			for i, t := range s.q.Tolerances {
				sizes.List = append(sizes.List, tube.Size{Dim: t.Dim, Mid: s.middles()[i], Half: (t.Upper - t.Lower) / 2})
			}
			if tight, err = m.OverSizes(ctx, s.alive(), sizes); err != nil || !m.Shakes() {
				return tight, tight, err
			}
			p, err := m.Everywhere(ctx, s.alive(), sizes.List, s.clears())
			return tight, p, err
		}
		why = solver.SizesPart
	}
	for i := range s.sides {
		s.sides[i].bound.Why.Why = why
	}
	return nil, nil, ctx.Err()
}

// bounder bounds the worst of checks over every engine.
type bounder interface {
	Check(ctx context.Context, check int, upper bool) (machine.Bound, error)
	Holds(check int, b *machine.Bound) bool
}

// bounderOf is who bounds a side: a keep line is judged with tight pins.
func (s *spread) bounderOf(d *side, tight *machine.OverSizes, played bounder) bounder {
	if s.q.Problem.Checks[s.split.whole[d.half]].Kind == solver.Clear {
		return played
	}
	return tight
}

// clears lists the halves of clear lines that the tolerances have to do with.
func (s *spread) clears() (list []int) {
	for i := range s.sides {
		if s.q.Problem.Checks[s.split.whole[s.sides[i].half]].Kind == solver.Clear {
			list = append(list, s.sides[i].half)
		}
	}
	return list
}

// turnStays reports whether the turn is the same whatever the tolerances.
func (s *spread) turnStays() bool {
	if s.base != nil {
		return true
	}
	turn := s.q.Problem.Turn
	for i, t := range s.q.Tolerances {
		for _, by := range [2]float64{t.Lower, t.Upper} {
			at := s.nominal()
			at[i] += by
			if p, _, err := s.q.Vary(s.values(at)); err != nil || p.Turn.From != turn.From || p.Turn.To != turn.To {
				return false
			}
		}
	}
	return true
}

const (
	// closed is how near, as a share of what the tolerances do to a side, its bound must come to an engine solved for the search to
	// end there, and straight how near what its slopes tell must come for them to be believed.
	closed   = 0.02
	exactly  = 1e-7 // the first for a sum of dimensions alone, which is cheap to seek
	straight = 0.1
)

// settled reports whether nothing is left to seek for a side: the bound has its witness, and what each tolerance does is as its
// slopes say.
func (s *spread) settled(d *side) bool {
	if d.bound.Apart {
		return true
	}
	if !d.bound.Known || d.slopes == nil || d.worst.unmade {
		return false
	}
	near := closed
	if c := &s.q.Problem.Checks[s.split.whole[d.half]]; c.Kind == solver.Keep && s.q.Problem.Graph.Uses(c.Sum).Constant() {
		near = exactly
	}
	if d.bound.Joint {
		return math.Abs(d.worst.room-d.bound.Room) <= near*math.Abs(d.room-d.bound.Room)+rounding
	}
	loss := math.Abs(d.figure - d.bound.Worst)
	told := 0.0
	for i := range s.q.Tolerances {
		told += s.moved(d.slopes, i)
	}
	for _, g := range s.q.Tolerances {
		if g.Lower != -g.Upper { // the figure is not in the middle of where it lies
			return math.Abs(d.worst.figure-d.bound.Worst) <= near*told
		}
	}
	return math.Abs(d.worst.figure-d.bound.Worst) <= near*loss+rounding && math.Abs(told-loss) <= straight*loss+rounding
}
