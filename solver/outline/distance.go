package outline

import (
	"barover/solver/plane"
)

// Near is the relation of two placed outlines.
type Near struct {
	// D is the least distance of the two filled outlines, mm, exact to rounding. Where they overlap it is minus the
	// depth: for two convex outlines the shortest shift that separates them, else the greatest depth of any two of their
	// pieces.
	D float64
	// P and Q are the nearest places on A and on B, or the deepest, in the frame.
	P, Q plane.Vec
	// Normal is the unit direction from A to B, in the frame: D = (Q − P)·Normal.
	Normal plane.Vec
	A, B   Spot // on what P and Q lie
	// At and Pull say how D changes as the outlines move: by Pull times the velocity of B's material at the place At
	// minus that of A's there, in the frame. They are P and Normal, except where the depth is Rough.
	At, Pull plane.Vec
	// Rough says that the depth is that of pieces at a place that belongs to neither outline alone: where edges of both
	// cross, or where a piece was cut off. A and B then do not say how D changes with dimensions.
	Rough bool
}

// Distance measures two outlines, each placed in the frame. An outline within a hole of the other is free; one within
// the other's material overlaps it.
func Distance(a *Region, pa plane.Placement, b *Region, pb plane.Placement) Near {
	rel := pa.Seen(pb)
	var n Near
	if a.Convex() && b.Convex() {
		p, q := &a.Pieces[0], &b.Pieces[0]
		s := stand(p, q, &rel)
		n.D, n.Normal = s.d, s.n
		n.P, n.Q, n.A, n.B = s.witness(p, q, &rel)
	} else {
		n = general(a, b, rel)
	}
	if !n.Rough {
		n.At, n.Pull = n.P, n.Normal
	}
	n.P, n.Q, n.At = pa.Out(n.P), pa.Out(n.Q), pa.Out(n.At)
	n.Normal, n.Pull = n.Normal.Times(pa.Dir), n.Pull.Times(pa.Dir)
	return n
}

// general measures outlines of any form, b placed at rel in the axes of a, to which the answer refers.
func general(a, b *Region, rel plane.Placement) Near {
	g := boundaries(a, b, rel)
	if g.cross || g.d <= touching*(a.Radius+b.Radius) || nested(a, b, rel) {
		if n, ok := overlap(a, b, rel); ok {
			return n
		}
	}
	return g.near(a, b, rel)
}

// near is the result for outlines that do not overlap.
func (g *gap) near(a, b *Region, rel plane.Placement) Near {
	n := Near{D: g.d, P: g.p, Q: g.q}
	e, f := &a.edges[g.i], b.edges[g.j].moved(rel)
	n.A, n.B = a.spot(g.i, g.p == e.A, g.p == e.B), b.spot(g.j, g.q == f.A, g.q == f.B)
	switch {
	case g.d > touching*(a.Radius+b.Radius):
		n.Normal = g.q.Sub(g.p).Scale(1 / g.d)
	case n.A.Line[1] < 0 || n.B.Line[1] >= 0:
		n.Normal = e.Normal(g.p)
	default:
		n.Normal = f.Normal(g.q).Scale(-1)
	}
	return n
}

// spot names what a place of edge i is on; the place may be at its start or at its end.
func (r *Region) spot(i int, start, end bool) Spot {
	s := Spot{[2]int32{r.edges[i].Line, -1}}
	switch {
	case r.edges[i].cos == -2:
	case start:
		s.Line[1] = r.edges[r.before[i]].Line
	case end:
		s.Line[1] = r.edges[r.after[i]].Line
	}
	return s
}

// nested reports whether one of two outlines whose boundaries do not cross holds a whole outer loop of the other.
func nested(a, b *Region, rel plane.Placement) bool {
	if r := a.Radius + b.Radius; sq(rel.Out(b.Centre).Sub(a.Centre)) > r*r {
		return false
	}
	for _, i := range b.outer {
		if a.Contains(rel.Out(b.edges[i].A)) {
			return true
		}
	}
	for _, i := range a.outer {
		if b.Contains(rel.In(a.edges[i].A)) {
			return true
		}
	}
	return false
}
