package engine

import (
	"math"

	"barover/solver"
	"barover/solver/plane"
)

// question is a figure and its limits.
type question struct {
	Figure Figure
	lo, hi float64 // NaN for none, or where the limit moves
	meets  float64 // by how much it may miss them and still hold
	// Limits that change with the turn are figures of their own, which must not fall below zero.
	moving []Figure
	bar    *Bar // the figure matters only beyond this; nil where it is needed exactly
}

// Sight is the answer to a question at one travel setting.
type Sight struct {
	Have            bool // there is a number somewhere on the turn
	Least, Greatest Knot
	Worst           Knot    // where its margin is least
	Margin          float64 // the margin there; below zero it does not hold; +Inf for no limit
	Fouls           []solver.Interval
	Near            [2]plane.Vec // of a pair, at worst: the nearest places, on the first and on the second
}

// sight answers a question over the turn.
func (r *Run) sight(q question) Sight {
	wanted := Search{Least: true, greatest: true, bar: q.bar}
	if q.bar == nil {
		wanted.levels = []float64{q.lo, q.hi}
	}
	c := r.Trace(q.Figure, wanted)
	s := Sight{Margin: math.Inf(1), Fouls: c.none}
	s.Least, s.Have = c.Least()
	s.Greatest, _ = c.Greatest()
	s.Worst = s.Least
	if len(c.none) > 0 { // where there is no number, nothing holds
		s.Worst = Knot{T: c.none[0].From, V: math.NaN()}
		s.Margin = math.Inf(-1)
	}
	if !s.Have {
		return s
	}
	s.judge(s.Least, s.Least.V-q.lo)
	s.judge(s.Greatest, q.hi-s.Greatest.V)
	if q.bar == nil && s.Least.V < q.lo-q.meets {
		s.Fouls = Together(s.Fouls, c.below(q.lo))
	}
	if q.bar == nil && s.Greatest.V > q.hi+q.meets {
		s.Fouls = Together(s.Fouls, c.Above(q.hi))
	}
	for _, f := range q.moving {
		s.limitThatMoves(r.Trace(f, Search{Least: true, levels: []float64{0}}), q)
	}
	return s
}

// judge notes a place where the question has this margin, if it is the least so far. A margin of NaN means no limit.
func (s *Sight) judge(k Knot, margin float64) {
	if margin < s.Margin {
		s.Margin, s.Worst = margin, k
	}
}

func (s *Sight) limitThatMoves(c *Curve, q question) {
	k, ok := c.Least()
	if !ok {
		return
	}
	if k.V < s.Margin && c.Run.Stand(k.T, c.At) {
		s.judge(Knot{T: k.T, V: q.Figure.Value(c.At)}, k.V)
	}
	if k.V < -q.meets {
		s.Fouls = Together(s.Fouls, c.below(0))
	}
	if len(c.none) > 0 {
		s.Margin = math.Inf(-1) // a limit without a value cannot be met
		s.Fouls = Together(s.Fouls, c.none)
	}
}

// Check answers check i.
func (r *Run) Check(i int) Sight { return r.CheckBeside(i, nil) }

// CheckBeside answers check i only as closely as it takes to decide whether it goes beyond a bar. A nil bar asks for
// exact figures.
func (r *Run) CheckBeside(i int, bar *Bar) Sight {
	c := &r.Engine.Problem.Checks[i]
	if c.Kind == solver.Clear || c.Kind == solver.Gap {
		return r.Pair(c, bar)
	}
	q := r.Engine.question(c)
	q.bar = bar
	return r.sight(q)
}

// question is what a check asks.
func (m *Engine) question(c *solver.Check) question {
	switch c.Kind {
	case solver.Clear:
		return question{Figure: m.PairFigure(c.A, c.B), lo: m.Wanted(c), hi: m.Limit(c.AtMost), meets: solver.MeetsLength}
	case solver.Gap: // they pass each other however little they overlap
		return question{Figure: m.PairFigure(c.A, c.B), lo: m.Wanted(c), hi: math.NaN(), meets: Touch}
	case solver.Loose:
		return m.Miss(c)
	}
	return m.keep(c)
}

// CheckAt returns the figure of check i and its margin as functions of one position, NaN where there is none. Give each goroutine its own.
func (m *Engine) CheckAt(i int) func(*Station) (v, margin float64) {
	return m.question(&m.Problem.Checks[i]).at
}

// MeasureAt is CheckAt of measure i.
func (m *Engine) MeasureAt(i int) func(*Station) (v, margin float64) {
	return question{Figure: m.Sum(m.Problem.Measures[i].Sum), lo: math.NaN(), hi: math.NaN()}.at
}

// at is the figure at one position, and its margin there.
func (q question) at(s *Station) (v, margin float64) {
	v = q.Figure.Value(s)
	margin = math.Min(solver.OrGreatest(v-q.lo), solver.OrGreatest(q.hi-v))
	for _, f := range q.moving {
		margin = math.Min(margin, solver.OrGreatest(f.Value(s)))
	}
	return v, margin
}

// Measure answers measure i.
func (r *Run) Measure(i int) Sight {
	sum := r.Engine.Problem.Measures[i].Sum
	s := r.sight(question{Figure: r.Engine.Sum(sum), lo: math.NaN(), hi: math.NaN()})
	if s.Have {
		s.Least, s.Greatest = r.Stay(sum, s.Least, 1), r.Stay(sum, s.Greatest, -1)
	}
	return s
}

// keep returns the question of a keep line.
func (m *Engine) keep(c *solver.Check) question {
	q := question{Figure: m.Sum(c.Sum), lo: m.Limit(c.AtLeast), hi: m.Limit(c.AtMost), meets: c.Meets()}
	if m.Moves(c.AtLeast) {
		q.moving = append(q.moving, m.difference(c.Sum, c.AtLeast))
	}
	if m.Moves(c.AtMost) {
		q.moving = append(q.moving, m.difference(c.AtMost, c.Sum))
	}
	return q
}

// missFigure is the amount by which a loose length is missed: positive where the points are too far apart, mm.
type missFigure struct {
	p, q int
	want *sumFigure
}

// Miss returns the question of a loose line: its signed miss within its play either way.
func (m *Engine) Miss(c *solver.Check) question {
	e := &m.Problem.Linkage.Equations[c.Equation]
	play := m.Limit(e.Play)
	f := &missFigure{e.P, e.Q, m.Sum(e.V).(*sumFigure)}
	return question{Figure: f, lo: -play, hi: play, meets: solver.MeetsLength}
}

func (f *missFigure) Value(s *Station) float64 {
	return s.pose.Point[f.q].Sub(s.pose.Point[f.p]).Len() - f.want.Value(s)
}

func (f *missFigure) slope(s *Station) (v, slope float64) {
	w, sw := f.want.slope(s)
	d := s.pose.Point[f.q].Sub(s.pose.Point[f.p])
	l := d.Len()
	return l - w, d.Dot(s.rate(f.q).Sub(s.rate(f.p)))/l - sw
}
