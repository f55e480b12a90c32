package sketch

import (
	"fmt"

	"barover/sketch/syntax"
	"barover/solver/expr"
	"barover/solver/outline"
	"barover/solver/schedule"
)

// fixed finds where a point is in a part's own axes, for shapes that name points instead of giving their places. A point
// is fixed on a part if it is the part's origin, if it was put on the part, or if it is the part's point Q and the sketch
// says how far Q is from the origin.
func (l *loader) fixed(part, point int) (outline.Place, string) {
	m := l.sketch.Problem.Linkage
	p, pt := &m.Points[point], &m.Parts[part]
	g := l.sum.g
	zero := g.Const(0)
	switch {
	case p.Kind == schedule.OnPart && p.Part == part, part == 0 && p.Kind == schedule.Driven:
		if !l.constant(p.U) || !l.constant(p.V) {
			return outline.Place{}, fmt.Sprintf("%s moves on %s with the turn or a travel", p.Name, pt.Name)
		}
		return outline.Place{X: p.U, Y: p.V}, ""
	case part == 0:
		return outline.Place{}, fmt.Sprintf("%s is not fixed on the frame", p.Name)
	case point == pt.P:
		return outline.Place{X: zero, Y: zero}, ""
	case pt.Kind == schedule.FromTo && point == pt.Q:
		long := l.distance(pt.P, pt.Q)
		if e := l.length(pt.P, pt.Q); long == expr.None && e != nil && !e.Loose {
			return outline.Place{}, fmt.Sprintf("%s is not fixed on %s: how far it is from %s changes", p.Name, pt.Name, m.Points[pt.P].Name)
		}
		if long == expr.None {
			return outline.Place{}, fmt.Sprintf("%s is not fixed on %s: nothing says how far it is from %s", p.Name, pt.Name, m.Points[pt.P].Name)
		}
		if pt.Heading == expr.None {
			return outline.Place{X: long, Y: zero}, ""
		}
		return outline.Place{X: g.Mul(long, g.Unary(expr.Cos, pt.Heading)), Y: g.Mul(long, g.Unary(expr.Sin, pt.Heading))}, ""
	}
	return outline.Place{}, fmt.Sprintf("%s is not fixed on %s", p.Name, pt.Name)
}

// length is the length between two points; nil where the sketch gives none. All lengths must be declared.
func (l *loader) length(p, q int) *schedule.Equation {
	if l.lengths == nil {
		l.lengths = l.sketch.Problem.Linkage.Lengths()
	}
	return l.lengths.Between(p, q)
}

// distance is the constant distance of two points, given by a length, or by both being fixed on one part. It is None
// where the distance changes, or nothing gives it.
func (l *loader) distance(p, q int) expr.ID {
	m := l.sketch.Problem.Linkage
	if e := l.length(p, q); e != nil && !e.Loose && l.constant(e.V) {
		return e.V
	}
	if p < 0 || q < 0 {
		return l.sum.nan // reported elsewhere
	}
	a, b := &m.Points[p], &m.Points[q]
	frame := func(p *schedule.Point) bool {
		return p.Kind == schedule.Driven || p.Kind == schedule.OnPart && p.Part == 0
	}
	same := a.Kind == schedule.OnPart && b.Kind == schedule.OnPart && a.Part == b.Part || frame(a) && frame(b)
	if !same {
		return expr.None
	}
	for _, id := range []expr.ID{a.U, a.V, b.U, b.V} {
		if !l.constant(id) {
			return expr.None
		}
	}
	g := l.sum.g
	return g.Binary(expr.Hypot, g.Sub(b.U, a.U), g.Sub(b.V, a.V))
}

// pair is two indices, the lesser first.
type pair struct{ a, b int }

func pairOf(a, b int) pair { return pair{min(a, b), max(a, b)} }

// eye is where the eye at the second point of a part stands in the part's axes, as far as a loose length says so.
func (l *loader) eye(part *schedule.Part, loose *schedule.Equation) string {
	st := l.sketch.statements[loose.Stmt]
	s, ok := st.s.(*syntax.Length)
	if !ok || part.Heading != expr.None {
		return "U, V"
	}
	return st.file.SpanText(s.Value.Where()) + ", 0"
}

// placeOn is a place of a shape in the axes of its part.
func (l *loader) placeOn(file *syntax.File, part int, s *syntax.Spot) outline.Place {
	if s.Pair != nil {
		return outline.Place{X: l.id(s.Pair.U), Y: l.id(s.Pair.V)}
	}
	bad := outline.Place{X: l.sum.nan, Y: l.sum.nan}
	if s.Name == nil {
		return bad
	}
	point, ok := l.point(file, *s.Name)
	if !ok {
		return bad
	}
	at, why := l.fixed(part, point)
	if why != "" {
		pt := &l.sketch.Problem.Linkage.Parts[part]
		help := fmt.Sprintf("write its place, U, V, or a point that is fixed: point NAME on %s at U, V", pt.Name)
		if e := l.length(pt.P, pt.Q); pt.Kind == schedule.FromTo && point == pt.Q && (e == nil || e.Loose) {
			help = fmt.Sprintf("write length %s %s = V; or, where the part has an eye at another place than the point, point NAME on %s at U, V",
				l.sketch.Problem.Linkage.Points[pt.P].Name, s.Name.Text, pt.Name)
			if e != nil { // a length would hold what the loose one leaves to its play
				help = fmt.Sprintf("a loose length leaves it to its play: write the eye's own place, point NAME on %s at %s, and its name in the shape",
					pt.Name, l.eye(pt, e))
			}
		}
		l.tellIfWhole(place{file, s.Name.Span}, why, help)
		return bad
	}
	return at
}
