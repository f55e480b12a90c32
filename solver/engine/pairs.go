package engine

import (
	"barover/solver"
	"barover/solver/expr"
	"barover/solver/outline"
	"barover/solver/plane"
)

// PairFigure is the signed distance of two profiles in the side view.
type PairFigure struct {
	m            *Engine
	a, b         *outline.Region
	PartA, PartB int
	eval         *expr.Eval
}

// PairFigure returns the distance of profiles a and b.
func (m *Engine) PairFigure(a, b int) *PairFigure {
	p := m.Problem.Profiles
	return &PairFigure{m, m.Regions[a], m.Regions[b], p[a].Part, p[b].Part, expr.NewEval(m.Values)}
}

// Near returns where the two outlines are nearest at a position.
func (f *PairFigure) Near(s *Station) outline.Near {
	return outline.Distance(f.a, s.pose.Part[f.PartA], f.b, s.pose.Part[f.PartB])
}

// Value is the distance there, mm.
func (f *PairFigure) Value(s *Station) float64 { return f.Near(s).D }

// slope returns the distance and its derivative by the turn: the pull times the difference of the speeds of the two parts
// at the place where it acts.
func (f *PairFigure) slope(s *Station) (v, slope float64) {
	s.going()
	n := f.Near(s)
	va := f.m.going(f.PartA, s, f.eval).at(n.At, s.pose.Part[f.PartA])
	vb := f.m.going(f.PartB, s, f.eval).at(n.At, s.pose.Part[f.PartB])
	return n.D, n.Pull.Dot(vb.Sub(va))
}

// Pair measures two profiles over the turn, only as closely as a bar needs unless that is nil. For a gap, only overlaps matter.
func (r *Run) Pair(c *solver.Check, bar *Bar) Sight {
	if c.Kind == solver.Clear && r.Engine.BandsApart(c.A, c.B) {
		return Sight{}
	}
	q := r.Engine.question(c)
	q.bar = bar
	s := r.sight(q)
	st := r.Engine.NewStation()
	if s.Have && r.Stand(s.Worst.T, st) {
		n := q.Figure.(*PairFigure).Near(st)
		s.Near = [2]plane.Vec{n.P, n.Q}
	}
	return s
}

// Wanted is the distance in the side view below which a pair matters, mm: the limit of a clear line; zero for a gap line,
// since there the two begin to pass each other.
func (m *Engine) Wanted(c *solver.Check) float64 {
	if c.Kind == solver.Clear && c.AtLeast != expr.None {
		return m.Limit(c.AtLeast)
	}
	return 0
}
