package machine

import (
	"context"
	"math"
	"slices"

	"barover/solver/engine"
)

// Failing lists the checks that do not hold. It is quicker than answering them: the distance of two parts is computed
// only as closely as the decision needs.
func (m *Machine) Failing(ctx context.Context, o Options, checks []int) ([]int, error) {
	bars := make([]engine.Bar, len(checks))
	for i := range bars {
		bars[i] = engine.Bar{Least: math.Inf(-1), Greatest: math.Inf(1)}
	}
	verdicts, err := m.Against(ctx, o, checks, bars)
	if err != nil {
		return nil, err
	}
	var open, out []int
	for k, i := range checks {
		switch verdicts[k] {
		case Open:
			open = append(open, i)
		case FallsShort:
			out = append(out, i)
		}
	}
	found, _, _, err := m.answer(ctx, o.quietly(), engine.Asked{Checks: open})
	for i := range found {
		if !found[i].OK {
			out = append(out, found[i].Check)
		}
	}
	slices.Sort(out)
	return out, err
}
