package engine

import (
	"cmp"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/hunt"
	"barover/solver/plane"
)

// Figure is a number that every position has at one travel setting: a distance between two outlines, a sum.
type Figure interface {
	// value returns the number, NaN where there is none.
	Value(s *Station) float64
	// slope returns the number and its derivative by the turn, NaN where that is not known.
	slope(s *Station) (v, slope float64)
}

// Knot is a turn and the value of a figure there.
type Knot struct{ T, V float64 }

// Curve is a figure over the turn at one travel setting. Its knots are close together, and there is one at every turning
// point that shows between them. So the figure rises or falls all the way from one knot to the next.
type Curve struct {
	Run    *Run
	Figure Figure
	runs   [][]Knot          // the stretches over which there is a number, in order of the turn
	none   []solver.Interval // where the parts assemble but the figure has no value
	At     *Station          // room to work in
	mine   Station           // a position of the run, to which this curve alone adds speeds
	lo, hi float64           // least and greatest of the values at the knots
	closed bool              // it ends where it began: the turn closes, and the figure with it (a crank's heading does not)
	search Search
}

// Search says what a curve is needed for: only the turning points that may matter are searched for.
type Search struct {
	Least, greatest bool
	levels          []float64 // where the figure passes these
	bar             *Bar      // only a least below this one or a greatest above it matters; nil for any
}

// Both searches for both the least and the greatest.
var Both = Search{Least: true, greatest: true}

// Trace samples fig over the whole turn.
func (r *Run) Trace(fig Figure, wanted Search) *Curve {
	c := &Curve{Run: r, Figure: fig, At: r.Engine.NewStation(), lo: math.Inf(1), hi: math.Inf(-1), search: wanted}
	for _, span := range r.Spans {
		c.span(span)
	}
	c.subdivide()
	for i := range c.runs {
		c.runs[i] = c.turningPoints(c.runs[i])
	}
	c.closed = c.comesRound()
	return c
}

func (c *Curve) comesRound() bool {
	n := len(c.runs)
	if n == 0 || !c.Run.Closed {
		return false
	}
	first, last := c.runs[0][0], c.runs[n-1][len(c.runs[n-1])-1]
	return first.T <= c.Run.From+sameTurn && last.T >= c.Run.To-sameTurn &&
		math.Abs(first.V-last.V) <= 1e-6*math.Max(1, c.scale())
}

// SameAtEnds reports whether the figure of a curve not traced yet continues from the end of the turn to its start. The
// heading of a crank does not, though the turn closes.
func (c *Curve) SameAtEnds() bool {
	if !c.Run.Closed {
		return false
	}
	a, b := c.Value(c.Run.From), c.Value(c.Run.To)
	return math.Abs(a-b) <= 1e-6*math.Max(1, math.Abs(a))
}

// Value evaluates the figure at any turn within an assembled span.
func (c *Curve) Value(t float64) float64 {
	if !c.Run.Stand(t, c.At) {
		return math.NaN()
	}
	return c.Figure.Value(c.At)
}

// slope evaluates the derivative of the figure by the turn, NaN where that is not known.
func (c *Curve) slope(t float64) float64 {
	if !c.Run.Stand(t, c.At) {
		return math.NaN()
	}
	_, s := c.Figure.slope(c.At)
	return s
}

// look evaluates the figure and notes the least and the greatest value so far.
func (c *Curve) look(t float64) Knot { return c.seen(Knot{t, c.Value(t)}) }

func (c *Curve) seen(k Knot) Knot {
	c.lo, c.hi = math.Min(c.lo, solver.OrGreatest(k.V)), math.Max(c.hi, -solver.OrGreatest(-k.V))
	return k
}

// own returns a position of the run for this curve to change. Several curves share one run, and a sum with a rate in it
// needs speeds added to the position.
func (c *Curve) own(s *Station) *Station {
	switch f := c.Figure.(type) {
	case *PairFigure:
		return s
	case *sumFigure:
		if !f.rates {
			return s
		}
	}
	return s.CopyTo(&c.mine)
}

// span samples one assembled span, cut where the figure has no number.
func (c *Curve) span(stations []Station) {
	now := make([]Knot, 0, len(stations)+2)
	end := func() {
		if len(now) > 0 {
			c.runs = append(c.runs, now)
		}
		now = nil
	}
	real := func(t float64) bool { v := c.Value(t); return !math.IsNaN(v) }
	gap := math.NaN()
	for i := range stations {
		s := c.own(&stations[i])
		k := c.seen(Knot{s.Turn, c.Figure.Value(s)})
		switch lost := math.IsNaN(k.V); {
		case lost && math.IsNaN(gap):
			gap = s.Turn
			if n := len(now); n > 0 {
				gap = hunt.EdgeBetween(real, now[n-1].T, s.Turn, TurnTolerance)
				now = append(now, c.look(gap))
			}
			end()
		case !lost && !math.IsNaN(gap):
			edge := s.Turn
			if i > 0 {
				edge = hunt.EdgeBetween(real, s.Turn, stations[i-1].Turn, TurnTolerance)
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
		c.none = append(c.none, solver.Interval{From: gap, To: stations[len(stations)-1].Turn})
	}
	end()
}

// scale is the size of the figures. Differences far below it are rounding.
func (c *Curve) scale() float64 {
	if !(c.hi >= c.lo) {
		return 0
	}
	return math.Max(math.Abs(c.hi), math.Abs(c.lo))
}

// subdivide halves the steps on either side of a knot where the figure is too far from linear.
func (c *Curve) subdivide() {
	allow := math.Max(10*fast*(c.hi-c.lo), Level*math.Max(1, c.scale()))
	total := 0
	for i, ks := range c.runs {
		out := make([]Knot, 0, len(ks)+8)
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

// bend returns how far the figure at knot i lies off the straight line between its neighbours.
func (c *Curve) bend(ks []Knot, i int) float64 {
	if i == 0 || i+1 >= len(ks) {
		return 0
	}
	a, k, b := ks[i-1], ks[i], ks[i+1]
	return math.Abs(k.V - a.V - (b.V-a.V)*(k.T-a.T)/(b.T-a.T))
}

// between adds knots between a and b until the figure bends by no more than allow. Beside a and b it bends by bend.
func (c *Curve) between(out []Knot, a, b Knot, bend, allow float64, depth int) []Knot {
	if !(bend > allow) || depth == maxDepth {
		return out
	}
	m := c.look((a.T + b.T) / 2)
	if math.IsNaN(m.V) {
		return out
	}
	bend = c.bend([]Knot{a, m, b}, 1)
	out = c.between(out, a, m, bend, allow, depth+1)
	out = append(out, m)
	return c.between(out, m, b, bend, allow, depth+1)
}

// turningPoints adds a knot wherever the figure turns between the others: beside each knot that lies beyond its
// neighbours, and at the ends of the stretch, which have one neighbour only.
func (c *Curve) turningPoints(ks []Knot) []Knot {
	tiny := flat * math.Max(1, c.scale())
	out := slices.Clone(ks)
	for m, k := range ks {
		a, b := ks[max(m-1, 0)], ks[min(m+1, len(ks)-1)]
		sign := plane.Sign(!(k.V > a.V || k.V > b.V))
		if sign*(a.V-k.V) >= 0 && sign*(b.V-k.V) >= 0 && sign*(a.V+b.V-2*k.V) > tiny && c.tells(a, k, b, sign) {
			if t, ok := c.turn(a, k, b, sign); ok {
				out = append(out, t)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Knot) int { return cmp.Compare(a.T, b.T) })
	return slices.CompactFunc(out, func(a, b Knot) bool { return a.T == b.T })
}

// tells reports whether the turning point beside knot k may be the least or the greatest, or pass a level that no knot
// passes. It assumes that beside a knot the figure goes no further than it went from there to its neighbours.
func (c *Curve) tells(a, k, b Knot, sign float64) bool {
	most := k.V - sign*math.Max(math.Abs(a.V-k.V), math.Abs(b.V-k.V))
	if (sign > 0 && c.search.Least && most <= c.lo) || (sign < 0 && c.search.greatest && most >= c.hi) {
		return c.search.bar.Passed(most, sign)
	}
	return slices.ContainsFunc(c.search.levels, func(l float64) bool { return sign*most <= sign*l && sign*l <= sign*k.V })
}

// turn finds the least (sign 1) or greatest (−1) of the figure from a to b: where its slope is zero, or from its values
// alone where it has no slope. k lies between and is no worse than both. At an end of a stretch k is a or b, and there
// may be no turning point.
func (c *Curve) turn(a, k, b Knot, sign float64) (Knot, bool) {
	sa, sb := sign*c.slope(a.T), sign*c.slope(b.T)
	switch {
	case sa < 0 && sb > 0:
		t := hunt.RootBetween(func(t float64) float64 { return sign * c.slope(t) }, a.T, b.T, sa, sb, TurnTolerance)
		if best := c.look(t); sign*best.V <= sign*k.V {
			return best, true
		}
	case !math.IsNaN(sa) && !math.IsNaN(sb) && (k.T == a.T || k.T == b.T):
		return k, false
	}
	t, v := hunt.LeastBetween(func(t float64) float64 { return sign * c.Value(t) }, a.T, k.T, b.T, sign*k.V, TurnTolerance)
	return c.seen(Knot{t, sign * v}), v <= sign*k.V
}
