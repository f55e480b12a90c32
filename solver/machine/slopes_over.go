package machine

import (
	"context"
	"math"
	"slices"

	"barover/solver/engine"
	"barover/solver/expr"
)

// SlopesOver holds how each dimension moves a sum at places of the turn, with the crank held, at one travel setting: by
// place and dimension, for a change of the dimension by one (mm, rad). Against is another sum at the same places, and the
// values of both are included. Entries at a place without a value are NaN.
type SlopesOver struct {
	Value, Against []float64   // by place
	Slope          [][]float64 // by place and dimension; nil where there is no slope
}

// SlopesOver computes them. Against may be None, for the turn itself.
func (m *Machine) SlopesOver(ctx context.Context, sum, against expr.ID, travel, turns []float64) (*SlopesOver, error) {
	r, err := m.RunFor(ctx, travel, m.NeedsOf(sum, against))
	if err != nil {
		return nil, err
	}
	out := &SlopesOver{}
	f, s, eval := m.Sum(sum).(engine.Puller), m.NewStation(), expr.NewEval(m.Values)
	for _, t := range turns {
		v, a, g := math.NaN(), math.NaN(), []float64(nil)
		if r.Stand(t, s) {
			if v, a = f.Value(s), t; against != expr.None {
				a = engine.OrNone(engine.ValueOf(eval, against, s))
			}
			if d, ok := r.Gradient(f, t); ok {
				g = d[:len(m.Problem.Graph.Dims)]
			}
		}
		out.Value, out.Against, out.Slope = append(out.Value, v), append(out.Against, a), append(out.Slope, g)
		if err := ctx.Err(); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// Bent is the effect of a dimension on a line over a stroke: it shifts it, tilts it and bends it.
type Bent struct {
	Shift float64 // of the middle of the straight line that fits best
	Tilt  float64 // of that line, from the least end of the stroke to its greatest
	Bend  float64 // the greatest distance from it
}

// Stays reports whether Against stays the same, but for rounding: then there is no stroke.
func (s *SlopesOver) Stays() bool {
	lo, hi := slices.Min(s.Against), slices.Max(s.Against)
	return !(hi-lo > 1e-9*max(1, -lo, hi))
}

// Bend returns the effect of a dimension, by the straight line over the stroke whose greatest distance from the slope is
// least. It returns false where the sum has no slope by the dimension somewhere, or there is no stroke.
func (s *SlopesOver) Bend(dim int) (b Bent, ok bool) {
	lo, hi := slices.Min(s.Against), slices.Max(s.Against)
	if s.Stays() {
		return b, false
	}
	u, v := make([]float64, len(s.Slope)), make([]float64, len(s.Slope))
	size := 0.0
	for i, g := range s.Slope {
		if g == nil || math.IsNaN(s.Against[i]) {
			return b, false
		}
		u[i], v[i] = (s.Against[i]-lo)/(hi-lo)-0.5, g[dim]
		size = math.Max(size, math.Abs(v[i]))
	}
	// The distance between the outermost lines of a slope is convex in it.
	span := func(tilt float64) (below, above float64) {
		below, above = math.Inf(1), math.Inf(-1)
		for i := range u {
			below, above = math.Min(below, v[i]-tilt*u[i]), math.Max(above, v[i]-tilt*u[i])
		}
		return below, above
	}
	wide := func(tilt float64) float64 { below, above := span(tilt); return above - below }
	a, z := -8*size, 8*size
	for range 200 {
		p, q := a+(z-a)/3, z-(z-a)/3
		if wide(p) <= wide(q) {
			z = q
		} else {
			a = p
		}
	}
	b.Tilt = (a + z) / 2
	below, above := span(b.Tilt)
	b.Shift, b.Bend = (below+above)/2, (above-below)/2
	return b, true
}
