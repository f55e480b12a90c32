package clearance

import (
	"math"

	"barover/solver/outline"
	"barover/solver/plane"
	"barover/solver/taylor"
)

// sight is two pieces over the part of a node, seen from p: q in v, and p in w as q sees it.
type sight struct {
	*duo
	p, q   *solid
	v, w   *view
	r, own float64   // how far from the centres of the bites of p and of q a place counts; -Inf where there is no bite
	c, o   plane.Vec // these centres, in the axes of p and of q
}

// fromQ is the same seen from q.
func (g *sight) fromQ() *sight { return &sight{g.duo, g.q, g.p, g.w, g.v, g.own, g.r, g.o, g.c} }

const (
	// round is how far apart centres may be to count as one, as a share of the pieces' sizes.
	round = 1e-11
	// halvings is how often an edge is halved to see that no place on it is as far out of one bite as of the other.
	halvings = 8
)

// fine is how far apart centres may be to count as one, mm.
func (g *sight) fine() float64 { return round * (g.p.Radius + g.q.Radius) }

// noDeeper reports whether two pieces of which one has a bite have no place in common, all over the part of a node, that is
// more than depth outside the bites.
//
// The common place that is farthest out is on an edge of one of them at least: from a place inside both some way leads farther out
// of both bites. It may be where edges of the two cross. Otherwise it is inside the other piece: a corner, or where an arc is farthest
// from the centre of a bite, or as far out of one bite as of the other. On an arc round the centre of a bite all places are equally
// far. Along it the place can be moved, no less far out, to where the arc ends or to a place of one of these kinds; of a whole circle
// any place will do. The depth is first made less, by more than rounding and centres that count as one may lose.
func (d *duo) noDeeper(n *node, a, b *solid, depth float64) bool {
	depth -= 8 * round * (a.Radius + b.Radius)
	g := &sight{duo: d, p: a, q: b, v: d.views[n.tube], w: d.back(n), r: math.Inf(-1), own: math.Inf(-1)}
	if a.Bite != nil {
		g.r, g.c = a.Bite.R+depth, a.Bite.C
	}
	if b.Bite != nil {
		g.own, g.o = b.Bite.R+depth, b.Bite.C
	}
	other := g.fromQ()
	switch {
	case b.Bite == nil:
		return g.tips() && g.edges()
	case a.Bite == nil:
		return other.tips() && other.edges()
	}
	return g.tips() && other.tips() && g.crossings() && g.levels() && other.levels()
}

// tips reports whether the corners of q, and its arcs where they are farthest from the centre of a bite, are in a bite or out of p.
func (g *sight) tips() bool {
	for i := range g.q.corners {
		if g.q.corners[i].Sub(g.o).Len() > g.own && !g.misses(&solid{Piece: g.q.Piece, corners: g.q.corners[i : i+1]}) {
			return false
		}
	}
	for i := range g.q.arcs {
		a := &g.q.arcs[i]
		if a.c.Sub(g.o).Len()+a.r > g.own && (!g.farSide(a) || g.q.Bite != nil && !g.ownFarSide(a)) {
			return false
		}
	}
	return true
}

// misses reports whether something of q is in the bite of p or out of p.
func (g *sight) misses(s *solid) bool { return g.inside(s) || g.off(g.p, s) }

// inside reports whether something of q is in the bite of p.
func (g *sight) inside(s *solid) bool {
	var at [taylor.MaxVars]float64
	return g.v.farthest(s, g.c, &at) <= g.r
}

// off reports whether p or an edge of it and q or something of it are apart all over the part, seen in one of the two directions
// in which they are farthest apart at its centre.
func (g *sight) off(a, b *solid) bool {
	x, rel, back := &g.out, g.v.centre(), g.w.centre()
	x.n = 0
	x.sides(a, b, &rel, 1)
	x.sides(b, a, &back, 2)
	x.rounds(a, b, &rel)
	for i := range min(2, x.n) {
		e := &x.list[i]
		if !(e.d > 0) {
			break
		}
		if e.over(g.v, g.w, a, b); e.lo >= 0 {
			return true
		}
	}
	return false
}

// farSide reports whether the place of an arc of q farthest from the centre of p's bite misses.
func (g *sight) farSide(a *arc) bool {
	var at [taylor.MaxVars]float64
	switch l := g.v.distance(a.c, g.c, &at, 0); {
	case l+a.r <= g.r:
		return true
	case l <= g.fine():
		return a.cos > -2 || g.misses(a.place(a.mid, g.q))
	case !g.v.bulges(a, g.c):
		return true
	}
	far, ok := g.v.farSide(a, g.c, g.q)
	return ok && g.off(g.p, far)
}

// ownFarSide reports whether the place of an arc of q farthest from the centre of q's bite misses.
func (g *sight) ownFarSide(a *arc) bool {
	way := a.c.Sub(g.o)
	l := way.Len()
	if l <= g.fine() {
		return a.cos > -2 || g.misses(a.place(a.mid, g.q))
	}
	u := way.Scale(1 / l)
	return u.Dot(a.mid) < a.cos-lean || g.misses(a.place(u, g.q))
}

// place is the place of an arc in a direction from its centre.
func (a *arc) place(u plane.Vec, of *solid) *solid {
	return &solid{Piece: of.Piece, corners: []plane.Vec{a.c.Add(u.Scale(a.r))}}
}

// farSide is the part of an arc of the second body where it may be farthest from c over the part of the view.
func (v *view) farSide(a *arc, c plane.Vec, of *solid) (*solid, bool) {
	m := v.centre()
	way := m.Out(a.c).Sub(c)
	l := way.Len()
	stray := v.strays(a.c, 0)
	off := v.swing + 1.25*stray/l
	if !(stray < l/2 && off < 1) {
		return nil, false
	}
	f, half := arc{c: a.c, r: a.r, mid: way.Scale(1 / l).Against(m.Dir), cos: math.Cos(off), sin: math.Sin(off)}, plane.Polar(off)
	ends := []plane.Vec{a.c.Add(f.mid.Times(half).Scale(a.r)), a.c.Add(f.mid.Against(half).Scale(a.r))}
	return &solid{Piece: of.Piece, corners: ends, arcs: []arc{f}}, true
}

// edges reports whether what of p's edges is outside its bite stays off q.
func (g *sight) edges() bool {
	for _, e := range g.rim(g.p, g.r) {
		if !g.off(&e, g.q) {
			return false
		}
	}
	return true
}

// crossings reports whether the edges of the two cross nowhere outside both bites.
func (g *sight) crossings() bool {
	other := g.fromQ()
	for _, e := range g.rim(g.p, g.r) {
		if other.inside(&e) || g.off(&e, g.q) {
			continue
		}
		for _, f := range g.rim(g.q, g.own) {
			if !g.off(&e, &f) && !g.inside(&f) {
				return false
			}
		}
	}
	return true
}

// levels reports whether no place on an edge of q inside p is as far out of one bite as of the other.
func (g *sight) levels() bool {
	for _, e := range g.rim(g.q, g.own) {
		if !g.noLevel(&e, halvings) {
			return false
		}
	}
	return true
}

func (g *sight) noLevel(s *solid, left int) bool {
	switch {
	case g.misses(s) || g.uneven(&s.Loop[0], s):
		return true
	case left == 0:
		return false
	}
	for _, h := range s.Loop[0].Halves() {
		half := edgeOf(s.Piece, &h)
		if !g.noLevel(&half, left-1) {
			return false
		}
	}
	return true
}

// uneven reports whether a stretch of an edge of q is everywhere farther out of one bite than of the other, or leads out of both
// or into both all along.
func (g *sight) uneven(e *outline.Edge, s *solid) bool {
	var at [taylor.MaxVars]float64
	c, stray, lost := g.w.centre().Out(g.c), g.w.strays(g.c, 0), g.fine()+round*g.v.size
	near, far := e.Span(g.o)
	least, _ := e.Span(c)
	if near-g.own > g.v.farthest(s, g.c, &at)-g.r+lost || least-stray-g.r > far-g.own+lost {
		return true
	}
	ours, theirs := e.Leads(g.o), e.Leads(c)
	return ours*theirs > 0 && min(math.Abs(ours), math.Abs(theirs)-stray) > lost
}

// rim is what of a piece's edges is farther than r from the centre of its bite, each edge as a solid.
type rim struct {
	r     float64
	edges []solid
}

func (d *duo) rim(s *solid, r float64) []solid {
	m, ok := d.rims[s.Piece]
	if !ok || m.r != r {
		m = rim{r: r}
		for _, e := range s.Outside(r) {
			m.edges = append(m.edges, edgeOf(s.Piece, &e))
		}
		d.rims[s.Piece] = m
	}
	return m.edges
}

// edgeOf is an edge of a piece by itself.
func edgeOf(p *outline.Piece, e *outline.Edge) solid {
	s := newSolid(&outline.Piece{Loop: []outline.Edge{*e}, Radius: p.Radius})
	if s.corners = append(s.corners, e.B); e.R == 0 {
		t := e.Tangent(e.A)
		s.sides = append(s.sides, e.Normal(e.A).Scale(-1), t, t.Scale(-1))
	}
	return s
}
