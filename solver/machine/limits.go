package machine

import (
	"math"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/plane"
)

// question is a figure and the limits that it must keep to.
type question struct {
	figure figure
	lo, hi float64 // NaN for none, or where the limit moves
	meets  float64 // by how much it may miss them and still hold
	// Limits that move with the turn are asked as figures of their own: what must not fall below zero.
	moving []figure
	bar    *Bar // the figure matters no closer than to tell whether it goes beyond this; nil where it is to be told exactly
}

// sight is what a question comes to at one travel setting.
type sight struct {
	have            bool // there is a number somewhere on the turn
	least, greatest knot
	worst           knot    // where it holds by least
	margin          float64 // by how much it holds there: below zero, it does not. +Inf for no limit
	fouls           []solver.Interval
	near            [2]plane.Vec // of a pair, at worst: the nearest places, on the first and on the second
}

// sight looks at a question over the turn.
func (r *run) sight(q question) sight {
	wanted := search{least: true, greatest: true, bar: q.bar}
	if q.bar == nil {
		wanted.levels = []float64{q.lo, q.hi}
	}
	c := r.trace(q.figure, wanted)
	s := sight{margin: math.Inf(1), fouls: c.none}
	s.least, s.have = c.least()
	s.greatest, _ = c.greatest()
	s.worst = s.least
	if len(c.none) > 0 { // where there is no number, nothing holds
		s.worst = knot{t: c.none[0].From, v: math.NaN()}
		s.margin = math.Inf(-1)
	}
	if !s.have {
		return s
	}
	s.judge(s.least, s.least.v-q.lo)
	s.judge(s.greatest, q.hi-s.greatest.v)
	if q.bar == nil && s.least.v < q.lo-q.meets {
		s.fouls = together(s.fouls, c.below(q.lo))
	}
	if q.bar == nil && s.greatest.v > q.hi+q.meets {
		s.fouls = together(s.fouls, c.above(q.hi))
	}
	for _, f := range q.moving {
		s.limitThatMoves(r.trace(f, search{least: true, levels: []float64{0}}), q)
	}
	return s
}

// judge takes note of a place where the question holds by margin, if that is the least so far. NaN is no limit.
func (s *sight) judge(k knot, margin float64) {
	if margin < s.margin {
		s.margin, s.worst = margin, k
	}
}

func (s *sight) limitThatMoves(c *curve, q question) {
	k, ok := c.least()
	if !ok {
		return
	}
	if k.v < s.margin && c.run.stand(k.t, c.at) {
		s.judge(knot{t: k.t, v: q.figure.value(c.at)}, k.v)
	}
	if k.v < -q.meets {
		s.fouls = together(s.fouls, c.below(0))
	}
	if len(c.none) > 0 {
		s.margin = math.Inf(-1) // a limit without a value cannot be kept to
		s.fouls = together(s.fouls, c.none)
	}
}

// check looks at check i.
func (r *run) check(i int) sight { return r.checkBeside(i, nil) }

// checkBeside looks at check i no closer than it takes to tell whether it goes beyond a bar. Nil is for an exact look.
func (r *run) checkBeside(i int, bar *Bar) sight {
	c := &r.m.Problem.Checks[i]
	if c.Kind == solver.Clear || c.Kind == solver.Gap {
		return r.pairBeside(c, bar)
	}
	q := r.m.keep(c)
	if c.Kind == solver.Loose {
		q = r.m.miss(c)
	}
	q.bar = bar
	return r.sight(q)
}

// measure looks at measure i.
func (r *run) measure(i int) sight {
	return r.sight(question{figure: r.m.sum(r.m.Problem.Measures[i].Sum), lo: math.NaN(), hi: math.NaN()})
}

// keep is the question of a keep line.
func (m *Machine) keep(c *solver.Check) question {
	q := question{figure: m.sum(c.Sum), lo: m.limit(c.AtLeast), hi: m.limit(c.AtMost), meets: c.Meets()}
	if m.moves(c.AtLeast) {
		q.moving = append(q.moving, m.difference(c.Sum, c.AtLeast))
	}
	if m.moves(c.AtMost) {
		q.moving = append(q.moving, m.difference(c.AtMost, c.Sum))
	}
	return q
}

// missFigure is by how much a loose length is missed: positive where the points stand too far apart, mm.
type missFigure struct {
	p, q int
	want *sumFigure
}

// miss is the question of a loose line: its signed miss within its play either way.
func (m *Machine) miss(c *solver.Check) question {
	e := &m.Problem.Linkage.Equations[c.Equation]
	play := m.limit(e.Play)
	f := &missFigure{e.P, e.Q, &sumFigure{id: e.V, less: expr.None, eval: expr.NewEval(m.Values)}}
	return question{figure: f, lo: -play, hi: play, meets: solver.MeetsLength}
}

func (f *missFigure) value(s *station) float64 {
	return s.pose.Point[f.q].Sub(s.pose.Point[f.p]).Len() - f.want.value(s)
}

func (f *missFigure) slope(s *station) (v, slope float64) {
	w, sw := f.want.slope(s)
	d := s.pose.Point[f.q].Sub(s.pose.Point[f.p])
	l := d.Len()
	return l - w, d.Dot(s.rate(f.q).Sub(s.rate(f.p)))/l - sw
}
