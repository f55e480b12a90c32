package machine

import (
	"math"
	"slices"

	"barover/solver"
)

// least is the knot at which the figure is least, the earliest of level ones. It reports false where there is no number
// at all.
func (c *curve) least() (knot, bool) { return c.extreme(1) }

// greatest is the knot at which the figure is greatest, the earliest of level ones.
func (c *curve) greatest() (knot, bool) { return c.extreme(-1) }

func (c *curve) extreme(sign float64) (best knot, found bool) {
	for _, ks := range c.runs {
		for _, k := range ks {
			if !math.IsNaN(k.v) && (!found || clearlyLess(sign*k.v, sign*best.v, c.scale())) {
				best, found = k, true
			}
		}
	}
	if !found {
		return best, false
	}
	// The earliest of level places is named, but with the best value of its own hill or valley.
	return c.within(best, sign), true
}

// within goes from a knot to a level one beside it that is better still.
func (c *curve) within(k knot, sign float64) knot {
	for _, ks := range c.runs {
		for i := 1; i < len(ks); i++ {
			if ks[i-1].t == k.t && sign*ks[i].v < sign*k.v {
				k = ks[i]
			}
		}
	}
	return k
}

// allExtremes is every place at which the figure is as little (sign 1) or as great (−1) as anywhere: more than one where the
// motion repeats itself within the turn. Knots side by side that are level are one place: where the figure stays so over a
// stretch, its beginning, wherever the turn begins.
func (c *curve) allExtremes(sign float64) []knot {
	best, ok := c.extreme(sign)
	if !ok {
		return nil
	}
	var all []knot
	for j, ks := range c.runs {
		isLevel := func(k knot) bool { return !math.IsNaN(k.v) && !clearlyLess(sign*best.v, sign*k.v, c.scale()) }
		for i := 0; i < len(ks); i++ {
			if !isLevel(ks[i]) {
				continue
			}
			first := i
			for i+1 < len(ks) && isLevel(ks[i+1]) {
				i++
			}
			k := c.place(ks[first:i+1], sign)
			here := ks[first : i+1]
			if c.closed && j == len(c.runs)-1 && i == len(ks)-1 {
				here = c.onward(here)
			}
			if first > 0 && c.stays(here, k) {
				k.t = c.begins(ks[first-1].t, k)
			}
			all = append(all, k)
		}
	}
	return c.once(all, sign)
}

// place is which of level knots side by side is named: the first of those that are best except for rounding.
func (c *curve) place(ks []knot, sign float64) knot {
	best := ks[0]
	for _, k := range ks {
		if sign*k.v < sign*best.v-c.nought() {
			best = k
		}
	}
	return best
}

// stays reports whether a figure keeps, over a stretch of knots, to what it is at one of them.
func (c *curve) stays(ks []knot, at knot) bool {
	far := at.t
	for _, k := range ks {
		if k.t > at.t && math.Abs(k.v-at.v) > c.nought() {
			break
		}
		far = k.t
	}
	return far-at.t > plateau
}

// onward is knots at the end of a closed turn and those that go on from them, a turn later.
func (c *curve) onward(ks []knot) []knot {
	out := slices.Clone(ks)
	for _, k := range c.runs[0] {
		out = append(out, knot{k.t + c.run.length(), k.v})
	}
	return out
}

// begins is where, after a turn at which it is something else, the figure comes to what it is at a knot.
func (c *curve) begins(before float64, at knot) float64 {
	return edgeBetween(func(t float64) bool { return math.Abs(c.value(t)-at.v) <= c.nought() }, at.t, before, turnTolerance)
}

// once drops a place at the start of a closed turn that is the one at its end, or the other way about: of a stretch that runs
// across the start what is left is its beginning.
func (c *curve) once(all []knot, sign float64) []knot {
	n := len(all)
	if n < 2 || !c.closed {
		return all
	}
	first, last := all[0], all[n-1]
	switch {
	case first.t+c.run.length()-last.t < sameTurn:
		return all[:n-1]
	case !c.flatBetween(last, first):
		return all
	case math.Abs(first.v-last.v) <= c.nought() || sign*last.v < sign*first.v:
		return all[1:]
	}
	return all[:n-1]
}

// flatBetween reports whether every knot from a on to the end of the turn, and from its start to b, is level with a.
func (c *curve) flatBetween(a, b knot) bool {
	for _, ks := range c.runs {
		for _, k := range ks {
			if (k.t >= a.t || k.t <= b.t) && !(math.Abs(k.v-a.v) <= level*c.scale()) {
				return false
			}
		}
	}
	return true
}

// below is where the figure is less than limit, each end found to turnTolerance; joined across the start of a turn that
// closes.
func (c *curve) below(limit float64) []solver.Interval {
	return c.where(func(v float64) float64 { return v - limit })
}

// above is where the figure is greater than limit.
func (c *curve) above(limit float64) []solver.Interval {
	return c.where(func(v float64) float64 { return limit - v })
}

// where is where g of the figure is less than zero.
func (c *curve) where(g func(float64) float64) []solver.Interval {
	var out []solver.Interval
	at := func(t float64) float64 { return g(c.value(t)) }
	for _, ks := range c.runs {
		from := math.NaN()
		for i, k := range ks {
			in := g(k.v) < 0
			switch {
			case in && math.IsNaN(from):
				from = k.t
				if i > 0 {
					from = rootBetween(at, ks[i-1].t, k.t, g(ks[i-1].v), g(k.v), turnTolerance)
				}
			case !in && !math.IsNaN(from):
				out = append(out, solver.Interval{From: from, To: rootBetween(at, ks[i-1].t, k.t, g(ks[i-1].v), g(k.v), turnTolerance)})
				from = math.NaN()
			}
		}
		if !math.IsNaN(from) {
			out = append(out, solver.Interval{From: from, To: ks[len(ks)-1].t})
		}
	}
	return c.run.join(out, c.closed)
}
