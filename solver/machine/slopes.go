package machine

import (
	"context"
	"math"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/expr"
	"barover/solver/plane"
)

// Slopes returns the derivative of the worst figure of each finding by each dimension: the change of the figure when the
// dimension grows by one (mm, rad). An entry is nil where there is no derivative.
func (m *Machine) Slopes(ctx context.Context, findings []solver.Finding) ([][]float64, error) {
	upper := make([]bool, len(findings))
	for i := range findings {
		_, upper[i] = m.Problem.RoomOf(&findings[i])
	}
	return m.SideSlopes(ctx, findings, upper)
}

// SideSlopes is Slopes, except that a gap has its largest opening where upper is set, and its smallest otherwise. The
// figures of other checks are at their worst.
func (m *Machine) SideSlopes(ctx context.Context, findings []solver.Finding, upper []bool) ([][]float64, error) {
	out := make([][]float64, len(findings))
	need := m.NeedsOf(askedOf(findings).Sums(m.Problem)...)
	for i := range findings {
		f := &findings[i]
		c := &m.Problem.Checks[f.Check]
		if f.Apart || math.IsNaN(f.Least) {
			continue
		}
		if c.Kind == solver.Gap {
			if g, ok := m.gapGradient(c, upper[i]); ok {
				out[i] = g
			}
			continue
		}
		on := func(travel []float64) (*engine.Run, error) {
			if m.bare(c) {
				return m.Soonest(ctx, travel, engine.Needs{})
			}
			return m.RunFor(ctx, travel, need)
		}
		g, ok, err := m.worstGradient(ctx, c, f.At, on)
		if err != nil {
			return nil, err
		}
		if ok {
			out[i] = g
		}
	}
	return out, nil
}

// bare reports whether a check's figure is available from a run without samples of the turn.
func (m *Machine) bare(c *solver.Check) bool {
	return c.Kind == solver.Clear || (c.Kind == solver.Keep && m.Problem.Graph.Uses(c.Sum)&(expr.UsesHeading|expr.UsesWhole) == 0)
}

// askedOf lists the checks of findings.
func askedOf(findings []solver.Finding) (a engine.Asked) {
	for i := range findings {
		a.Checks = append(a.Checks, findings[i].Check)
	}
	return a
}

// MarginSlopes returns the derivative of the margin of each finding by each dimension: above zero where a greater
// dimension leaves more room. An entry is nil where there is no derivative.
func (m *Machine) MarginSlopes(ctx context.Context, findings []solver.Finding) ([][]float64, error) {
	out, err := m.Slopes(ctx, findings)
	if err != nil {
		return nil, err
	}
	for i := range findings {
		f := &findings[i]
		if out[i] == nil {
			continue
		}
		_, upper := m.Problem.RoomOf(f)
		asks := m.RoomSlopes(f.Check, upper)
		sign := plane.Sign(!upper)
		for d := range out[i] {
			out[i][d] = sign*out[i][d] + asks[d]
		}
	}
	return out, nil
}

// RoomSlopes returns how each dimension changes the room of a check by moving its limit alone: the upper limit or the
// lower one. It is zero for a limit that is not given or that changes with the turn.
func (m *Machine) RoomSlopes(check int, upper bool) []float64 {
	c := &m.Problem.Checks[check]
	id, by := c.AtLeast, -1.0
	if upper || c.Kind == solver.Loose {
		id, by = c.AtMost, 1 // a loose line has its play on both sides
	}
	grad := expr.NewGradient(m.Problem.Graph, 0, 0)
	if id == expr.None || m.Moves(id) || !expr.NewEval(m.Values).Backward([]expr.Seed{{Node: id, Weight: by}}, &expr.Context{}, grad) {
		clear(grad.Dim)
	}
	return grad.Dim
}
