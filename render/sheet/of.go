package sheet

import (
	"context"
	"sync"

	"barover/solver"
	"barover/solver/linkage"
	"barover/solver/machine"
)

// Of makes an Engine of a machine and its answers; r may be nil.
func Of(ctx context.Context, m *machine.Machine, r *solver.Result) *Engine {
	e := &Engine{Problem: m.Problem, Values: m.Values, Regions: m.Regions, Poses: poser{ctx, m}, Result: r,
		Stopped: func() bool { return ctx.Err() != nil }, Plays: playsOf(ctx, m),
		Sums: func(check int, travel []float64) (turns, values []float64) {
			turns, values, err := m.Over(ctx, check, travel)
			if err != nil {
				return nil, nil // the work was interrupted, and the caller gets the error
			}
			return turns, values
		}}
	if len(m.Problem.Plays) > 0 {
		e.Within(ctx, sync.OnceValue(func() *machine.Envelopes { return m.Envelopes(ctx, nil) }), "with play")
	}
	return e
}

// Within draws clearances within the range of more engines, from the worst to the best; over names them.
func (e *Engine) Within(ctx context.Context, of func() *machine.Envelopes, over string) {
	e.Over = over
	e.Envelope = func(a, b int, travel []float64, most float64) machine.Envelope {
		v, err := of().Of(ctx, a, b, travel, most)
		if err != nil {
			return machine.Envelope{} // as above
		}
		return v
	}
}

// poser gives a Machine's positions to a sheet. Each position may be drawn, even if the engine is on a dead centre there.
// Sheets are drawn when they are first asked for, hence ctx. The only error is that of ctx. Positions are then missing,
// and the caller must check ctx before it shows the drawing.
type poser struct {
	ctx context.Context
	m   *machine.Machine
}

func (p poser) Pose(turn float64, travel []float64) (*linkage.Pose, bool) {
	pose, status, err := p.m.Pose(p.ctx, turn, travel)
	return pose, err == nil && status <= linkage.DeadCentre
}
