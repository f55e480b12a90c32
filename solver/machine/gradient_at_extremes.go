package machine

import (
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/expr"
)

// runs gives the run at a travel setting.
type runs func(travel []float64) (*engine.Run, error)

// worstGradient is the derivative by each dimension of what a check comes to at its worst. It reports false where none can
// be told.
func (m *Machine) worstGradient(ctx context.Context, c *solver.Check, at solver.Position, on runs) ([]float64, bool, error) {
	f := m.figureOf(c)
	g, ok, err := m.alongRanges(f, at.Travel, at.Turn, 0, on)
	switch {
	case err != nil:
		return nil, false, err
	case ok:
		return m.endings(g, at.Travel), true, nil
	case c.Kind == solver.Keep && m.Problem.Graph.Uses(c.Sum)&expr.UsesRate != 0:
		return m.differences(ctx, c.Sum, at)
	}
	return nil, false, nil
}

// alongRanges is the gradient at the worst, mixed along the turn and, from travel k on, along each range within which the
// worst stands.
func (m *Machine) alongRanges(f engine.Puller, travel []float64, turn float64, k int, on runs) ([]float64, bool, error) {
	if k == len(travel) {
		r, err := on(travel)
		if err != nil {
			return nil, false, err
		}
		g, ok := r.ExtremeGradient(f, turn)
		return g, ok, nil
	}
	t := &m.Problem.Travels[k]
	step := engine.KinkStep * (t.To - t.From)
	if !t.Range || !(travel[k]-step > t.From && travel[k]+step < t.To) {
		return m.alongRanges(f, travel, turn, k+1, on)
	}
	var sides [2][]float64
	for i, by := range [2]float64{-step, step} {
		way := slices.Clone(travel)
		way[k] += by
		r, err := on(way)
		if err != nil {
			return nil, false, err
		}
		g, ok, err := m.alongRanges(f, way, r.BesideExtreme(f, turn), k+1, on)
		if err != nil || !ok {
			return nil, false, err
		}
		sides[i] = g
	}
	n := len(m.Problem.Graph.Dims) + k
	if !(sides[0][n]*sides[1][n] < 0) {
		return m.alongRanges(f, travel, turn, k+1, on)
	}
	return engine.Mixed(sides[0], sides[1], sides[0][n], sides[1][n]), true, nil
}

// endings takes the derivative by each travel to the dimensions that the end of its range, or its setting, follows from,
// and returns that by the dimensions alone. A range within which the worst stands does not matter.
func (m *Machine) endings(g, travel []float64) []float64 {
	n := len(m.Problem.Graph.Dims)
	grad := expr.NewGradient(m.Problem.Graph, 0, 0)
	var seeds []expr.Seed
	for k, w := range g[n:] {
		seeds = append(seeds, expr.Seed{Node: m.Problem.Travels[k].Sum(travel[k]), Weight: w})
	}
	expr.NewEval(m.Values).Backward(seeds, &expr.Context{}, grad)
	for i, v := range grad.Dim {
		g[i] += v
	}
	return g[:n]
}

// aside is by what share of itself a dimension is changed to see what it does.
const aside = 1e-5

// differences is the derivative by each dimension of a sum at one position, by solving it with a little more and a little
// less of each: for rates, whose derivative cannot be had by going backward.
func (m *Machine) differences(ctx context.Context, sum expr.ID, at solver.Position) ([]float64, bool, error) {
	out := make([]float64, len(m.Problem.Graph.Dims))
	for d := range out {
		step := aside * math.Max(1, math.Abs(m.dimension(d)))
		var v [2]float64
		for i, by := range [2]float64{-step, step} {
			n, err := m.With(m.with(d, m.dimension(d)+by))
			if err != nil {
				return nil, false, ctx.Err()
			}
			r, err := n.runFor(ctx, at.Travel, n.NeedsOf(sum))
			if err != nil {
				return nil, false, err
			}
			s := n.NewStation()
			if !r.Stand(at.Turn, s) {
				return nil, false, nil
			}
			v[i] = n.Sum(sum).Value(s)
		}
		if out[d] = (v[1] - v[0]) / (2 * step); math.IsNaN(out[d]) {
			return nil, false, nil
		}
	}
	return out, true, nil
}
