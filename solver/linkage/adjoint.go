package linkage

import (
	"math"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/position"
)

// Adjoint goes backward through the linkage. dX and dY are the derivatives of a figure by the coordinates of each point
// at a solved pose, as if every point could be moved independently. It returns how the figure depends on the coefficients
// of the sketch's statements, which hold the points. With c the position of p, expr.Eval.Backward takes the seeds on to
// the dimensions, the turn and the travels. It reports false on a dead centre, where there is no derivative.
func (l *Linkage) Adjoint(p *Pose, dX, dY []float64) (seeds []expr.Seed, ok bool) {
	e := l.standing(p)
	defer l.moved(e)
	b := position.NewAdjoint(e)
	for i, z := range l.s.Point {
		b.Z[z] = plane.Vec{X: dX[i], Y: dY[i]}
	}
	b.Pull()
	for id, w := range b.C {
		if math.IsNaN(w) || math.IsInf(w, 0) {
			return nil, false
		}
		if w != 0 {
			seeds = append(seeds, expr.Seed{Node: expr.ID(id), Weight: w})
		}
	}
	return seeds, b.OK()
}
