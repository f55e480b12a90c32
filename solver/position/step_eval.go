package position

import (
	"math"

	"barover/solver/plane"
	"barover/solver/schedule"
)

// This file evaluates a step exactly as in the Schedule, with nothing folded: for blocks of rows of any kind, and for all
// work that is done once and not at every position.

// Place makes the places of a step from its scalars.
func (e *State) Place(step *schedule.Step) {
	for i := range step.Ops {
		op := &step.Ops[i]
		e.Z[op.Z] = op.Value(e.C, e.Z, e.X)
	}
}

// Residuals puts the residual of each row, mm, into r and returns the largest; NaN if one is NaN.
func (e *State) Residuals(step *schedule.Step, r []float64) (largest float64) {
	size := e.sizeOf(step)
	for i := range step.Rows {
		row := &step.Rows[i]
		v := row.Value(e.C, e.Z) * row.Weight(e.C, e.Z, size)
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

// sizeOf is the size of the block of a step, mm; for scalars that are no block, that of the sketch.
func (e *State) sizeOf(step *schedule.Step) float64 {
	if len(step.Scalars) > 0 && e.Program.Size[step.Scalars[0]] > 0 {
		return e.Program.Size[step.Scalars[0]]
	}
	return e.Scale.Size
}

// Jacobian puts the slope of each row's residual by each scalar into a, by rows. It goes backward, row by row, since a
// row depends on few of the places.
func (e *State) Jacobian(step *schedule.Step, a []float64) {
	n, size := len(step.Scalars), e.sizeOf(step)
	e.startBack(step)
	for i := range step.Rows {
		row := &step.Rows[i]
		row.Pull(e.C, e.Z, row.Weight(e.C, e.Z, size), e.zBar, nil)
		e.back(step, a[i*n:(i+1)*n])
	}
}

// startBack clears the room for a figure's derivatives by the places of a step.
func (e *State) startBack(step *schedule.Step) {
	for i := range step.Ops {
		e.zBar[step.Ops[i].Z] = plane.Vec{}
	}
}

// back takes a derivative by the places of a step, gathered in zBar, to one by its scalars, and leaves the room clear.
func (e *State) back(step *schedule.Step, by []float64) {
	for _, s := range step.Scalars {
		e.xBar[s] = 0
	}
	for i := len(step.Ops) - 1; i >= 0; i-- {
		op := &step.Ops[i]
		if w := e.zBar[op.Z]; w != (plane.Vec{}) {
			e.zBar[op.Z] = plane.Vec{}
			op.Pull(e.C, e.Z, e.X, w, e.zBar, e.xBar, nil)
		}
	}
	for j, s := range step.Scalars {
		by[j] = e.xBar[s]
	}
}

// aheadIn reports whether all rows and slides of a step that ask for a direction have it.
func (e *State) aheadIn(step *schedule.Step) bool {
	for i := range step.Rows {
		if !step.Rows[i].Ahead(e.C, e.Z) {
			return false
		}
	}
	for i := range step.Ops {
		if op := &step.Ops[i]; op.Ahead && !(e.X[op.S] > 0) {
			return false
		}
	}
	return true
}

// Put sets the scalars of a step and places it.
func (e *State) Put(step *schedule.Step, x []float64) {
	for j, s := range step.Scalars {
		e.X[s] = x[j]
	}
	e.Place(step)
}

// Scalars are the present scalars of a step.
func (e *State) Scalars(step *schedule.Step) []float64 {
	x := make([]float64, len(step.Scalars))
	for j, s := range step.Scalars {
		x[j] = e.X[s]
	}
	return x
}

// Shift is the difference of a scalar between the frame of the sketch and the frame in which it is solved.
func (e *State) Shift(scalar int) float64 {
	switch k := e.Schedule.Scalars[scalar]; {
	case k.Direction:
	case k.Kind == schedule.ScalarX:
		return e.Scale.Origin.X
	case k.Kind == schedule.ScalarY:
		return e.Scale.Origin.Y
	}
	return 0
}

// SettleAt places everything from the present scalars.
func (e *State) SettleAt() {
	for i := range e.Schedule.Steps {
		e.Place(&e.Schedule.Steps[i])
	}
}
