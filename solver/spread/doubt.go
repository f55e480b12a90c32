package spread

import (
	"context"
	"math"
	"slices"

	"barover/solver/machine"
)

// Slopes at one engine do not say which limit is the worst where a figure has a kink, is flat, or turns between the value
// and a limit: |d − 10| at d = 10 has no slope at all. So each side is measured in two more engines, away from all
// special values, each the mirror image of the other. The effect of a tolerance is in doubt where the slopes do not all
// point one way. What is in doubt is then tried.

// slight is the share of the total effect of the tolerances on a side below which the sign of a slope is rounding.
const slight = 1e-5

// probes returns two engines at places that are special to no sum: each tolerance goes a good part of the way to one of
// its limits in the first, and to the other in the second.
func (s *spread) probes() [2][]float64 {
	golden := (math.Sqrt(5) - 1) / 2 // its multiples are evenly spread, and no two are alike
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

// weigh finds for each side what its slopes leave open. A side near its limit is measured in more engines, with each
// tolerance alone at either limit.
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

// limits lists the engines with one tolerance at a limit, for those tolerances that may affect a side.
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

// doubts lists the tolerances for which a side's slopes do not decide: all that may affect it where it has no slopes.
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

// slant notes a side's slopes in one engine. Where there is nothing to measure there are none, and none are missing.
func (d *side) slant(room float64, slopes []float64) {
	if slopes != nil {
		d.slants = append(d.slants, slopes)
	} else if !math.IsInf(room, 1) {
		d.blind = true
	}
}

// moved returns how far a tolerance moves a side either way, by slopes.
func (s *spread) moved(slopes []float64, i int) float64 {
	t := s.q.Tolerances[i]
	return math.Abs(slopes[i]) * (t.Upper - t.Lower) / 2
}

// inDoubt reports whether the slopes of a side by a tolerance leave its effect open. Effects up to little do not count.
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

// reaches finds which tolerances may affect each side.
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
