package machine

import (
	"context"
	"math"

	"barover/solver"
	"barover/solver/engine"
)

// SomeBeside answers some of the checks as Some does, for a caller that needs to know only whether each holds and whether
// it goes beyond a bar. Where the samples of a figure come near neither the bar nor the limit, the worst sample is
// reported, without a search between samples. It does not report where over the turn a check is not met.
func (m *Machine) SomeBeside(ctx context.Context, o Options, checks []int, bars []engine.Bar) (*solver.Result, error) {
	a := engine.Asked{Checks: checks}
	for k, b := range bars {
		a.Bars = append(a.Bars, m.narrowed(checks[k], b))
	}
	res := new(solver.Result)
	var err error
	if res.Findings, _, _, err = m.answer(ctx, o, a); err != nil {
		return nil, err
	}
	res.Broken, err = m.broken(ctx, o, false)
	return res, err
}

// narrowed returns a bar that is no wider than the limits of a check, since whether it holds must be decided as well. A
// limit that changes with the turn leaves no room.
func (m *Machine) narrowed(i int, b engine.Bar) engine.Bar {
	c := &m.Problem.Checks[i]
	var lo, hi float64
	switch c.Kind {
	case solver.Clear, solver.Gap:
		lo, hi = m.Wanted(c), solver.OrNumber(m.Limit(c.AtMost), math.Inf(1))
		if c.Kind == solver.Gap {
			b = engine.Bar{Least: math.Inf(-1), Greatest: math.Inf(1)} // it is for the figure across, which does not change with the turn
		}
	case solver.Keep:
		if m.Moves(c.AtLeast) || m.Moves(c.AtMost) {
			return engine.Bar{Least: math.Inf(1), Greatest: math.Inf(-1)}
		}
		lo, hi = solver.OrNumber(m.Limit(c.AtLeast), math.Inf(-1)), solver.OrNumber(m.Limit(c.AtMost), math.Inf(1))
	case solver.Loose:
		hi = m.Limit(m.Problem.Linkage.Equations[c.Equation].Play)
		lo = -hi
	}
	return engine.Bar{Least: math.Max(b.Least, lo), Greatest: math.Min(b.Greatest, hi)}
}

// keeps reports whether a check stays within a bar between the steps of ranges too. It judges by the figures at the
// steps: it allows the figure to go beyond the worst step by as much as it varies over all of them.
func (t *tally) keeps(b *engine.Bar) bool {
	return b != nil && !b.Passed(2*t.least.v-t.far.Least, 1) && !b.Passed(2*t.greatest.v-t.far.Greatest, -1)
}
