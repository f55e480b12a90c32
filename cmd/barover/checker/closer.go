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
	run, _ = s.halved(run, func(*Pose) float64 { return 0 }, func(i int, run []*Pose, _ []float64) bool {
		return slices.ContainsFunc(s.parts, func(p part) bool {
			return math.Abs(cmplx.Phase(p.direction(run[i+1])/p.direction(run[i]))) > swung
		})
	})
	return run
}

// closer puts poses between those of a run where asks wants it for the values at both ends and the most that the figure
// may change between them, by the slopes seen nearby. It returns the values too.
func (s *Sketch) closer(run []*Pose, g Figure, asks func(a, b, most float64) bool) ([]*Pose, []float64) {
	return s.halved(run, g, func(i int, _ []*Pose, v []float64) bool {
		a, b := v[i], v[i+1]
		most := math.Abs(b - a)
		if i > 0 {
			most = max(most, math.Abs(a-v[i-1]))
		}
		if i+2 < len(v) {
			most = max(most, math.Abs(v[i+2]-b))
		}
		return asks(a, b, most)
	})
}

// halved puts a pose in the middle between two of a run as long as asks wants it. It returns the values of a figure too.
func (s *Sketch) halved(run []*Pose, g Figure, asks func(i int, run []*Pose, values []float64) bool) ([]*Pose, []float64) {
	values := make([]float64, len(run))
	for i, p := range run {
		values[i] = g(p)
	}
	for range mostDepth {
		var finer []*Pose
		var theirs []float64
		for i, p := range run {
			finer, theirs = append(finer, p), append(theirs, values[i])
			if i == len(run)-1 || len(finer) > mostRun || !asks(i, run, values) {
				continue
			}
			q := run[i+1]
			if mid := s.goTo(p, (p.Turn+q.Turn)/2, blend(p.Travel, q.Travel, 0.5)); mid != nil {
				finer, theirs = append(finer, mid), append(theirs, g(mid))
			}
		}
		if len(finer) == len(run) {
			break
		}
		run, values = finer, theirs
	}
	return run, values
}
