package linkage

import (
	"math"
	"slices"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// Adjoint goes backward through the linkage. dX and dY are the derivative of a figure by the coordinates of each point at
// a solved pose, as if every point could be moved by itself. It returns how the figure depends on the coefficients of
// the sketch's statements, to which every point is bound: with c the position of p, expr.Eval.Backward takes the seeds
// on to the dimensions, the turn and the travels. It reports false on a dead centre, where there is no derivative.
func (l *Linkage) Adjoint(p *Pose, dX, dY []float64) (seeds []expr.Seed, ok bool) {
	e := l.borrow()
	defer l.pool.Put(e)
	l.stand(e, p)
	b := newPuller(e)
	for i, z := range l.s.Point {
		b.z[z] = plane.Vec{X: dX[i], Y: dY[i]}
	}
	b.pull()
	for id, w := range b.c {
		if math.IsNaN(w) || math.IsInf(w, 0) {
			return nil, false
		}
		if w != 0 {
			seeds = append(seeds, expr.Seed{Node: expr.ID(id), Weight: w})
		}
	}
	return seeds, b.ok()
}

// puller gathers the derivative of a figure by everything that the points follow from.
type puller struct {
	e *workspace
	z []plane.Vec    // by each place
	x []float64      // by each scalar
	c schedule.Coefs // by each coefficient

	asked func(op *schedule.Op, w plane.Vec) // told of each place that matters, where not nil
	held  func(row *schedule.Row, w float64) // told of each row that does
}

func newPuller(e *workspace) *puller {
	return &puller{e: e, z: make([]plane.Vec, len(e.z)), x: make([]float64, len(e.x)), c: make(schedule.Coefs, len(e.c))}
}

// pull goes from the last step to the first.
func (b *puller) pull() {
	k := len(b.e.p.blocks)
	for i := len(b.e.s.Steps) - 1; i >= 0; i-- {
		step := &b.e.s.Steps[i]
		b.ops(step)
		if len(step.Scalars) > 0 {
			k--
			b.block(step, b.e.room[k])
		}
	}
}

// ops takes the derivative by the places of a step back to what they are made from.
func (b *puller) ops(step *schedule.Step) {
	e := b.e
	for i := len(step.Ops) - 1; i >= 0; i-- {
		op := &step.Ops[i]
		w := b.z[op.Z]
		b.z[op.Z] = plane.Vec{}
		if w != (plane.Vec{}) {
			if b.asked != nil {
				b.asked(op, w)
			}
			op.Pull(e.c, e.z, e.x, w, b.z, b.x, b.c)
		}
	}
}

// block takes the derivative by a block's scalars back to what its rows are made from: Jᵀλ = −∂/∂x, and then λ times
// the slopes of the rows by everything else.
func (b *puller) block(step *schedule.Step, m *matrix) {
	moved := false
	for _, s := range step.Scalars {
		moved = moved || b.x[s] != 0
	}
	if !moved {
		return
	}
	q := b.e.balanced(step, m)
	if q == nil {
		b.x[step.Scalars[0]] = math.NaN()
		return
	}
	q.turn()
	clear(q.m.r)
	for j, s := range step.Scalars {
		q.m.r[j] = -b.x[s]
	}
	if q.m.solve() == 0 {
		q.m.r[0] = math.NaN()
	}
	q.pull(slices.Clone(q.m.r), b)
	for _, s := range step.Scalars {
		b.x[s] = 0
	}
}

// ok reports whether nothing has come out as no number.
func (b *puller) ok() bool {
	for _, z := range b.z {
		if math.IsNaN(z.X) || math.IsNaN(z.Y) {
			return false
		}
	}
	return !slices.ContainsFunc(b.x, math.IsNaN)
}
