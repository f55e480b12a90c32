package spread

import (
	"context"
	"math"
	"slices"
)

// climbs is how often a corner is left for a worse one that its slopes point to.
const climbs = 4

// weakest is the slope below which a slope is rounding.
const weakest = 1e-9

// climber is the search for the worst of one side: it goes from corner to corner of the limits.
type climber struct {
	d      *side
	at     []float64   // where it is
	slopes []float64   // of the side's room there; nil where the search ends
	been   [][]float64 // corners
}

// corners solves, for each side, the engine with every part at the limit that is worst for it.
func (s *spread) corners(ctx context.Context) error {
	var list []*climber
	for i := range s.sides {
		if d := &s.sides[i]; !s.settled(d) {
			list = append(list, &climber{d: d, at: d.worst.at, slopes: d.slopes})
		}
	}
	return s.rise(ctx, list)
}

// rise moves each climber to the corner that its slopes point to, and on while the slopes there point to another. Sides
// that reach the same corner share the engine solved there.
func (s *spread) rise(ctx context.Context, list []*climber) error {
	for range climbs {
		var on []*climber
		for _, c := range list {
			if s.goesOn(c) {
				on = append(on, c)
			}
		}
		if err := s.stop(ctx, on); err != nil || len(on) == 0 {
			return err
		}
	}
	return nil
}

// goesOn moves a climber to its next corner, if there is one.
func (s *spread) goesOn(c *climber) bool {
	next := s.pointed(c.at, c.slopes)
	if c.slopes == nil || slices.Equal(next, c.at) || slices.ContainsFunc(c.been, func(b []float64) bool { return slices.Equal(b, next) }) {
		c.slopes = nil
		return false
	}
	c.at, c.been = next, append(c.been, next)
	return true
}

// pointed returns the corner that slopes point to. A tolerance without a slope keeps its value.
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

// stop solves the engines of climbers, and finds the corner that each is pointed to next.
func (s *spread) stop(ctx context.Context, list []*climber) error {
	var places []place
	for _, c := range list {
		places = append(places, place{c.at, c.d})
	}
	found, err := s.visit(ctx, places)
	for i, f := range found {
		list[i].slopes = f.slopes
	}
	return err
}
