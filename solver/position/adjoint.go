package position

import (
	"math"
	"slices"

	"barover/solver/plane"
	"barover/solver/schedule"
)

// Adjoint collects the derivatives of a figure by everything that the points depend on.
type Adjoint struct {
	e *State
	Z []plane.Vec    // by each place
	x []float64      // by each scalar
	C schedule.Coefs // by each coefficient

	Asked func(op *schedule.Op, w plane.Vec) // called with each place that matters, where not nil
	Held  func(row *schedule.Row, w float64) // called with each row that matters, where not nil
}

// NewAdjoint makes an adjoint at the present position of e, with all derivatives zero.
func NewAdjoint(e *State) *Adjoint {
	return &Adjoint{e: e, Z: make([]plane.Vec, len(e.Z)), x: make([]float64, len(e.X)), C: make(schedule.Coefs, len(e.C))}
}

// Pull goes from the last step to the first.
func (b *Adjoint) Pull() {
	for i := len(b.e.Schedule.Steps) - 1; i >= 0; i-- {
		step := &b.e.Schedule.Steps[i]
		b.ops(step)
		if len(step.Scalars) > 0 {
			b.block(step)
		}
	}
}

// ops takes the derivative by the places of a step back to their operands.
func (b *Adjoint) ops(step *schedule.Step) {
	e := b.e
	for i := len(step.Ops) - 1; i >= 0; i-- {
		op := &step.Ops[i]
		w := b.Z[op.Z]
		b.Z[op.Z] = plane.Vec{}
		if w != (plane.Vec{}) {
			if b.Asked != nil {
				b.Asked(op, w)
			}
			op.Pull(e.C, e.Z, e.X, w, b.Z, b.x, b.C)
		}
	}
}

// block takes the derivative by a block's scalars back to the operands of its rows: Jᵀλ = −∂/∂x, and then λ times the
// slopes of the rows by everything else.
func (b *Adjoint) block(step *schedule.Step) {
	moved := false
	for _, s := range step.Scalars {
		moved = moved || b.x[s] != 0
	}
	if !moved {
		return
	}
	q := b.e.balanced(step)
	if q == nil {
		b.x[step.Scalars[0]] = math.NaN()
		return
	}
	q.m.transpose()
	clear(q.m.R)
	for j, s := range step.Scalars {
		q.m.R[j] = -b.x[s]
	}
	if q.m.Solve() == 0 {
		q.m.R[0] = math.NaN()
	}
	q.pull(slices.Clone(q.m.R), b)
	for _, s := range step.Scalars {
		b.x[s] = 0
	}
}

// OK reports whether no derivative is NaN.
func (b *Adjoint) OK() bool {
	for _, z := range b.Z {
		if math.IsNaN(z.X) || math.IsNaN(z.Y) {
			return false
		}
	}
	return !slices.ContainsFunc(b.x, math.IsNaN)
}
