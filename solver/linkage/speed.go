package linkage

import (
	"math"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// speed is how fast an engine moves along a road: derivatives of everything by the way along it.
type speed struct {
	jet [][expr.Order + 1]float64
	c   schedule.Coefs
	z   []plane.Vec
	x   []float64
}

func newSpeed(e *workspace) *speed {
	return &speed{jet: make([][expr.Order + 1]float64, len(e.p.driven)), c: make(schedule.Coefs, len(e.c)),
		z: make([]plane.Vec, len(e.z)), x: make([]float64, len(e.x))}
}

// velocity finds how fast the first limit blocks move, where the turn goes on by turn and each travel by travel for a
// unit of the way. The engine must be solved and complete. Where it stands on a dead centre the result is no number or
// very large.
func (e *workspace) velocity(v *speed, turn float64, travel []float64, limit int) {
	e.drives(v, turn, travel)
	k := 0
	for i := range e.s.Steps {
		step := &e.s.Steps[i]
		if len(step.Scalars) == 0 {
			e.drift(step, v)
			continue
		}
		if k == limit {
			return
		}
		e.blockVelocity(step, v, e.room[k])
		k++
	}
}

// drives finds how fast the coefficients move.
func (e *workspace) drives(v *speed, turn float64, travel []float64) {
	e.all.Along(e.turn, turn, e.travel, travel, v.jet)
	for i, id := range e.p.driven {
		v.c[id] = v.jet[i][1]
	}
	for _, id := range e.p.turns {
		v.c[id] = turn
	}
}

// drift moves the places of a step.
func (e *workspace) drift(step *schedule.Step, v *speed) {
	for i := range step.Ops {
		op := &step.Ops[i]
		v.z[op.Z] = op.Tangent(e.c, e.z, e.x, v.c, v.z, v.x)
	}
}

// blockVelocity finds the speed of a block's scalars with which its rows stay zero.
func (e *workspace) blockVelocity(step *schedule.Step, v *speed, m *matrix) {
	for _, s := range step.Scalars {
		v.x[s] = 0
	}
	e.drift(step, v)
	b := e.balanced(step, m)
	if b != nil {
		b.against(func(r *schedule.Row) float64 { return r.Tangent(e.c, e.z, v.c, v.z) }, func(k int) float64 { return b.leaning(k, v) })
	}
	for j, s := range step.Scalars {
		v.x[s] = math.NaN()
		if b != nil {
			v.x[s] = b.m.r[j]
		}
	}
	e.drift(step, v)
}
