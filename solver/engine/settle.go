package engine

import "math"

const (
	// Nearby is how far from the place of a proof its least is searched for, rad: more than the error of a proof's place,
	// and less than the width of a valley.
	Nearby = 0.5 * Coarsest
	// farthestValley is how often the step doubles on the way to the bottom of a valley, which reaches 30° from where it
	// began.
	farthestValley = 5
)

// Settle finds the least (sign 1) or greatest (−1) that a figure has close to turn t, on the exact motion. It uses s as
// its room.
func (r *Run) Settle(f Figure, t, sign float64, s *Station) (Knot, bool) {
	c := &Curve{Run: r, Figure: f, At: s}
	round := c.SameAtEnds()
	from, to := r.spanAt(t)
	lo, hi := t-Nearby, t+Nearby
	if !round || from > r.From || to < r.To {
		round = false
		t = math.Max(from, math.Min(t, to))
		lo, hi = math.Max(lo, from), math.Min(hi, to)
	}
	best := c.look(t)
	if math.IsNaN(best.V) {
		return best, false
	}
	a, best, b := c.valley(c.look(lo), best, c.look(hi), sign, from, to, round)
	if k, ok := c.turn(a, best, b, sign); ok {
		best = k
	}
	if round {
		best.T = r.wrap(best.T)
	}
	// Of equal places take the earlier: the start of the turn, or the way out rather than the way back of an engine that
	// moves alike both ways.
	for _, t := range [2]float64{r.From, math.Max(r.From, r.From+r.To-best.T)} {
		if t >= best.T {
			continue
		}
		if k := c.look(t); math.Abs(k.V-best.V) <= Level {
			return k, true
		}
	}
	return best, true
}

// spanAt returns the assembled stretch of the turn that contains t, rad, or else the nearest one.
func (r *Run) spanAt(t float64) (from, to float64) {
	from, to = r.From, r.To
	least := math.Inf(1)
	for _, s := range r.motion.Spans() {
		if off := math.Max(s[0]-t, t-s[1]); off < least {
			from, to, least = s[0], s[1], math.Max(off, 0)
		}
	}
	return from, to
}

// valley goes on from k, between a and b, in the direction in which the figure falls (sign 1) or rises (−1), in steps
// that double. It stops when k is between two places no better than itself, or at an end of the turn. In a flat valley
// the place of a proof is far from the least.
func (c *Curve) valley(a, k, b Knot, sign, from, to float64, round bool) (Knot, Knot, Knot) {
	within := func(t float64) float64 {
		if round {
			return t
		}
		return math.Max(from, math.Min(t, to))
	}
	step := Nearby
	for range farthestValley {
		switch step *= 2; {
		case sign*b.V < sign*k.V && sign*b.V <= sign*a.V:
			if a, k, b = k, b, c.look(within(b.T+step)); b.T == k.T {
				return a, k, b
			}
		case sign*a.V < sign*k.V:
			if a, k, b = c.look(within(a.T-step)), a, k; a.T == k.T {
				return a, k, b
			}
		default:
			return a, k, b
		}
	}
	return a, k, b
}
