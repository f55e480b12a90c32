package outline

import (
	"math"
	"slices"

	"barover/solver/expr"
	"barover/solver/plane"
)

// Fault says why no outline can be made of the shapes.
type Fault struct {
	Stmt int // number of the statement at fault
	Msg  string
}

func (f *Fault) Error() string { return f.Msg }

// maker turns shapes into closed loops of edges.
type maker struct {
	v     *expr.Values
	lines []line
}

// put adds a line or circle and returns its number.
func (m *maker) put(l line) int32 {
	m.lines = append(m.lines, l)
	return int32(len(m.lines) - 1)
}

// shape returns the loop of edges of one shape.
func (m *maker) shape(s *Shape) ([]Edge, error) {
	fault := func(msg string) ([]Edge, error) { return nil, &Fault{s.Stmt, msg} }
	if !m.hasValues(s) {
		return fault("a place or a width of this shape has no value")
	}
	switch s.Kind {
	case Disc:
		d := m.v.At(s.W[0])
		if !(d > 0) {
			return fault("the diameter of a disc must be more than 0")
		}
		return m.disc(s, d/2), nil
	case Strip:
		if !(m.v.At(s.W[0]) > 0) || !(m.v.At(s.W[1]) > 0) {
			return fault("the width of a strip must be more than 0")
		}
		if m.at(s.P[0]) == m.at(s.P[1]) {
			return fault("a strip must go from one place to another: these two are the same")
		}
		return m.strip(s), nil
	case Box:
		a, b := m.at(s.P[0]), m.at(s.P[1])
		if a.X == b.X || a.Y == b.Y {
			return fault("the corners of a box must lie apart in both directions")
		}
		return m.box(s), nil
	case Path:
		return m.path(s)
	}
	return fault("a shape of no known kind")
}

// hasValues reports whether every sum of the shape has a usable value.
func (m *maker) hasValues(s *Shape) bool {
	return !slices.ContainsFunc(s.Sums(), func(id expr.ID) bool { return id < 0 || int(id) >= len(m.v.Node) || !finite(m.v.At(id)) })
}

func (m *maker) at(p Place) plane.Vec { return plane.Vec{X: m.v.At(p.X), Y: m.v.At(p.Y)} }

func half(id expr.ID) []expr.Seed { return []expr.Seed{{Node: id, Weight: 0.5}} }

func (m *maker) disc(s *Shape, r float64) []Edge {
	a := anchorAt(s.P[0], m.v)
	return circle(a.at, r, m.put(line{a: a, r: r, grow: half(s.W[0]), stmt: s.Stmt}))
}

// strip returns a strip, anticlockwise: right side, far end, left side, near end.
func (m *maker) strip(s *Shape) []Edge {
	p, q := anchorAt(s.P[0], m.v), anchorAt(s.P[1], m.v)
	across := q.at.Sub(p.at).Unit().Turned()
	side := func(c *anchor, w expr.ID, sign float64) anchor {
		n := across.Scale(sign)
		return c.shifted(n.Scale(m.v.At(w)/2), &p, &q, n, half(w))
	}
	pr, qr := side(&p, s.W[0], -1), side(&q, s.W[1], -1)
	ql, pl := side(&q, s.W[1], 1), side(&p, s.W[0], 1)
	between := func(a, b anchor) Edge {
		return straight(a.at, b.at, m.put(line{a: a, b: b, stmt: s.Stmt}))
	}
	end := func(c, a, b anchor, w expr.ID) Edge {
		if !s.Round {
			return between(a, b)
		}
		r := m.v.At(w) / 2
		return arc(a.at, b.at, c.at, r, math.Pi, m.put(line{a: c, r: r, grow: half(w), stmt: s.Stmt}))
	}
	return []Edge{between(pr, qr), end(q, qr, ql, s.W[1]), between(ql, pl), end(p, pl, pr, s.W[0])}
}

// box returns a box, anticlockwise from its lower left corner.
func (m *maker) box(s *Shape) []Edge {
	lo, hi := s.P[0], s.P[1]
	if m.v.At(lo.X) > m.v.At(hi.X) {
		lo.X, hi.X = hi.X, lo.X
	}
	if m.v.At(lo.Y) > m.v.At(hi.Y) {
		lo.Y, hi.Y = hi.Y, lo.Y
	}
	corners := [5]anchor{anchorAt(lo, m.v), anchorAt(Place{hi.X, lo.Y}, m.v), anchorAt(hi, m.v), anchorAt(Place{lo.X, hi.Y}, m.v)}
	corners[4] = corners[0]
	var edges []Edge
	for i := range 4 {
		a, b := corners[i], corners[i+1]
		edges = append(edges, straight(a.at, b.at, m.put(line{a: a, b: b, stmt: s.Stmt})))
	}
	return edges
}
