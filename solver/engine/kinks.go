package engine

import (
	"math"

	"barover/solver/plane"
)

// KinkStep is how far on either side of an extreme its slopes are taken, rad. It must be small enough for both sides to
// be straight, and large enough for their slopes to be well above the rounding.
const KinkStep = 1e-6

// ExtremeGradient returns the derivative, by each dimension and after them by each travel, of the least or greatest that
// f has at turn t of a run. Where two outlines change the places at which they are nearest, the least is at a kink. There
// its derivative is that of neither side alone but of the mixture that stays level, (s₊g₋ − s₋g₊)/(s₊ − s₋) with slopes s
// and gradients g. At a smooth extreme that is the mean of both sides. At an end of the turn only the inner side counts.
// At an end of an assembled stretch, which moves with the dimensions, there is no answer.
func (r *Run) ExtremeGradient(f Puller, t float64) ([]float64, bool) {
	before, after := r.beside(f, t, -KinkStep), r.beside(f, t, KinkStep)
	if !before.ok || !after.ok {
		if r.atEnd(t) {
			return r.Gradient(f, t)
		}
		return nil, false
	}
	if !(before.slope*after.slope < 0) {
		return r.Gradient(f, t)
	}
	return Mixed(before.g, after.g, before.slope, after.slope), true
}

// Mixed returns the mixture of the gradients on both sides of a kink that stays level. Their slopes have opposite signs.
func Mixed(before, after []float64, sb, sa float64) []float64 {
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

func (r *Run) beside(f Puller, t, step float64) (d side) {
	t += step
	switch {
	case t < r.From && r.Closed:
		t += r.Length()
	case t > r.To && r.Closed:
		t -= r.Length()
	case t < r.From || t > r.To:
		return d
	}
	s := r.Engine.NewStation()
	if !r.Stand(t, s) {
		return d
	}
	_, d.slope = f.slope(s)
	d.g, d.ok = r.Gradient(f, t)
	d.ok = d.ok && !math.IsNaN(d.slope)
	return d
}

// atEnd reports whether t is an end of a turn that does not close.
func (r *Run) atEnd(t float64) bool {
	return !r.Closed && (math.Abs(t-r.From) <= KinkStep || math.Abs(t-r.To) <= KinkStep)
}

// BesideExtreme returns where the extreme that f has near turn t is after a small change.
func (r *Run) BesideExtreme(f Puller, t float64) float64 {
	before, after := r.beside(f, t, -KinkStep), r.beside(f, t, KinkStep)
	sign := plane.Sign(!(before.slope > after.slope))
	if k, ok := r.Settle(f, t, sign, r.Engine.NewStation()); ok && math.Abs(k.T-t) < Nearby {
		return k.T
	}
	return t
}
