package outline

import (
	"math"

	"barover/solver/expr"
	"barover/solver/plane"
)

// path returns the edges of a path, closed by a straight line if its last step does not end where it began.
func (m *maker) path(s *Shape) ([]Edge, error) {
	if len(s.Steps) == 0 {
		return nil, &Fault{s.Stmt, "a path must go somewhere"}
	}
	if len(s.Steps) > MaxEdges {
		return nil, &Fault{s.Stmt, "a path of too many steps"}
	}
	first := anchorAt(s.P[0], m.v)
	here := first
	size := 0.0
	var edges []Edge
	for i := range s.Steps {
		t := &s.Steps[i]
		there := anchorAt(t.To, m.v)
		if there.at == here.at {
			return nil, &Fault{s.Stmt, "two places of a path, one after the other, are the same"}
		}
		e, err := m.step(s, t, here, there)
		if err != nil {
			return nil, err
		}
		edges = append(edges, e)
		size = math.Max(size, there.at.Sub(first.at).Len())
		here = there
	}
	if here.at.Sub(first.at).Len() > joined*size {
		edges = append(edges, straight(here.at, first.at, m.put(line{a: here, b: first, stmt: s.Stmt})))
	}
	return edges, nil
}

// step returns one edge of a path.
func (m *maker) step(s *Shape, t *Step, a, b anchor) (Edge, error) {
	if t.Radius == expr.None {
		return straight(a.at, b.at, m.put(line{a: a, b: b, stmt: s.Stmt})), nil
	}
	chord := b.at.Sub(a.at)
	l, r := chord.Len(), m.v.At(t.Radius)
	if !(r > 0) {
		return Edge{}, &Fault{s.Stmt, "the radius of an arc must be more than 0"}
	}
	if r < l/2*(1-shortfall) {
		return Edge{}, &Fault{s.Stmt, "an arc's radius is too small to reach from place to place: it must be half their distance at least"}
	}
	sign := plane.Sign(t.Left)
	if r <= l/2*(1+shortfall) {
		c := middle(&a, &b, chord.Scale(1/l))
		return arc(a.at, b.at, c.a.at, l/2, sign*math.Pi, m.put(line{a: c.a, r: l / 2, grow: c.grow, stmt: s.Stmt})), nil
	}
	// A turn to the left throughout keeps the centre to the left of it; on the long way the chord is seen from behind.
	h := sign * math.Sqrt((r-l/2)*(r+l/2))
	turn := 2 * math.Asin(l/(2*r))
	if t.Long {
		h, turn = -h, 2*math.Pi-turn
	}
	c := centre(&a, &b, h, r, t.Radius)
	grow := []expr.Seed{{Node: t.Radius, Weight: 1}}
	return arc(a.at, b.at, c.at, r, sign*turn, m.put(line{a: c, r: r, grow: grow, stmt: s.Stmt})), nil
}

// middle returns the circle on which a and b are opposite. Its radius follows from the two places, not from the written
// one, so that a half circle stays one.
func middle(a, b *anchor, along plane.Vec) line {
	var l line
	l.a.at = a.at.Add(b.at).Scale(0.5)
	l.a.x = scaled(scaled(nil, a.x, 0.5), b.x, 0.5)
	l.a.y = scaled(scaled(nil, a.y, 0.5), b.y, 0.5)
	l.grow = append(b.along(along, 0.5), a.along(along, -0.5)...)
	return l
}

// centre returns the centre of the circle of radius r through a and b that is h to the left of the chord.
func centre(a, b *anchor, h, r float64, radius expr.ID) anchor {
	d := b.at.Sub(a.at)
	u := d.Unit()
	m := middle(a, b, u)
	// h² = r² − l²/4, so ḣ = (r·ṙ − l·l̇/4)/h.
	grow := []expr.Seed{{Node: radius, Weight: r / h}}
	grow = append(grow, b.along(u, -d.Len()/(4*h))...)
	grow = append(grow, a.along(u, d.Len()/(4*h))...)
	n := u.Turned()
	return m.a.shifted(n.Scale(h), a, b, n, grow)
}
