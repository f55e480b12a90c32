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
				return nil, nil // the work was broken off, and whoever asked for the sheet is told
			}
			return turns, values
		}}
	if len(m.Problem.Plays) > 0 {
		e.Within(ctx, sync.OnceValue(func() *machine.Envelopes { return m.Envelopes(ctx, nil) }), "with play")
	}
	return e
}

// Within has clearances charted with what lies between the worst and the best of more engines, which are named by over.
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

// poser gives a Machine's positions to a sheet, of which each position may be drawn although the engine stands at a
// dead centre there. Sheets are drawn when they are first asked for, hence ctx. The only error is that of ctx: positions are
// then missing, and who asked for the drawing must look at ctx before it is shown.
type poser struct {
	ctx context.Context
	m   *machine.Machine
}

func (p poser) Pose(turn float64, travel []float64) (*linkage.Pose, bool) {
	pose, status, err := p.m.Pose(p.ctx, turn, travel)
	return pose, err == nil && status <= linkage.DeadCentre
}
