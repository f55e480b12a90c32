package outline

import (
	"math"

	"barover/solver/plane"
)

// gap is the least distance found so far between the edges of two boundaries, in the axes of the first.
type gap struct {
	d     float64
	p, q  plane.Vec
	i, j  int  // the edges
	cross bool // two edges cross
}

// boundaries measures all edges of two regions, b placed at rel in the axes of a. It stops where two edges cross.
func boundaries(a, b *Region, rel plane.Placement) gap {
	g := gap{d: math.Inf(1)}
	for j := range b.edges {
		f := b.edges[j].moved(rel)
		if s := g.d + f.reach + a.Radius; sq(f.hub.Sub(a.Centre)) >= s*s {
			continue
		}
		for i := range a.edges {
			e := &a.edges[i]
			if s := g.d + f.reach + e.reach; sq(f.hub.Sub(e.hub)) >= s*s {
				continue
			}
			if g.measure(e, &f, i, j); g.cross {
				return g
			}
		}
	}
	return g
}

// offer takes the two places if they are nearer than the best so far.
func (g *gap) offer(p, q plane.Vec, i, j int) {
	if d := sq(q.Sub(p)); d < g.d*g.d {
		g.d, g.p, g.q, g.i, g.j = math.Sqrt(d), p, q, i, j
	}
}

// measure finds the least distance of two edges. It is at an end of one of them, or where the line through the centres,
// or from a centre square to a straight line, meets both.
func (g *gap) measure(e, f *Edge, i, j int) {
	switch {
	case e.R == 0 && f.R == 0:
		g.cross = linesCross(e, f)
	case e.R == 0:
		g.lineArc(e, f, i, j, false)
	case f.R == 0:
		g.lineArc(f, e, i, j, true)
	default:
		g.arcs(e, f, i, j)
	}
	if g.cross {
		g.d, g.i, g.j = 0, i, j
		g.p = meeting(e, f)
		g.q = g.p
		return
	}
	g.offer(e.A, f.nearest(e.A), i, j)
	g.offer(e.B, f.nearest(e.B), i, j)
	g.offer(e.nearest(f.A), f.A, i, j)
	g.offer(e.nearest(f.B), f.B, i, j)
}

// linesCross reports whether two straight edges cross, each with ends on both sides of the other.
func linesCross(e, f *Edge) bool {
	d, g, o := e.B.Sub(e.A), f.B.Sub(f.A), f.A.Sub(e.A)
	a := d.Cross(o)
	b := d.Cross(f.B.Sub(e.A))
	if !(a < 0 && b > 0 || a > 0 && b < 0) {
		return false
	}
	c := -g.Cross(o)
	h := g.Cross(e.B.Sub(f.A))
	return c < 0 && h > 0 || c > 0 && h < 0
}

// lineArc measures a straight edge against an arc away from their ends.
func (g *gap) lineArc(l, c *Edge, i, j int, swapped bool) {
	d := l.B.Sub(l.A)
	ll := sq(d)
	t := c.C.Sub(l.A).Dot(d) / ll
	foot := l.A.Add(d.Scale(t))
	v := foot.Sub(c.C)
	h := v.Len()
	if h >= c.R {
		if t > 0 && t < 1 && c.faces(v, h) {
			p, q := foot, c.C.Add(v.Scale(c.R/h))
			if swapped {
				p, q = q, p
			}
			g.offer(p, q, i, j)
		}
		return
	}
	s := math.Sqrt((c.R - h) * (c.R + h) / ll)
	for _, k := range [2]float64{t - s, t + s} {
		if k > 0 && k < 1 && c.faces(l.A.Add(d.Scale(k)).Sub(c.C), c.R) {
			g.cross = true
		}
	}
}

// arcs measures two arcs away from their ends.
func (g *gap) arcs(e, f *Edge, i, j int) {
	v := f.C.Sub(e.C)
	l := v.Len()
	switch {
	case l >= e.R+f.R:
		if e.faces(v, l) && f.faces(v.Scale(-1), l) {
			g.offer(e.C.Add(v.Scale(e.R/l)), f.C.Sub(v.Scale(f.R/l)), i, j)
		}
	case l == 0: // the ends decide, unless both are whole
		if e.cos == -2 && f.cos == -2 {
			g.offer(e.C.Add(plane.Vec{X: e.R}), f.C.Add(plane.Vec{X: f.R}), i, j)
		}
	case l <= math.Abs(e.R-f.R):
		u := v.Scale(1 / l) // from the greater circle to the less, or back
		if f.R > e.R {
			u = u.Scale(-1)
		}
		if e.faces(u, 1) && f.faces(u, 1) {
			g.offer(e.C.Add(u.Scale(e.R)), f.C.Add(u.Scale(f.R)), i, j)
		}
	default:
		var at [2]plane.Vec
		n := circleCircle(&at, e, f, 0)
		for _, p := range at[:n] {
			if e.faces(p.Sub(e.C), e.R) && f.faces(p.Sub(f.C), f.R) {
				g.cross = true
			}
		}
	}
}

// meeting returns a place where two edges that cross do so.
func meeting(e, f *Edge) plane.Vec {
	var at [2]plane.Vec
	best, least := e.A, math.Inf(1)
	for _, p := range at[:carriers(&at, e, f, 0)] {
		if d := e.nearest(p).Sub(p).Len() + f.nearest(p).Sub(p).Len(); d < least {
			best, least = p, d
		}
	}
	return best
}
