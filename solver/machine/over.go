package machine

import (
	"context"
	"math"

	"barover/solver/engine"
)

// FiguresAt returns the figure of a check at each of these turns, at one travel setting: the distance in the side view
// for a clear or a gap line, the sum of a keep line, the signed miss of a loose line; mm, rad or a bare number. It is NaN
// where the parts cannot be assembled or the figure has no value. It proves nothing: it is for a curve next to the
// answer.
func (m *Machine) FiguresAt(ctx context.Context, check int, travel, turns []float64) ([]float64, error) {
	r, err := m.RunFor(ctx, travel, m.NeedsOf(engine.Asked{Checks: []int{check}}.Sums(m.Problem)...))
	if err != nil {
		return nil, err
	}
	return along(r, ctx, m.figureOf(&m.Problem.Checks[check]), turns)
}

// Nearest returns the least distance of two profiles in the side view over the turn at one travel setting, mm, and its
// place. It is sampled and refined, not proved. It is NaN where the parts cannot be assembled anywhere.
func (m *Machine) Nearest(ctx context.Context, a, b int, travel []float64) (at, d float64, err error) {
	r, err := m.RunFor(ctx, travel, m.NeedsOf())
	if err != nil {
		return math.NaN(), math.NaN(), err
	}
	k, ok := r.Trace(m.PairFigure(a, b), engine.Search{Least: true}).Least()
	if !ok {
		return math.NaN(), math.NaN(), ctx.Err()
	}
	return k.T, k.V, ctx.Err()
}

// along evaluates a figure at turns.
func along(r *engine.Run, ctx context.Context, fig engine.Figure, turns []float64) ([]float64, error) {
	s := r.Engine.NewStation()
	out := make([]float64, len(turns))
	for i, t := range turns {
		out[i] = math.NaN()
		if r.Stand(t, s) {
			out[i] = fig.Value(s)
		}
	}
	return out, ctx.Err()
}
