package engine

import (
	"math"
	"slices"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/hunt"
)

// Least returns the knot at which the figure is least, the earliest of equal ones. It returns false where there is no
// number at all.
func (c *Curve) Least() (Knot, bool) { return c.extreme(1) }

// Greatest returns the knot at which the figure is greatest, the earliest of equal ones.
func (c *Curve) Greatest() (Knot, bool) { return c.extreme(-1) }

func (c *Curve) extreme(sign float64) (best Knot, found bool) {
	for _, ks := range c.runs {
		for _, k := range ks {
			if !math.IsNaN(k.V) && (!found || ClearlyLess(sign*k.V, sign*best.V, c.scale())) {
				best, found = k, true
			}
		}
	}
	if !found {
		return best, false
	}
	// Take the earliest of equal places, but with the best value of its own hill or valley.
	return c.within(best, sign), true
}

// within goes from a knot to a better one next to it that is level with it.
func (c *Curve) within(k Knot, sign float64) Knot {
	for _, ks := range c.runs {
		for i := 1; i < len(ks); i++ {
			if ks[i-1].T == k.T && sign*ks[i].V < sign*k.V {
				k = ks[i]
			}
		}
	}
	return k
}

// AllExtremes lists every place at which the figure reaches its least (sign 1) or its greatest (−1). There are several
// where the motion repeats itself within the turn. Level knots side by side are one place. Where the figure stays level
// over a stretch, that place is its beginning, wherever the turn begins.
func (c *Curve) AllExtremes(sign float64) []Knot {
	best, ok := c.extreme(sign)
	if !ok {
		return nil
	}
	var all []Knot
	for j, ks := range c.runs {
		isLevel := func(k Knot) bool { return !math.IsNaN(k.V) && !ClearlyLess(sign*best.V, sign*k.V, c.scale()) }
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
				k.T = c.begins(ks[first-1].T, k)
			}
			all = append(all, k)
		}
	}
	return c.once(all, sign)
}

// place chooses one of several level knots side by side: the first of those that are best but for rounding.
func (c *Curve) place(ks []Knot, sign float64) Knot {
	best := ks[0]
	for _, k := range ks {
		if sign*k.V < sign*best.V-c.negligible() {
			best = k
		}
	}
	return best
}

// stays reports whether a figure stays level with one knot over a stretch of knots.
func (c *Curve) stays(ks []Knot, at Knot) bool {
	far := at.T
	for _, k := range ks {
		if k.T > at.T && math.Abs(k.V-at.V) > c.negligible() {
			break
		}
		far = k.T
	}
	return far-at.T > plateau
}

// onward joins the knots at the end of a closed turn and those that follow them, a turn later.
func (c *Curve) onward(ks []Knot) []Knot {
	out := slices.Clone(ks)
	for _, k := range c.runs[0] {
		out = append(out, Knot{k.T + c.Run.Length(), k.V})
	}
	return out
}

// begins finds where, after a turn at which it is different, the figure reaches its value at a knot.
func (c *Curve) begins(before float64, at Knot) float64 {
	return hunt.EdgeBetween(func(t float64) bool { return math.Abs(c.Value(t)-at.V) <= c.negligible() }, at.T, before, TurnTolerance)
}

// once drops a place at the start of a closed turn that is the same as the one at its end, or the reverse. Of a stretch
// that runs across the start it keeps the beginning.
func (c *Curve) once(all []Knot, sign float64) []Knot {
	n := len(all)
	if n < 2 || !c.closed {
		return all
	}
	first, last := all[0], all[n-1]
	switch {
	case first.T+c.Run.Length()-last.T < sameTurn:
		return all[:n-1]
	case !c.flatBetween(last, first):
		return all
	case math.Abs(first.V-last.V) <= c.negligible() || sign*last.V < sign*first.V:
		return all[1:]
	}
	return all[:n-1]
}

// flatBetween reports whether every knot from a to the end of the turn, and from its start to b, is level with a.
func (c *Curve) flatBetween(a, b Knot) bool {
	for _, ks := range c.runs {
		for _, k := range ks {
			if (k.T >= a.T || k.T <= b.T) && !(math.Abs(k.V-a.V) <= Level*c.scale()) {
				return false
			}
		}
	}
	return true
}

// StaysAt reports whether a sum stays at its value somewhere for a while before or behind. The station is room to work in.
func (r *Run) StaysAt(sum expr.ID, at Knot, s *Station) bool {
	c := &Curve{Run: r, Figure: r.Engine.Sum(sum), At: s.Anew()}
	level := func(t float64) bool {
		return t >= r.From && t <= r.To && math.Abs(c.Value(t)-at.V) <= flat*math.Max(1, math.Abs(at.V))
	}
	return level(at.T-plateau/2) || level(at.T+plateau/2)
}

// Stay returns where a sum begins to stay at an extreme: sign 1 for a least, -1 for a greatest. An extreme at which it does not
// stay is returned as it is.
func (r *Run) Stay(sum expr.ID, at Knot, sign float64) Knot {
	if !r.StaysAt(sum, at, r.Engine.NewStation()) {
		return at
	}
	c := r.Trace(r.Engine.Sum(sum), Search{Least: sign > 0, greatest: sign < 0})
	begins := c.AllExtremes(sign)
	for _, k := range slices.Backward(begins) {
		if k.T <= at.T {
			return Knot{k.T, at.V}
		}
	}
	if n := len(begins); n > 0 && c.closed { // it began before the end of the turn
		return Knot{begins[n-1].T, at.V}
	}
	return at
}

// below lists where the figure is less than limit, each end found to TurnTolerance. Intervals are joined across the start
// of a closed turn.
func (c *Curve) below(limit float64) []solver.Interval {
	return c.where(func(v float64) float64 { return v - limit })
}

// Above lists where the figure is greater than limit.
func (c *Curve) Above(limit float64) []solver.Interval {
	return c.where(func(v float64) float64 { return limit - v })
}

// where lists where g of the figure is less than zero.
func (c *Curve) where(g func(float64) float64) []solver.Interval {
	var out []solver.Interval
	at := func(t float64) float64 { return g(c.Value(t)) }
	for _, ks := range c.runs {
		from := math.NaN()
		for i, k := range ks {
			in := g(k.V) < 0
			switch {
			case in && math.IsNaN(from):
				from = k.T
				if i > 0 {
					from = hunt.RootBetween(at, ks[i-1].T, k.T, g(ks[i-1].V), g(k.V), TurnTolerance)
				}
			case !in && !math.IsNaN(from):
				out = append(out, solver.Interval{From: from, To: hunt.RootBetween(at, ks[i-1].T, k.T, g(ks[i-1].V), g(k.V), TurnTolerance)})
				from = math.NaN()
			}
		}
		if !math.IsNaN(from) {
			out = append(out, solver.Interval{From: from, To: ks[len(ks)-1].T})
		}
	}
	return c.Run.Join(out, c.closed)
}
