package spread

import (
	"context"
	"math"
	"slices"

	"barover/solver"
)

// climbs is how often a corner is left for a worse one that the slopes at it point to.
const climbs = 4

// corners solves, for each side, the engine with every part at the limit that is worst for it.
func (s *spread) corners(ctx context.Context) error {
	return solver.Share(ctx, s.quiet(), len(s.sides), func(i int) error {
		d := &s.sides[i]
		return s.toCorner(ctx, d, d.worst.at, d.slopes, s.alone())
	})
}

// toCorner goes from values with these slopes of a side's room to the corner of the limits that they point to, solves
// that, and goes on from there while its slopes point to another.
func (s *spread) toCorner(ctx context.Context, d *side, at, slopes []float64, o solver.Options) error {
	var been [][]float64
	for range climbs {
		next := s.pointed(at, slopes)
		if slopes == nil || slices.ContainsFunc(been, func(b []float64) bool { return slices.Equal(b, next) }) || slices.Equal(next, at) {
			return nil
		}
		been, at = append(been, next), next
		var err error
		if slopes, err = s.try(ctx, d, at, false, o); err != nil {
			return err
		}
	}
	return nil
}

// pointed is the corner that slopes point to: what has none stays where it is.
func (s *spread) pointed(at, slopes []float64) []float64 {
	out := slices.Clone(at)
	for i, t := range s.q.Tolerances {
		switch {
		case i >= len(slopes) || math.Abs(slopes[i]) < weakest:
		case slopes[i] > 0:
			out[i] = t.Value + t.Lower
		default:
			out[i] = t.Value + t.Upper
		}
	}
	return out
}

// weakest is the slope below which one is rounding.
const weakest = 1e-9

// try solves the engine with these values for one side, takes note of it if it is worse than what was found, and returns
// the slopes there.
func (s *spread) try(ctx context.Context, d *side, at []float64, drawn bool, o solver.Options) ([]float64, error) {
	m, err := s.machine(at)
	if err != nil {
		d.worst.unmade = true
		return nil, ctx.Err()
	}
	res, err := m.Some(ctx, o, []int{d.half})
	if err != nil {
		return nil, err
	}
	if len(res.Broken) > 0 {
		d.worst.unmade = true
	}
	s.note(d, m.Problem, &res.Findings[0], at, drawn)
	slopes, err := s.slopes(ctx, m, res.Findings)
	if err != nil {
		return nil, err
	}
	return slopes[0], nil
}

// note takes note of a finding if it is worse than what was found for its side.
func (s *spread) note(d *side, p *solver.Problem, f *solver.Finding, at []float64, drawn bool) {
	room, ok := s.split.room(d.half, p, f)
	d.worst.ok = d.worst.ok && ok
	if room < d.worst.room {
		d.worst.room, d.worst.figure, d.worst.at = room, s.split.figure(d.half, f), at
		d.worst.drawn, d.worst.sure = drawn, f.Sure
	}
}
