package linkage

import (
	"math"

	"barover/solver/plane"
	"barover/solver/schedule"
)

// This file evaluates a step as the Schedule has it, with nothing folded: for blocks of rows of any kind, and for all
// that is done once and not at every position.

// place makes the places of a step from its scalars.
func (e *workspace) place(step *schedule.Step) {
	for i := range step.Ops {
		op := &step.Ops[i]
		e.z[op.Z] = op.Value(e.c, e.z, e.x)
	}
}

// residuals puts the residual of each row, mm, into r and returns the largest; NaN if one is no number.
func (e *workspace) residuals(step *schedule.Step, r []float64) (largest float64) {
	size := e.sizeOf(step)
	for i := range step.Rows {
		row := &step.Rows[i]
		v := row.Value(e.c, e.z) * row.Weight(e.c, e.z, size)
		r[i] = v
		if !(math.Abs(v) <= largest) {
			largest = math.Abs(v)
			if math.IsNaN(v) {
				return v
			}
		}
	}
	return largest
}

// sizeOf is the size of the block that a step is, mm; of scalars that are none, that of the sketch.
func (e *workspace) sizeOf(step *schedule.Step) float64 {
	if len(step.Scalars) > 0 && e.p.size[step.Scalars[0]] > 0 {
		return e.p.size[step.Scalars[0]]
	}
	return e.scale.size
}

// jacobian puts the slope of each row's residual by each scalar into a, by rows.
func (e *workspace) jacobian(step *schedule.Step, a []float64) {
	n, size := len(step.Scalars), e.sizeOf(step)
	for j, s := range step.Scalars {
		e.dx[s] = 1
		for i := range step.Ops {
			op := &step.Ops[i]
			e.dz[op.Z] = op.Tangent(e.c, e.z, e.x, nil, e.dz, e.dx)
		}
		e.dx[s] = 0
		for i := range step.Rows {
			row := &step.Rows[i]
			a[i*n+j] = row.Tangent(e.c, e.z, nil, e.dz) * row.Weight(e.c, e.z, size)
		}
	}
	for i := range step.Ops {
		e.dz[step.Ops[i].Z] = plane.Vec{}
	}
}

// aheadIn reports whether all that asks a direction in a step points its own way.
func (e *workspace) aheadIn(step *schedule.Step) bool {
	for i := range step.Rows {
		if !step.Rows[i].Ahead(e.c, e.z) {
			return false
		}
	}
	for i := range step.Ops {
		if op := &step.Ops[i]; op.Ahead && !(e.x[op.S] > 0) {
			return false
		}
	}
	return true
}
