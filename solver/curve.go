package solver

import "math"

// figure is a number that every position has at one travel setting: a distance between two outlines, a sum.
type figure interface {
	// value gives the number, NaN where there is none.
	value(s *station) float64
	// slope gives the number and its slope by the turn, NaN where that is not known.
	slope(s *station) (v, slope float64)
}

// knot is a position at which a figure was looked at.
type knot struct{ t, v, slope float64 }

// curve is a figure over the turn at one travel setting: knots close enough together, and at every turning point that
// shows between two of them, so that it rises or falls all the way from one knot to the next.
type curve struct {
	run    *run
	fig    figure
	runs   [][]knot   // the stretches over which there is a number, in order of the turn
	none   []Interval // where the parts assemble but the figure has no value
	at     *station   // room to work in
	lo, hi float64    // least and greatest of the values at the knots
	closed bool       // it ends where it began: the turn closes, and the figure with it (a crank's heading does not)
}

// trace looks at fig over the whole turn.
func (r *run) trace(fig figure) *curve {
	c := &curve{run: r, fig: fig, at: r.m.newStation(), lo: math.Inf(1), hi: math.Inf(-1)}
	for _, span := range r.spans {
		c.span(span)
	}
	c.subdivide()
	for i := range c.runs {
		c.runs[i] = c.turningPoints(c.runs[i])
	}
	c.closed = c.comesRound()
	return c
}

func (c *curve) comesRound() bool {
	n := len(c.runs)
	if n == 0 || !c.run.closed {
		return false
	}
	first, last := c.runs[0][0], c.runs[n-1][len(c.runs[n-1])-1]
	return first.t <= c.run.from+sameTurn && last.t >= c.run.to-sameTurn &&
		math.Abs(first.v-last.v) <= 1e-6*math.Max(1, c.scale())
}

// look evaluates the figure and its slope at any turn within a span.
func (c *curve) look(t float64) knot {
	if !c.run.stand(t, c.at) {
		return knot{t, math.NaN(), math.NaN()}
	}
	v, s := c.fig.slope(c.at)
	return c.seen(knot{t, v, s})
}

// value evaluates the figure alone.
func (c *curve) value(t float64) float64 {
	if !c.run.stand(t, c.at) {
		return math.NaN()
	}
	return c.fig.value(c.at)
}

func (c *curve) seen(k knot) knot {
	c.lo, c.hi = math.Min(c.lo, orGreatest(k.v)), math.Max(c.hi, -orGreatest(-k.v))
	return k
}

// span takes in one assembled span, cut where the figure has no number.
func (c *curve) span(stations []station) {
	var now []knot
	end := func() {
		if len(now) > 0 {
			c.runs = append(c.runs, now)
		}
		now = nil
	}
	real := func(t float64) bool { v := c.value(t); return v == v }
	gap := math.NaN()
	for i := range stations {
		s := &stations[i]
		v, slope := c.fig.slope(s)
		k := c.seen(knot{s.turn, v, slope})
		switch lost := k.v != k.v; {
		case lost && gap != gap:
			gap = s.turn
			if n := len(now); n > 0 {
				gap = edgeBetween(real, now[n-1].t, s.turn, turnTolerance)
				now = append(now, c.look(gap))
			}
			end()
		case !lost && gap == gap:
			edge := s.turn
			if i > 0 {
				edge = edgeBetween(real, s.turn, stations[i-1].turn, turnTolerance)
				now = append(now, c.look(edge))
			}
			c.none = append(c.none, Interval{gap, edge})
			gap = math.NaN()
			now = append(now, k)
		case !lost:
			now = append(now, k)
		}
	}
	if gap == gap {
		c.none = append(c.none, Interval{gap, stations[len(stations)-1].turn})
	}
	end()
}

// scale is the size of the figures, for telling a difference from rounding.
func (c *curve) scale() float64 {
	if !(c.hi >= c.lo) {
		return 0
	}
	return math.Max(math.Abs(c.hi), math.Abs(c.lo))
}

// subdivide halves steps over which the figure does not go the way that its slopes say.
func (c *curve) subdivide() {
	allow := math.Max(10*fast*(c.hi-c.lo), level*math.Max(1, c.scale()))
	total := 0
	for i, ks := range c.runs {
		out := make([]knot, 0, len(ks)+8)
		for j, k := range ks {
			if j > 0 {
				out = c.between(out, ks[j-1], k, allow, 0)
			}
			out = append(out, k)
		}
		c.runs[i] = out
		if total += len(out); total > maxPositions {
			return
		}
	}
}

func (c *curve) between(out []knot, a, b knot, allow float64, depth int) []knot {
	off := math.Abs(b.v - a.v - (b.t-a.t)*(a.slope+b.slope)/2)
	if !(off > allow) || depth == maxDepth {
		return out
	}
	m := c.look((a.t + b.t) / 2)
	if m.v != m.v {
		return out
	}
	out = c.between(out, a, m, allow, depth+1)
	out = append(out, m)
	return c.between(out, m, b, allow, depth+1)
}

// turningPoints puts in a knot wherever the figure turns between two others.
func (c *curve) turningPoints(ks []knot) []knot {
	out := make([]knot, 0, len(ks)+8)
	for i, k := range ks {
		if i > 0 {
			if t, ok := c.turning(ks, i); ok {
				out = append(out, t)
			}
		}
		out = append(out, k)
	}
	return out
}

// turning looks for a turning point in the step that ends at knot i: by the slopes at its ends, or where there are
// none by the values on either side.
func (c *curve) turning(ks []knot, i int) (knot, bool) {
	a, b := ks[i-1], ks[i]
	if a.slope == a.slope && b.slope == b.slope {
		steepest := math.Max(math.Abs(a.slope), math.Abs(b.slope))
		if !(a.slope*b.slope < 0) || steepest*(b.t-a.t) < flat*math.Max(1, c.scale()) {
			return knot{}, false
		}
		slope := func(t float64) float64 { return c.look(t).slope }
		t := rootBetween(slope, a.t, b.t, a.slope, b.slope, turnTolerance)
		return c.best(a, b, t)
	}
	return c.turningByValue(ks, i)
}

// best is the turning point at t, unless rounding or a jump of the figure makes an end of the step better.
func (c *curve) best(a, b knot, t float64) (knot, bool) {
	k := c.look(t)
	sign := 1.0
	if a.slope > 0 {
		sign = -1
	}
	if k.v != k.v || t <= a.t || t >= b.t || sign*k.v > sign*a.v || sign*k.v > sign*b.v {
		return knot{}, false
	}
	k.slope = 0
	return k, true
}

// turningByValue looks for a least or greatest at the middle of three knots of which i is the second or the third, and
// puts it into the step that it falls into.
func (c *curve) turningByValue(ks []knot, i int) (knot, bool) {
	for _, m := range [2]int{i - 1, i} {
		if m < 1 || m+1 >= len(ks) {
			continue
		}
		a, k, b := ks[m-1], ks[m], ks[m+1]
		sign := 1.0
		if k.v > a.v {
			sign = -1
		}
		tiny := level * c.scale()
		if !(sign*(a.v-k.v) >= 0 && sign*(b.v-k.v) >= 0 && sign*(a.v+b.v-2*k.v) > tiny) {
			continue
		}
		f := func(t float64) float64 { return sign * c.value(t) }
		t, _ := leastBetween(f, a.t, k.t, b.t, sign*k.v, turnTolerance)
		if t > ks[i-1].t && t < ks[i].t {
			return c.look(t), true
		}
	}
	return knot{}, false
}
