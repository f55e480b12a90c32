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

// worstGradient returns the derivative, by each dimension, of a check's figure at its worst. It returns false where there
// is none.
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

// alongRanges returns the gradient at the worst. It is mixed along the turn and, from travel k on, along each range that
// has the worst in its inside.
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

// endings passes the derivative by each travel on to the dimensions of the end of its range, or of its setting. It
// returns the derivative by the dimensions alone. A range that has the worst in its inside has no effect.
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

// aside is the share of itself by which a dimension is changed for a difference quotient.
const aside = 1e-5

// differences returns the derivative by each dimension of a sum at one position. It solves the engine with a little more
// and a little less of each. It serves for rates, which have no backward derivative.
func (m *Machine) differences(ctx context.Context, sum expr.ID, at solver.Position) ([]float64, bool, error) {
	out := make([]float64, len(m.Problem.Graph.Dims))
	for d := range out {
		step := aside * math.Max(1, math.Abs(m.dimension(d)))
		var v [2]float64
		for i, by := range [2]float64{-step, step} {
			n, err := m.With(m.Values.With(map[int]float64{d: m.dimension(d) + by}))
			if err != nil {
				return nil, false, ctx.Err()
			}
			r, err := n.RunFor(ctx, at.Travel, n.NeedsOf(sum))
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
