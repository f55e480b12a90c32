package machine

import (
	"cmp"
	"math"
	"slices"

	"barover/solver"
)

// figure is a number that every position has at one travel setting: a distance between two outlines, a sum.
type figure interface {
	// value gives the number, NaN where there is none.
	value(s *station) float64
	// slope gives the number and its slope by the turn, NaN where that is not known.
	slope(s *station) (v, slope float64)
}

// knot is a position at which a figure was looked at.
type knot struct{ t, v float64 }

// curve is a figure over the turn at one travel setting: knots close enough together, and at every turning point that
// shows between them, so that it rises or falls all the way from one knot to the next.
type curve struct {
	run    *run
	fig    figure
	runs   [][]knot          // the stretches over which there is a number, in order of the turn
	none   []solver.Interval // where the parts assemble but the figure has no value
	at     *station          // room to work in
	mine   station           // a position of the run, to which this curve alone adds speeds
	lo, hi float64           // least and greatest of the values at the knots
	closed bool              // it ends where it began: the turn closes, and the figure with it (a crank's heading does not)
	search search
}

// search is what a curve is wanted for: only the turning points that may tell are sought out.
type search struct {
	least, greatest bool
	levels          []float64 // where the figure passes these
	bar             *Bar      // only a least below this one and a greatest above it may tell; nil for any
}

// whole seeks both the least and the greatest.
var whole = search{least: true, greatest: true}

// trace looks at fig over the whole turn.
func (r *run) trace(fig figure, wanted search) *curve {
	c := &curve{run: r, fig: fig, at: r.m.newStation(), lo: math.Inf(1), hi: math.Inf(-1), search: wanted}
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

// sameAtEnds reports, of a curve not traced yet, whether its figure goes on over the end of the turn from its start. A
// crank's heading does not, though the turn closes.
func (c *curve) sameAtEnds() bool {
	if !c.run.closed {
		return false
	}
	a, b := c.value(c.run.from), c.value(c.run.to)
	return math.Abs(a-b) <= 1e-6*math.Max(1, math.Abs(a))
}

// value evaluates the figure at any turn within a span.
func (c *curve) value(t float64) float64 {
	if !c.run.stand(t, c.at) {
		return math.NaN()
	}
	return c.fig.value(c.at)
}

// slope evaluates its slope by the turn, NaN where that is not known.
func (c *curve) slope(t float64) float64 {
	if !c.run.stand(t, c.at) {
		return math.NaN()
	}
	_, s := c.fig.slope(c.at)
	return s
}

// look evaluates the figure and takes note of how little and how much it comes to.
func (c *curve) look(t float64) knot { return c.seen(knot{t, c.value(t)}) }

func (c *curve) seen(k knot) knot {
	c.lo, c.hi = math.Min(c.lo, solver.OrGreatest(k.v)), math.Max(c.hi, -solver.OrGreatest(-k.v))
	return k
}

// own is a position of the run as this curve may use it. Several curves look at one run at a time, and a sum with a rate in it has
// the speeds put in.
func (c *curve) own(s *station) *station {
	if _, distance := c.fig.(*pairFigure); distance {
		return s
	}
	room := c.mine.sums
	c.mine = *s
	c.mine.goes, c.mine.runs = false, false
	c.mine.sums.DX, c.mine.sums.DY, c.mine.sums.DDX, c.mine.sums.DDY = room.DX, room.DY, room.DDX, room.DDY
	return &c.mine
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
	real := func(t float64) bool { v := c.value(t); return !math.IsNaN(v) }
	gap := math.NaN()
	for i := range stations {
		s := c.own(&stations[i])
		k := c.seen(knot{s.turn, c.fig.value(s)})
		switch lost := math.IsNaN(k.v); {
		case lost && math.IsNaN(gap):
			gap = s.turn
			if n := len(now); n > 0 {
				gap = edgeBetween(real, now[n-1].t, s.turn, turnTolerance)
				now = append(now, c.look(gap))
			}
			end()
		case !lost && !math.IsNaN(gap):
			edge := s.turn
			if i > 0 {
				edge = edgeBetween(real, s.turn, stations[i-1].turn, turnTolerance)
				now = append(now, c.look(edge))
			}
			c.none = append(c.none, solver.Interval{From: gap, To: edge})
			gap = math.NaN()
			now = append(now, k)
		case !lost:
			now = append(now, k)
		}
	}
	if !math.IsNaN(gap) {
		c.none = append(c.none, solver.Interval{From: gap, To: stations[len(stations)-1].turn})
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

// subdivide halves the steps on either side of a knot at which the figure bends too much to be told what it does there.
func (c *curve) subdivide() {
	allow := math.Max(10*fast*(c.hi-c.lo), level*math.Max(1, c.scale()))
	total := 0
	for i, ks := range c.runs {
		out := make([]knot, 0, len(ks)+8)
		for j, k := range ks {
			if j > 0 {
				out = c.between(out, ks[j-1], k, math.Max(c.bend(ks, j-1), c.bend(ks, j)), allow, 0)
			}
			out = append(out, k)
		}
		c.runs[i] = out
		if total += len(out); total > mostLookedAt {
			return
		}
	}
}

// bend is how far the figure at knot i lies off the straight line between its neighbours.
func (c *curve) bend(ks []knot, i int) float64 {
	if i == 0 || i+1 >= len(ks) {
		return 0
	}
	a, k, b := ks[i-1], ks[i], ks[i+1]
	return math.Abs(k.v - a.v - (b.v-a.v)*(k.t-a.t)/(b.t-a.t))
}

// between adds knots between a and b, beside which the figure bends by bend, until it bends by no more than allow.
func (c *curve) between(out []knot, a, b knot, bend, allow float64, depth int) []knot {
	if !(bend > allow) || depth == maxDepth {
		return out
	}
	m := c.look((a.t + b.t) / 2)
	if math.IsNaN(m.v) {
		return out
	}
	bend = c.bend([]knot{a, m, b}, 1)
	out = c.between(out, a, m, bend, allow, depth+1)
	out = append(out, m)
	return c.between(out, m, b, bend, allow, depth+1)
}

// turningPoints puts in a knot wherever the figure turns between the others: beside each knot that lies beyond its
// neighbours, and at the ends of the stretch, which have one neighbour only.
func (c *curve) turningPoints(ks []knot) []knot {
	tiny := flat * math.Max(1, c.scale())
	out := slices.Clone(ks)
	for m, k := range ks {
		a, b := ks[max(m-1, 0)], ks[min(m+1, len(ks)-1)]
		sign := 1.0
		if k.v > a.v || k.v > b.v {
			sign = -1
		}
		if sign*(a.v-k.v) >= 0 && sign*(b.v-k.v) >= 0 && sign*(a.v+b.v-2*k.v) > tiny && c.tells(a, k, b, sign) {
			if t, ok := c.turn(a, k, b, sign); ok {
				out = append(out, t)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b knot) int { return cmp.Compare(a.t, b.t) })
	return slices.CompactFunc(out, func(a, b knot) bool { return a.t == b.t })
}

// tells reports whether the turning point beside knot k may be the least or greatest, or pass a level that no knot
// passes. Beside a knot the figure goes no further than it went from there to its neighbours.
func (c *curve) tells(a, k, b knot, sign float64) bool {
	most := k.v - sign*math.Max(math.Abs(a.v-k.v), math.Abs(b.v-k.v))
	if (sign > 0 && c.search.least && most <= c.lo) || (sign < 0 && c.search.greatest && most >= c.hi) {
		return c.search.bar.passed(most, sign)
	}
	for _, l := range c.search.levels {
		if sign*most <= sign*l && sign*l <= sign*k.v {
			return true
		}
	}
	return false
}

// turn finds the least (sign 1) or greatest (−1) of the figure from a to b by where its slope is zero, or by its values
// alone where it has no slope. k lies between, no worse than both. At an end of a stretch k is a or b, and there may be
// none.
func (c *curve) turn(a, k, b knot, sign float64) (knot, bool) {
	sa, sb := sign*c.slope(a.t), sign*c.slope(b.t)
	switch {
	case sa < 0 && sb > 0:
		t := rootBetween(func(t float64) float64 { return sign * c.slope(t) }, a.t, b.t, sa, sb, turnTolerance)
		if best := c.look(t); sign*best.v <= sign*k.v {
			return best, true
		}
	case !math.IsNaN(sa) && !math.IsNaN(sb) && (k.t == a.t || k.t == b.t):
		return k, false
	}
	t, v := leastBetween(func(t float64) float64 { return sign * c.value(t) }, a.t, k.t, b.t, sign*k.v, turnTolerance)
	return c.seen(knot{t, sign * v}), v <= sign*k.v
}
