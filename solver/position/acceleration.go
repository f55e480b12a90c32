package position

import (
	"math"

	"barover/solver/plane"
	"barover/solver/schedule"
)

// Acceleration is second derivatives by the turn, from those of every op and row along the motion.
type Acceleration struct {
	Speed *Speed
	c     schedule.Coefs // second derivatives of the coefficients
	Z     []plane.Vec    // of the places
	x     []float64      // of the scalars
}

// NewAcceleration allocates the rates of a state and of all others with its program.
func NewAcceleration(e *State) *Acceleration {
	return &Acceleration{Speed: NewSpeed(e), c: make(schedule.Coefs, len(e.C)), Z: make([]plane.Vec, len(e.Z)), x: make([]float64, len(e.X))}
}

// Find fills in the first and second derivatives at the present position of e.
func (b *Acceleration) Find(e *State) {
	e.Velocity(b.Speed, 1, nil, math.MaxInt)
	for i, id := range e.Program.Driven {
		b.c[id] = b.Speed.jet[i][2]
	}
	for i := range e.Schedule.Steps {
		step := &e.Schedule.Steps[i]
		if len(step.Scalars) == 0 {
			b.drift(e, step)
			continue
		}
		for _, s := range step.Scalars {
			b.x[s] = 0
		}
		b.drift(e, step)
		q := e.balanced(step)
		if q != nil {
			q.against(func(r *schedule.Row) float64 { return b.row(e, r) }, nil)
		}
		for j, s := range step.Scalars {
			b.x[s] = math.NaN()
			if q != nil {
				b.x[s] = q.m.R[j]
			}
		}
		b.drift(e, step)
	}
}

func (b *Acceleration) drift(e *State, step *schedule.Step) {
	for i := range step.Ops {
		b.Z[step.Ops[i].Z] = b.op(e, &step.Ops[i])
	}
}
