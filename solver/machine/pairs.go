package machine

import (
	"math"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/outline"
	"barover/solver/plane"
)

// pairFigure is the signed distance of two profiles in the side view.
type pairFigure struct {
	m            *Machine
	a, b         *outline.Region
	partA, partB int
	eval         *expr.Eval
}

func (m *Machine) pairFigure(a, b int) *pairFigure {
	p := m.Problem.Profiles
	return &pairFigure{m, m.Regions[a], m.Regions[b], p[a].Part, p[b].Part, expr.NewEval(m.Values)}
}

func (f *pairFigure) near(s *station) outline.Near {
	return outline.Distance(f.a, s.pose.Part[f.partA], f.b, s.pose.Part[f.partB])
}

func (f *pairFigure) value(s *station) float64 { return f.near(s).D }

// slope gives the distance and how fast it grows: the pull times the difference of the speeds that the two parts have at
// the place where it acts.
func (f *pairFigure) slope(s *station) (v, slope float64) {
	s.going()
	n := f.near(s)
	va := f.m.going(f.partA, s, f.eval).at(n.At, s.pose.Part[f.partA])
	vb := f.m.going(f.partB, s, f.eval).at(n.At, s.pose.Part[f.partB])
	return n.D, n.Pull.Dot(vb.Sub(va))
}

// pair looks at two profiles over the turn. A gap asks only where they overlap.
func (r *run) pair(c *solver.Check) sight { return r.pairBeside(c, nil) }

func (r *run) pairBeside(c *solver.Check, bar *Bar) sight {
	if c.Kind == solver.Clear && r.m.bandsApart(c.A, c.B) {
		return sight{}
	}
	f := r.m.pairFigure(c.A, c.B)
	q := question{figure: f, lo: r.m.wanted(c), hi: r.m.limit(c.AtMost), meets: solver.MeetsLength, bar: bar}
	if c.Kind == solver.Gap {
		q.hi, q.meets = math.NaN(), touch // they pass each other however little they overlap
	}
	s := r.sight(q)
	st := r.m.newStation()
	if s.have && r.stand(s.worst.t, st) {
		n := f.near(st)
		s.near = [2]plane.Vec{n.P, n.Q}
	}
	return s
}

// wanted is the distance in the side view below which a pair is of interest, mm: what a clear line asks, and for a gap
// line zero, where the two begin to pass each other.
func (m *Machine) wanted(c *solver.Check) float64 {
	if c.Kind == solver.Clear && c.AtLeast != expr.None {
		return m.limit(c.AtLeast)
	}
	return 0
}
