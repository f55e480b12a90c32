package linkage

import (
	"cmp"
	"math"
	"slices"

	"barover/solver/schedule"
)

// looseWays returns the poses of a step with Loose rows that starts lead to, the best first. One that is clearly worse than
// the best is none, unless it too keeps within the play; nor is one that stands close beside a better one, as they do on
// either side of a ridge: that is the same way of assembly.
func (e *workspace) looseWays(step *schedule.Step, starts [][]float64) (ways [][]float64) {
	type way struct {
		x     []float64
		worst float64
	}
	var found []way
	all := &schedule.Step{Ops: step.Ops, Scalars: step.Scalars, Rows: slices.Concat(step.Rows, step.Loose)}
	loose := &schedule.Step{Ops: step.Ops, Scalars: step.Scalars, Rows: step.Loose}
	shares := make([]float64, len(step.Loose))
	for _, x := range starts {
		e.put(step, x)
		e.closest(all, nil, 30)
		if _, ok := e.loosely(step); ok {
			e.place(step)
			found = append(found, way{e.scalars(step), e.residuals(loose, shares)})
		}
	}
	slices.SortStableFunc(found, func(a, b way) int { return cmp.Compare(a.worst, b.worst) })
	for _, w := range found {
		if w.worst <= max(2*found[0].worst, 1) && !e.beside(step, ways, w.x) {
			ways = append(ways, w.x)
		}
	}
	return ways
}

// beside reports whether x stands close to one of the ways found.
func (e *workspace) beside(step *schedule.Step, found [][]float64, x []float64) bool {
	return slices.ContainsFunc(found, func(y []float64) bool {
		far := 0.0
		for j, s := range step.Scalars {
			d := math.Abs(x[j] - y[j])
			if e.s.Scalars[s].Direction {
				d *= e.scale.size
			}
			far = max(far, d)
		}
		return far <= e.scale.stray()
	})
}
