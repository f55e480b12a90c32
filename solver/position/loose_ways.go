package position

import (
	"cmp"
	"math"
	"slices"

	"barover/solver/schedule"
)

// Ends returns the poses of a step with Loose rows that starts lead to, the best first. It leaves out one close beside a better one, as
// on either side of a ridge: that is the same way of assembly.
func (e *State) Ends(step *schedule.Step, starts [][]float64) (ends [][]float64) {
	type end struct {
		x     []float64
		worst float64
	}
	var found []end
	for _, x := range starts {
		e.Put(step, x)
		e.Closest(step.Tight(), nil, 30)
		if _, ok := e.loosely(step); ok {
			found = append(found, end{e.Scalars(step), e.worstShare(step)})
		}
	}
	slices.SortStableFunc(found, func(a, b end) int { return cmp.Compare(a.worst, b.worst) })
	for _, w := range found {
		if !e.Beside(step, ends, w.x) {
			ends = append(ends, w.x)
		}
	}
	return ends
}

// Good returns those of the Ends of a step that are ways of assembly: not clearly worse than the best, or within the play too. It reports
// whether the others are so much worse that none of them is one after a small change of dimensions either.
func (e *State) Good(step *schedule.Step, ends [][]float64) (ways [][]float64, sure bool) {
	play := math.Inf(1)
	for i := range step.Loose {
		play = min(play, e.C.At(step.Loose[i].Play))
	}
	limit := 1.0
	for k, x := range ends {
		e.Put(step, x)
		worst := e.worstShare(step)
		if k == 0 {
			limit = max(2*worst, 1)
		}
		if !(worst <= limit) {
			return ends[:k], (worst-limit)*play > otherMiss*e.Scale.stray()
		}
	}
	return ends, true
}

// otherMiss is by how many strays of a pose the loose lengths of another must be missed for it to be surely none.
const otherMiss = 4

// Beside reports whether x is close to one of the ways found.
func (e *State) Beside(step *schedule.Step, found [][]float64, x []float64) bool {
	return slices.ContainsFunc(found, func(y []float64) bool {
		far := 0.0
		for j, s := range step.Scalars {
			d := math.Abs(x[j] - y[j])
			if e.Schedule.Scalars[s].Direction {
				d *= e.Scale.Size
			}
			far = max(far, d)
		}
		return far <= e.Scale.stray()
	})
}
