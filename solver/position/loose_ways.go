package position

import (
	"cmp"
	"math"
	"slices"

	"barover/solver/schedule"
)

// looseWays returns the poses of a step with Loose rows that starts lead to, the best first. It leaves out one that is
// clearly worse than the best, unless it too keeps within the play. It also leaves out one close beside a better one, as
// on either side of a ridge: that is the same way of assembly.
func (e *State) looseWays(step *schedule.Step, starts [][]float64) (ways [][]float64) {
	type way struct {
		x     []float64
		worst float64
	}
	var found []way
	all := &schedule.Step{Ops: step.Ops, Scalars: step.Scalars, Rows: slices.Concat(step.Rows, step.Loose)}
	loose := &schedule.Step{Ops: step.Ops, Scalars: step.Scalars, Rows: step.Loose}
	shares := make([]float64, len(step.Loose))
	for _, x := range starts {
		e.Put(step, x)
		e.Closest(all, nil, 30)
		if _, ok := e.loosely(step); ok {
			e.Place(step)
			found = append(found, way{e.Scalars(step), e.Residuals(loose, shares)})
		}
	}
	slices.SortStableFunc(found, func(a, b way) int { return cmp.Compare(a.worst, b.worst) })
	for _, w := range found {
		if w.worst <= max(2*found[0].worst, 1) && !e.Beside(step, ways, w.x) {
			ways = append(ways, w.x)
		}
	}
	return ways
}

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
