package spread

import (
	"context"
	"math"
	"slices"

	"barover/solver/machine"
)

// Slopes at one engine do not tell which limit is the worst where a figure has a kink or is flat there, or turns round on the
// way to a limit: |d − 10| at d = 10 has no slope at all. So each side is looked at in two more engines that lie off
// everything, each other's mirror image, and what a tolerance does to it is in doubt where the slopes do not all point one way.
// What is in doubt is then tried.

// slight is the share of all that the tolerances do to a side below which the sign of a slope is rounding.
const slight = 1e-5

// probes are two engines at places that no sum is likely to be made for: each tolerance goes a good part of the way to one of
// its limits in the first and to the other in the second.
func (s *spread) probes() [2][]float64 {
	golden := (math.Sqrt(5) - 1) / 2 // its multiples are spread as evenly as can be, and no two are alike
	var out [2][]float64
	for i, t := range s.q.Tolerances {
		_, share := math.Modf(golden * float64(i+1))
		_, side := math.Modf(math.Sqrt2 * float64(i+1))
		by := 0.55 + 0.4*share
		if side < 0.5 {
			by = -by
		}
		for k, sign := range [2]float64{1, -1} {
			out[k] = append(out[k], t.Value+(t.Lower+t.Upper)/2+sign*by*(t.Upper-t.Lower)/2)
		}
	}
	return out
}

// weigh finds for each side what its slopes do not tell. A side that comes near to its limit is looked at in more engines, with
// each tolerance alone at either limit.
func (s *spread) weigh(ctx context.Context) error {
	var places []place
	for _, at := range s.probes() {
		for i := range s.sides {
			if d := &s.sides[i]; !s.settled(d) {
				places = append(places, place{at, d})
			}
		}
	}
	if _, err := s.visit(ctx, places); err != nil {
		return err
	}
	places = nil
	for i := range s.sides {
		if d := &s.sides[i]; d.tight() && !s.settled(d) {
			places = append(places, s.limits(d)...)
		}
	}
	if _, err := s.visit(ctx, places); err != nil {
		return err
	}
	for i := range s.sides {
		if d := &s.sides[i]; !s.settled(d) {
			d.doubts = s.doubts(d)
		}
	}
	return nil
}

// limits is the engines with one tolerance at a limit, of those that may have to do with a side.
func (s *spread) limits(d *side) (list []place) {
	for _, i := range d.reach {
		t := s.q.Tolerances[i]
		for _, x := range [2]float64{t.Value + t.Lower, t.Value + t.Upper} {
			at := s.within()
			at[i] = x
			list = append(list, place{at, d})
		}
	}
	return list
}

// doubts lists the tolerances that a side's slopes do not tell enough of: all that may have to do with it where there are none.
func (s *spread) doubts(d *side) (list []int) {
	if len(d.slants) == 0 {
		if d.blind {
			return d.reach
		}
		return nil
	}
	most := 0.0
	for _, g := range d.slants {
		sum := 0.0
		for i := range g {
			sum += s.moved(g, i)
		}
		most = math.Max(most, sum)
	}
	for _, i := range d.reach {
		if s.inDoubt(d, i, slight*most) {
			list = append(list, i)
		}
	}
	return list
}

// slant takes note of a side's slopes in one engine. Where there is nothing to measure it has none, and none are missed.
func (d *side) slant(room float64, slopes []float64) {
	if slopes != nil {
		d.slants = append(d.slants, slopes)
	} else if !math.IsInf(room, 1) {
		d.blind = true
	}
}

// moved is by how much a tolerance moves a side either way, by slopes.
func (s *spread) moved(slopes []float64, i int) float64 {
	t := s.q.Tolerances[i]
	return math.Abs(slopes[i]) * (t.Upper - t.Lower) / 2
}

// inDoubt reports whether the slopes of a side by a tolerance leave open what it does. Effects up to little do not count.
func (s *spread) inDoubt(d *side, i int, little float64) bool {
	up, down := false, false
	for _, g := range d.slants {
		if math.Abs(g[i]) >= weakest && s.moved(g, i) > little {
			up, down = up || g[i] > 0, down || g[i] < 0
		}
	}
	flat := d.slopes == nil || math.Abs(d.slopes[i]) < weakest
	return up && down || (up || down) && flat
}

// reaches finds which tolerances may have to do with each side.
func (s *spread) reaches(m *machine.Machine) {
	for i, t := range s.q.Tolerances {
		var halves []int
		if s.base != nil {
			halves = m.Problem.Touched(m.Values, t.Dim)
		} else {
			halves = upTo(len(m.Problem.Checks))
		}
		for k := range s.sides {
			if d := &s.sides[k]; slices.Contains(halves, d.half) {
				d.reach = append(d.reach, i)
			}
		}
	}
}
