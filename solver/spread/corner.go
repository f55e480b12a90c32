package spread

import (
	"context"
	"fmt"
	"math"
	"slices"

	"barover/solver"
)

// climbs is how often a corner is left for a worse one that the slopes at it point to.
const climbs = 4

// weakest is the slope below which one is rounding.
const weakest = 1e-9

// rounding is by how much an engine must be worse than the worst to be named for it, mm, rad or as a plain number: engines that
// come to the same differ by some 1e-12, and a random one is not the worst for that.
const rounding = 1e-9

// climber is the search for the worst of one side: it goes from corner to corner of the limits.
type climber struct {
	d      *side
	at     []float64   // where it stands
	slopes []float64   // of the side's room there; nil where it goes no further
	been   [][]float64 // corners
}

// corners solves, for each side, the engine with every part at the limit that is worst for it.
func (s *spread) corners(ctx context.Context) error {
	var list []*climber
	for i := range s.sides {
		d := &s.sides[i]
		list = append(list, &climber{d: d, at: d.worst.at, slopes: d.slopes})
	}
	return s.rise(ctx, list)
}

// rise goes with each climber to the corner that its slopes point to, and on from there while the slopes at it point to
// another. Sides that come to the same corner share the engine solved there.
func (s *spread) rise(ctx context.Context, list []*climber) error {
	for range climbs {
		groups := s.together(list)
		if len(groups) == 0 {
			return nil
		}
		err := solver.Share(ctx, s.quiet(), len(groups), func(i int) error { return s.stop(ctx, groups[i]) })
		if err != nil {
			return err
		}
	}
	return nil
}

// together moves the climbers to their next corners, and groups those that came to the same one.
func (s *spread) together(list []*climber) (groups [][]*climber) {
	number := make(map[string]int)
	for _, c := range list {
		next := s.pointed(c.at, c.slopes)
		if c.slopes == nil || slices.Equal(next, c.at) || slices.ContainsFunc(c.been, func(b []float64) bool { return slices.Equal(b, next) }) {
			c.slopes = nil
			continue
		}
		c.at, c.been = next, append(c.been, next)
		key := fmt.Sprint(next)
		k, ok := number[key]
		if !ok {
			k = len(groups)
			number[key] = k
			groups = append(groups, nil)
		}
		groups[k] = append(groups[k], c)
	}
	return groups
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

// stop solves the engine where some climbers stand, and takes note of it for their sides.
func (s *spread) stop(ctx context.Context, group []*climber) error {
	at := group[0].at
	m, err := s.machine(at)
	if err != nil {
		for _, c := range group {
			c.d.worst.unmade, c.slopes = true, nil
		}
		return ctx.Err()
	}
	halves := make([]int, len(group))
	for i, c := range group {
		halves[i] = c.d.half
	}
	res, err := m.Some(ctx, s.alone(), halves)
	if err != nil {
		return err
	}
	slopes, err := s.slopes(ctx, m, res.Findings)
	if err != nil {
		return err
	}
	for i, c := range group {
		c.d.worst.unmade = c.d.worst.unmade || len(res.Broken) > 0
		s.note(c.d, m.Problem, &res.Findings[i], at, false)
		c.slopes = slopes[i]
	}
	return nil
}

// note takes note of a finding if it is worse than what was found for its side.
func (s *spread) note(d *side, p *solver.Problem, f *solver.Finding, at []float64, drawn bool) {
	room, ok := s.split.room(d.half, p, f)
	d.worst.ok = d.worst.ok && ok
	if room < d.worst.room-rounding {
		d.worst.room, d.worst.figure, d.worst.at = room, s.split.figure(d.half, f), at
		d.worst.drawn, d.worst.sure = drawn, f.Sure
	}
}
