package outline

import (
	"math"

	"barover/solver/plane"
)

// witness returns the two places, in the axes of the first piece, of two convex pieces at a standing, and what they are
// on. Where a corner is beside the end of a flat, or two flats are level except for rounding, rounding decides which has
// the gap. So a place on a flat is moved onto the edge itself, from which it would be off by the root of the rounding.
func (s *standing) witness(p, q *Piece, rel *plane.Placement) (a, b plane.Vec, sa, sb Spot) {
	f, g := &p.features[s.i], &q.features[s.j]
	a, sa = f.at.Add(s.n.Scale(f.r)), f.spot
	b, sb = rel.Out(g.at).Sub(s.n.Scale(g.r)), g.spot
	onP, onQ := flatOf(p, s.n, s.kind == first, int(s.i)), flatOf(q, s.n.Scale(-1).Against(rel.Dir), s.kind == second, int(s.j))
	switch {
	case onP >= 0 && onQ >= 0:
		e, g := p.Loop[onP], q.Loop[onQ].moved(*rel)
		m := shared(&e, &g)
		u := s.n.Turned()
		a, b = e.nearest(a.Add(u.Scale(m.Sub(a).Dot(u)))), g.nearest(b.Add(u.Scale(m.Sub(b).Dot(u))))
		sa, sb = Spot{[2]int32{e.Line, -1}}, Spot{[2]int32{g.Line, -1}}
	case onP >= 0:
		e := p.Loop[onP]
		a, sa = e.nearest(b.Sub(s.n.Scale(s.d))), Spot{[2]int32{e.Line, -1}}
	case onQ >= 0:
		e := q.Loop[onQ].moved(*rel)
		b, sb = e.nearest(a.Add(s.n.Scale(s.d))), Spot{[2]int32{e.Line, -1}}
	}
	return a, b, sa, sb
}

// flatOf returns the straight edge of p that faces n, or -1: the one where the range of feature i begins if here, or else
// one at either end of its range that is level with n.
func flatOf(p *Piece, n plane.Vec, here bool, i int) int32 {
	if here {
		return p.features[i].flat
	}
	if p.features[i].cos == -2 {
		return -1
	}
	for _, k := range [2]int{i, (i + 1) % len(p.features)} {
		if f := &p.features[k]; f.flat >= 0 && math.Abs(f.n.Cross(n)) <= level && f.n.Dot(n) > 0 {
			return f.flat
		}
	}
	return -1
}

// shared returns the middle of the common stretch of two parallel edges.
func shared(e, f *Edge) plane.Vec {
	u := e.B.Sub(e.A).Unit()
	along := func(p plane.Vec) float64 { return p.Sub(e.A).Dot(u) }
	s, t := along(f.A), along(f.B)
	lo, hi := math.Max(0, math.Min(s, t)), math.Min(along(e.B), math.Max(s, t))
	return e.A.Add(u.Scale((lo + hi) / 2))
}
