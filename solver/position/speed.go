package position

import (
	"math"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// Speed is the velocity of an engine along a road: derivatives of everything by the distance along it.
type Speed struct {
	jet [][expr.Order + 1]float64
	C   schedule.Coefs
	Z   []plane.Vec
	X   []float64
}

// NewSpeed allocates the speeds of a state and of all others with its program.
func NewSpeed(e *State) *Speed {
	return &Speed{jet: make([][expr.Order + 1]float64, len(e.Program.Driven)), C: make(schedule.Coefs, len(e.C)),
		Z: make([]plane.Vec, len(e.Z)), X: make([]float64, len(e.X))}
}

// Velocity finds the velocities of the first limit blocks, where the turn moves by turn and each travel by travel for a
// unit of the road. The engine must be solved and complete. On a dead centre the result is NaN or very large.
func (e *State) Velocity(v *Speed, turn float64, travel []float64, limit int) {
	e.drives(v, turn, travel)
	for i := range e.Schedule.Steps {
		step := &e.Schedule.Steps[i]
		if len(step.Scalars) == 0 {
			e.drift(step, v)
			continue
		}
		if step.Block == limit {
			return
		}
		e.blockVelocity(step, v)
	}
}

// drives finds the velocities of the coefficients.
func (e *State) drives(v *Speed, turn float64, travel []float64) {
	e.all.Along(e.Turn, turn, e.Travel, travel, v.jet)
	for i, id := range e.Program.Driven {
		v.C[id] = v.jet[i][1]
	}
	for _, id := range e.Program.turns {
		v.C[id] = turn
	}
}

// drift finds the velocities of the places of a step.
func (e *State) drift(step *schedule.Step, v *Speed) {
	for i := range step.Ops {
		op := &step.Ops[i]
		v.Z[op.Z] = op.Tangent(e.C, e.Z, e.X, v.C, v.Z, v.X)
	}
}

// blockVelocity finds the velocity of a block's scalars with which its rows stay zero.
func (e *State) blockVelocity(step *schedule.Step, v *Speed) {
	for _, s := range step.Scalars {
		v.X[s] = 0
	}
	e.drift(step, v)
	b := e.balanced(step)
	if b != nil {
		b.against(func(r *schedule.Row) float64 { return r.Tangent(e.C, e.Z, v.C, v.Z) }, func(k int) float64 { return b.leaning(k, v) })
	}
	for j, s := range step.Scalars {
		v.X[s] = math.NaN()
		if b != nil {
			v.X[s] = b.m.R[j]
		}
	}
	e.drift(step, v)
}
