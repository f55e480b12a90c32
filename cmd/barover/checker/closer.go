package checker

import (
	"math"
	"math/cmplx"
	"slices"
)

// How finely a run of poses is divided: how often halved, and into how many poses at most.
const (
	mostDepth = 14
	mostRun   = 4000
)

// swung is how far a part may turn from one pose of a run to the next, rad. A part that turns faster may meet something
// and pass it between two poses.
const swung = 0.07

// smooth puts poses between those of a run where a part turns fast.
func (s *Sketch) smooth(run []*Pose) []*Pose {
	return s.halved(run, func(i int, run []*Pose) bool {
		return slices.ContainsFunc(s.parts, func(p part) bool {
			return math.Abs(cmplx.Phase(p.direction(run[i+1])/p.direction(run[i]))) > swung
		})
	})
}

// closer puts poses between those of a run where asks wants it for the values at both ends and the most that the figure
// may change between them, by the slopes seen nearby. If best is given, it takes any lower value.
func (s *Sketch) closer(run []*Pose, g Figure, asks func(a, b, most float64) bool, best *Least) []*Pose {
	values := make(map[*Pose]float64)
	value := func(p *Pose) float64 {
		v, ok := values[p]
		if !ok {
			v = g(p)
			values[p] = v
			if best != nil {
				best.take(p, v)
			}
		}
		return v
	}
	for _, p := range run {
		value(p)
	}
	return s.halved(run, func(i int, run []*Pose) bool {
		a, b := value(run[i]), value(run[i+1])
		most := math.Abs(b - a)
		if i > 0 {
			most = max(most, math.Abs(a-value(run[i-1])))
		}
		if i+2 < len(run) {
			most = max(most, math.Abs(value(run[i+2])-b))
		}
		return asks(a, b, most)
	})
}

// halved puts a pose in the middle between two of a run as long as asks wants it.
func (s *Sketch) halved(run []*Pose, asks func(i int, run []*Pose) bool) []*Pose {
	for range mostDepth {
		var finer []*Pose
		for i, p := range run {
			finer = append(finer, p)
			if i == len(run)-1 || len(finer) > mostRun || !asks(i, run) {
				continue
			}
			q := run[i+1]
			if mid := s.goTo(p, (p.Turn+q.Turn)/2, blend(p.Travel, q.Travel, 0.5)); mid != nil {
				finer = append(finer, mid)
			}
		}
		if len(finer) == len(run) {
			break
		}
		run = finer
	}
	return run
}
