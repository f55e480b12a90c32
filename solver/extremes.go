package solver

import "math"

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

// allExtremes is every place at which the figure is as little (sign 1) or as great (sign −1) as anywhere: more than one
// where the motion repeats itself within the turn. Knots side by side that are level are one place.
func (c *curve) allExtremes(sign float64) []knot {
	best, ok := c.extreme(sign)
	if !ok {
		return nil
	}
	var all []knot
	for _, ks := range c.runs {
		beside := false
		for _, k := range ks {
			isLevel := !math.IsNaN(k.v) && !clearlyLess(sign*best.v, sign*k.v, c.scale())
			switch {
			case isLevel && !beside:
				all = append(all, k)
			case isLevel && sign*k.v < sign*all[len(all)-1].v:
				all[len(all)-1] = k
			}
			beside = isLevel
		}
	}
	return c.once(all, sign)
}

// once drops a place at the end of a closed turn that is the one at its start.
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
	case sign*last.v < sign*first.v:
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
func (c *curve) below(limit float64) []Interval {
	return c.where(func(v float64) float64 { return v - limit })
}

// above is where the figure is greater than limit.
func (c *curve) above(limit float64) []Interval {
	return c.where(func(v float64) float64 { return limit - v })
}

// where is where g of the figure is less than zero.
func (c *curve) where(g func(float64) float64) []Interval {
	var out []Interval
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
				out = append(out, Interval{From: from, To: rootBetween(at, ks[i-1].t, k.t, g(ks[i-1].v), g(k.v), turnTolerance)})
				from = math.NaN()
			}
		}
		if !math.IsNaN(from) {
			out = append(out, Interval{From: from, To: ks[len(ks)-1].t})
		}
	}
	return c.run.join(out, c.closed)
}

// passings is every place at which the figure passes zero: upward (sign 1) or downward (sign −1). Reaching zero and
// turning back is no passing. The start of a turn that closes counts once, at the start.
func (c *curve) passings(sign float64) []float64 {
	var out []float64
	nought := flat * math.Max(1, c.scale())
	side := func(v float64) int {
		switch {
		case sign*v > nought:
			return 1
		case sign*v < -nought:
			return -1
		}
		return 0
	}
	for j, ks := range c.runs {
		before := 0 // the side that the figure was on last, 0 before it was on any
		if j == 0 && c.closed {
			before = lastSide(c.runs[len(c.runs)-1], side)
		}
		out = c.passingsIn(out, ks, side, before)
	}
	return out
}

// passingsIn adds the passings of one stretch.
func (c *curve) passingsIn(out []float64, ks []knot, side func(float64) int, before int) []float64 {
	zero := math.NaN() // where the figure came to zero
	for i, k := range ks {
		now := side(k.v)
		if now == 0 {
			if math.IsNaN(zero) {
				zero = k.t
			}
			continue
		}
		if now == 1 && before == -1 {
			switch {
			case !math.IsNaN(zero):
				out = append(out, zero)
			case i > 0:
				out = append(out, rootBetween(c.value, ks[i-1].t, k.t, ks[i-1].v, k.v, turnTolerance))
			default:
				out = append(out, k.t)
			}
		}
		before, zero = now, math.NaN()
	}
	return out
}

func lastSide(ks []knot, side func(float64) int) int {
	for i := len(ks) - 1; i >= 0; i-- {
		if s := side(ks[i].v); s != 0 {
			return s
		}
	}
	return 0
}
