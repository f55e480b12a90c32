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

// jacobian puts the slope of each row's residual by each scalar into a, by rows. It goes backward, row by row: a row stands on
// few of the places.
func (e *workspace) jacobian(step *schedule.Step, a []float64) {
	n, size := len(step.Scalars), e.sizeOf(step)
	e.startBack(step)
	for i := range step.Rows {
		row := &step.Rows[i]
		row.Pull(e.c, e.z, row.Weight(e.c, e.z, size), e.zBar, nil)
		e.back(step, a[i*n:(i+1)*n])
	}
}

// startBack clears the room in which a figure's derivative by the places of a step is gathered.
func (e *workspace) startBack(step *schedule.Step) {
	for i := range step.Ops {
		e.zBar[step.Ops[i].Z] = plane.Vec{}
	}
}

// back takes a derivative by the places of a step, gathered in zBar, to one by its scalars, and leaves the room clear.
func (e *workspace) back(step *schedule.Step, by []float64) {
	for _, s := range step.Scalars {
		e.xBar[s] = 0
	}
	for i := len(step.Ops) - 1; i >= 0; i-- {
		op := &step.Ops[i]
		if w := e.zBar[op.Z]; w != (plane.Vec{}) {
			e.zBar[op.Z] = plane.Vec{}
			op.Pull(e.c, e.z, e.x, w, e.zBar, e.xBar, nil)
		}
	}
	for j, s := range step.Scalars {
		by[j] = e.xBar[s]
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
