package checker

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
)

// A Figure is the figure whose least is sought. It may be NaN where it has no value.
type Figure func(p *Pose) float64

// Least is the least that was found, and where.
type Least struct {
	V  float64
	At *Pose
}

func (l *Least) take(p *Pose, v float64) bool {
	if p == nil || !(v < l.V) {
		return false
	}
	l.V, l.At = v, p
	return true
}

// least seeks the least of a figure over all grids.
func least(fields []*field, g Figure) Least {
	best := Least{V: math.Inf(1)}
	for _, f := range fields {
		f.least(g, &best)
	}
	return best
}

// mostDescents is how many places of a grid are descended from, the lowest first.
const mostDescents = 8

// least looks for values below the best so far. Along one axis it puts poses closer where the figure could come below the
// best by the slopes seen. Over several axes it descends from each place of the grid that is no higher than its
// neighbours and could come below the best.
func (f *field) least(g Figure, best *Least) {
	if len(f.axes) == 1 {
		f.along(g, best)
		return
	}
	values := make([]float64, len(f.poses))
	for k, p := range f.poses {
		values[k] = math.Inf(1)
		if p != nil {
			if v := g(p); !math.IsNaN(v) {
				values[k] = v
				best.take(p, v)
			}
		}
	}
	var from []int
	for k := range values {
		if low, reach := f.dip(values, k); low && values[k]-reach < best.V {
			from = append(from, k)
		}
	}
	slices.SortStableFunc(from, func(a, b int) int { return cmp.Compare(values[a], values[b]) })
	for _, k := range from[:min(len(from), mostDescents)] {
		f.compass(g, f.poses[k], f.coordinates(f.places(k)), best)
	}
}

// dip reports whether a place of the grid is no higher than its neighbours, and how far below it its cells may go by one
// and a half times the slopes seen.
func (f *field) dip(values []float64, k int) (low bool, reach float64) {
	low = true
	at := f.places(k)
	for i := range f.axes {
		most := 0.0
		for _, by := range [2]int{-1, 1} {
			if at[i]+by < 0 || at[i]+by >= f.axes[i].n {
				continue
			}
			at[i] += by
			v := values[f.index(at)]
			at[i] -= by
			low = low && values[k] <= v
			if d := math.Abs(v - values[k]); !math.IsInf(d, 0) {
				most = math.Max(most, d)
			}
		}
		reach += 0.75 * most
	}
	return low, reach + 1e-12
}

// mostGolden is how many dips of one axis are closed in on, the lowest first.
const mostGolden = 4

// along seeks the least along the one axis.
func (f *field) along(g Figure, best *Least) {
	if f.fine == nil {
		f.fine = f.s.smooth(f.poses)
	}
	run, values := f.s.closer(f.fine, func(p *Pose) float64 {
		v := g(p)
		best.take(p, v)
		return v
	}, func(a, b, most float64) bool { return min(a, b)-0.75*most < best.V })
	var dips []int
	for i, v := range values {
		if (i == 0 || v <= values[i-1]) && (i == len(run)-1 || v <= values[i+1]) {
			dips = append(dips, i)
		}
	}
	slices.SortStableFunc(dips, func(a, b int) int { return cmp.Compare(values[a], values[b]) })
	for _, k := range dips[:min(len(dips), mostGolden)] {
		i, j := max(0, k-1), min(len(run)-1, k+1)
		from, to, low := run[i], run[j], Least{values[k], run[k]}
		golden(func(share float64) float64 {
			p := f.s.goTo(low.At, from.Turn+(to.Turn-from.Turn)*share, blend(from.Travel, to.Travel, share))
			if p == nil {
				return math.Inf(1)
			}
			v := g(p)
			low.take(p, v)
			return v
		}, values[i], values[j])
		best.take(low.At, low.V)
	}
}

// level is how much a figure may still differ within what is searched when the search ends: a ten-thousandth of the least tolerance.
const level = 1e-9

// golden closes in on a least between 0 and 1, where the values are a and b.
func golden(value func(x float64) float64, a, b float64) {
	lo, hi := 0.0, 1.0
	ratio := (math.Sqrt(5) - 1) / 2
	x, y := hi-ratio*(hi-lo), lo+ratio*(hi-lo)
	u, v := value(x), value(y)
	for k := 0; k < 36 && !(max(a, b, u, v)-min(a, b, u, v) <= level); k++ { // or one has no value
		if u < v {
			hi, b, y, v = y, v, x, u
			x = hi - ratio*(hi-lo)
			u = value(x)
		} else {
			lo, a, x, u = x, u, y, v
			y = lo + ratio*(hi-lo)
			v = value(y)
		}
	}
}

// compass descends over several axes: it tries directions turned at random, and halves its step when none leads down. It ends
// where a step no longer counts, or could not come near the best even if it led down a hundred times as fast.
func (f *field) compass(g Figure, from *Pose, x []float64, best *Least) {
	rng := rand.New(rand.NewPCG(1, 2))
	low := Least{g(from), from}
	for step := 0.5; step > 1e-7; {
		found, changed := false, 0.0
		for range 2 * len(x) {
			y := make([]float64, len(x))
			for i := range x {
				a := &f.axes[i]
				y[i] = min(a.To, max(a.From, x[i]+rng.NormFloat64()*step*a.step()))
			}
			turn, travel := f.setting(y)
			v, p := math.Inf(1), f.s.goTo(low.At, turn, travel)
			if p != nil {
				v = g(p)
			}
			changed = math.Max(changed, math.Abs(v-low.V))
			if low.take(p, v) {
				x, found = y, true
			}
		}
		if !found {
			if changed < level || low.V-100*changed > best.V {
				break
			}
			step /= 2
		} else {
			step = min(1, step*1.3)
		}
	}
	best.take(low.At, low.V)
}
