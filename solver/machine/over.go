package machine

import (
	"context"
	"math"

	"barover/solver"
)

// FiguresAt is the figure of a check at each of these turns, at one travel setting: of a clear or a gap line the distance in the
// side view, of a keep line its sum, of a loose line its signed miss; mm, rad or a bare number. It is NaN where the parts
// cannot be assembled or the figure has no value. Nothing is proved by it: it is for a curve beside the answer.
func (m *Machine) FiguresAt(ctx context.Context, check int, travel, turns []float64) ([]float64, error) {
	c := &m.Problem.Checks[check]
	var fig figure
	var need needs
	switch c.Kind {
	case solver.Keep:
		fig, need = m.sum(c.Sum), m.needsOf(c.Sum)
	case solver.Loose:
		fig, need = m.miss(c).figure, m.needsOf(m.Problem.Linkage.Equations[c.Equation].V)
	default:
		fig, need = m.pairFigure(c.A, c.B), m.needsOf()
	}
	r, err := m.runBeside(ctx, travel, need)
	if err != nil {
		return nil, err
	}
	return r.along(ctx, fig, turns)
}

// Nearest is the least distance of two profiles in the side view over the turn at one travel setting, mm, and where it is.
// It is looked for position by position and refined, not proved. It is NaN where the parts cannot be assembled anywhere.
func (m *Machine) Nearest(ctx context.Context, a, b int, travel []float64) (at, d float64, err error) {
	r, err := m.runBeside(ctx, travel, m.needsOf())
	if err != nil {
		return math.NaN(), math.NaN(), err
	}
	k, ok := r.trace(m.pairFigure(a, b), search{least: true}).least()
	if !ok {
		return math.NaN(), math.NaN(), ctx.Err()
	}
	return k.t, k.v, ctx.Err()
}

// runBeside looks at the motion at one travel setting with what sums need there.
func (m *Machine) runBeside(ctx context.Context, travel []float64, need needs) (*run, error) {
	rest, err := m.runWith(ctx, restSetting(m.Problem.Travels), nil, needs{need.headings, make([]bool, len(need.whole))})
	if err != nil {
		return nil, err
	}
	if sameSetting(travel, rest.travel) {
		rest = nil
	}
	return m.runWith(ctx, travel, rest, need)
}

// along evaluates a figure at turns.
func (r *run) along(ctx context.Context, fig figure, turns []float64) ([]float64, error) {
	s := r.m.newStation()
	out := make([]float64, len(turns))
	for i, t := range turns {
		out[i] = math.NaN()
		if r.stand(t, s) {
			out[i] = fig.value(s)
		}
	}
	return out, ctx.Err()
}
