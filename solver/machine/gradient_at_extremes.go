package machine

import (
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/expr"
)

// kinkStep is how far on either side of an extreme it is looked at, rad. It must be small enough for the two sides to be
// straight, and large enough for their slopes to stand out of the rounding.
const kinkStep = 1e-6

// extremeGradient is the derivative, by each dimension and behind them by each travel, of the least or greatest that f has
// at turn t of a run. Where two outlines
// change the places at which they come nearest, the least stands on a kink: there it follows neither side alone but
// the mixture that stays level, (s₊g₋ − s₋g₊)/(s₊ − s₋) with slopes s and gradients g. On a smooth extreme that is the
// mean of both sides. At an end of the turn the one side counts; at an end of an assembled stretch, which moves with the
// dimensions, nothing can be told.
func (r *run) extremeGradient(f puller, t float64) ([]float64, bool) {
	before, after := r.beside(f, t, -kinkStep), r.beside(f, t, kinkStep)
	if !before.ok || !after.ok {
		if r.atEnd(t) {
			return r.gradient(f, t)
		}
		return nil, false
	}
	if !(before.slope*after.slope < 0) {
		return r.gradient(f, t)
	}
	return mixed(before.g, after.g, before.slope, after.slope), true
}

// mixed is the mixture of the gradients on both sides of a kink that stays level, by their slopes of unlike sign.
func mixed(before, after []float64, sb, sa float64) []float64 {
	out := make([]float64, len(before))
	for i := range out {
		out[i] = (sa*before[i] - sb*after[i]) / (sa - sb)
	}
	return out
}

// side is a figure's slope by the turn and its gradient on one side of a place.
type side struct {
	slope float64
	g     []float64
	ok    bool
}

func (r *run) beside(f puller, t, step float64) (d side) {
	t += step
	switch {
	case t < r.from && r.closed:
		t += r.length()
	case t > r.to && r.closed:
		t -= r.length()
	case t < r.from || t > r.to:
		return d
	}
	s := r.m.newStation()
	if !r.stand(t, s) {
		return d
	}
	_, d.slope = f.slope(s)
	d.g, d.ok = r.gradient(f, t)
	d.ok = d.ok && !math.IsNaN(d.slope)
	return d
}

// atEnd reports whether t is an end of a turn that does not close.
func (r *run) atEnd(t float64) bool {
	return !r.closed && (math.Abs(t-r.from) <= kinkStep || math.Abs(t-r.to) <= kinkStep)
}

// runs gives the run at a travel setting.
type runs func(travel []float64) (*run, error)

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
func (m *Machine) alongRanges(f puller, travel []float64, turn float64, k int, on runs) ([]float64, bool, error) {
	if k == len(travel) {
		r, err := on(travel)
		if err != nil {
			return nil, false, err
		}
		g, ok := r.extremeGradient(f, turn)
		return g, ok, nil
	}
	t := &m.Problem.Travels[k]
	step := kinkStep * (t.To - t.From)
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
		g, ok, err := m.alongRanges(f, way, r.besideExtreme(f, turn), k+1, on)
		if err != nil || !ok {
			return nil, false, err
		}
		sides[i] = g
	}
	n := len(m.Problem.Graph.Dims) + k
	if !(sides[0][n]*sides[1][n] < 0) {
		return m.alongRanges(f, travel, turn, k+1, on)
	}
	return mixed(sides[0], sides[1], sides[0][n], sides[1][n]), true, nil
}

// besideExtreme is where the extreme that f has near turn t stands now that something else has moved a little.
func (r *run) besideExtreme(f puller, t float64) float64 {
	sign := 1.0
	if b, a := r.beside(f, t, -kinkStep), r.beside(f, t, kinkStep); b.slope > a.slope {
		sign = -1
	}
	if k, ok := r.settle(f, t, sign, r.m.newStation()); ok && math.Abs(k.t-t) < nearby {
		return k.t
	}
	return t
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
			r, err := n.runFor(ctx, at.Travel, n.needsOf(sum))
			if err != nil {
				return nil, false, err
			}
			s := n.newStation()
			if !r.stand(at.Turn, s) {
				return nil, false, nil
			}
			v[i] = n.sum(sum).value(s)
		}
		if out[d] = (v[1] - v[0]) / (2 * step); math.IsNaN(out[d]) {
			return nil, false, nil
		}
	}
	return out, true, nil
}
