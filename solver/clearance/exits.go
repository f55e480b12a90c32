package clearance

import (
	"math"

	"barover/solver/outline"
	"barover/solver/plane"
	"barover/solver/taylor"
)

// exit is a direction in which two overlapping pieces may be separated, with a lower bound of their distance in it: the
// least of some polynomials.
type exit struct {
	d      float64        // their distance in it at the centre of the part
	facing outline.Facing // square to a side of the first or of the second, or through a corner or centre of each
	lo     float64
	at     [taylor.MaxVars]float64
	parts  []exitPart
	main   int // the part with the polynomial of lo
}

// exitPart is a polynomial that bounds one corner or arc, less its error.
type exitPart struct {
	poly []float64
	off  float64
	tail float64 // sizes of all coefficients but the first
}

const (
	// maxExits is the number of directions tried for two pieces.
	maxExits = 5
)

// exits is room for the exits of two pieces.
type exits struct {
	list [maxExits]exit
	n    int
	sum  []float64
}

// waysOut bounds two pieces that overlap at the centre of a part in all the directions in which they may soon be
// separated. The best of them gives the depth, and so does any mean of two: where one falls as the other rises, the mean
// that is nearly constant bounds best. It returns the place where the bound is least.
func (d *duo) waysOut(n *node, a, b *solid, rel *plane.Placement, at *[taylor.MaxVars]float64) float64 {
	x := &d.out
	v, w := d.views[n.tube], d.back(n)
	back := w.centre()
	x.n = 0
	x.sides(a, b, rel, 1)
	x.sides(b, a, &back, 2)
	x.rounds(a, b, rel)
	best := math.Inf(-1)
	for i := range x.n {
		e := &x.list[i]
		e.over(v, w, a, b)
		if e.lo > best {
			best, *at = e.lo, e.at
		}
	}
	want := d.best.Hi - d.tolerance
	for i := range x.n {
		for j := range i {
			if best >= want {
				return best
			}
			if lo, where := x.mean(v, &x.list[j], &x.list[i]); lo > best {
				best, *at = lo, where
			}
		}
	}
	return best
}

// sides offers the normals of a piece's sides as ways out of another, placed at rel in its axes.
func (x *exits) sides(a, b *solid, rel *plane.Placement, of int) {
	for _, n := range a.sides {
		x.offer(n.Dot(rel.Origin)-b.reach(n.Scale(-1).Against(rel.Dir))-a.reach(n), outline.Facing{N: n, Of: of})
	}
}

// rounds offers the ways between an arc of one piece and a corner or an arc of the other.
func (x *exits) rounds(a, b *solid, rel *plane.Placement) {
	for i := range a.arcs {
		p := &a.arcs[i]
		for _, q := range b.corners {
			x.between(a, b, rel, p.c, q, p.r)
		}
		for j := range b.arcs {
			x.between(a, b, rel, p.c, b.arcs[j].c, p.r+b.arcs[j].r)
		}
	}
	for j := range b.arcs {
		q := &b.arcs[j]
		for _, p := range a.corners {
			x.between(a, b, rel, p, q.c, q.r)
		}
	}
}

// between offers the direction through p and q, if no part of the pieces is beyond their radii r about them in that
// direction.
func (x *exits) between(a, b *solid, rel *plane.Placement, p, q plane.Vec, r float64) {
	way := rel.Out(q).Sub(p)
	l := way.Len()
	if !(l > 1e-6*(a.Radius+b.Radius)) {
		return
	}
	n := way.Scale(1 / l)
	gap := n.Dot(rel.Origin) - b.reach(n.Scale(-1).Against(rel.Dir)) - a.reach(n)
	if gap >= l-r-1e-6*(a.Radius+b.Radius) {
		x.offer(gap, outline.Facing{N: n, A: p, B: q})
	}
}

// offer puts a direction among the best.
func (x *exits) offer(gap float64, f outline.Facing) {
	i := x.n
	if i < maxExits {
		x.n++
	} else if i--; gap <= x.list[i].d {
		return
	}
	room := x.list[i].parts
	for ; i > 0 && x.list[i-1].d < gap; i-- {
		x.list[i] = x.list[i-1]
	}
	x.list[i] = exit{d: gap, facing: f, parts: room[:0]}
}

// over bounds the exit of two pieces over the part of their views, of the second by the first in v and of the first by the second in w.
func (e *exit) over(v, w *view, a, b *solid) {
	switch n := e.facing.N; e.facing.Of {
	case 1:
		e.bound(v, b, a.reach(n))
	case 2:
		e.bound(w, a, b.reach(n))
	default:
		e.turning(v, a, b)
	}
}

// turning computes the polynomials of an exit between two corners or centres, in a direction that turns with them. The
// direction is a little longer than 1, which does no harm below zero. Above zero only the sign is right.
func (e *exit) turning(v *view, a, b *solid) {
	e.lo = math.Inf(1)
	phi, turn := v.turning(&e.facing)
	if !(turn <= maxTurn) || v.space.Order < 2 {
		e.bound(v, b, a.reach(e.facing.N))
		return
	}
	v.turnWith(&phi, &e.facing)
	long := 1 + turn*turn*turn*turn/8*(1+slip)
	h := a.reachTurned(&e.facing, turn, long)
	back := e.facing.N.Scale(-1).Against(v.centre().Dir)
	w := &v.turned
	add := func(q plane.Vec, off float64) {
		poly := e.room(v.space.N)
		for i := range poly {
			poly[i] = w.poly[0][i] + q.X*w.poly[1][i] + q.Y*w.poly[2][i]
		}
		ax, ay := math.Abs(q.X), math.Abs(q.Y)
		e.keep(v, off+w.rad[0]+ax*w.rad[1]+ay*w.rad[2]+slip*(v.size+2*ax+2*ay))
	}
	for i := range b.arcs {
		if c := &b.arcs[i]; c.faces(back, v.swing+1.1*turn) {
			add(c.c, h+c.r*long)
		}
	}
	for _, q := range b.corners {
		add(q, h)
	}
}

// bound computes the polynomials of an exit for the second body of a view, in a fixed direction, and the least of them
// minus h.
func (e *exit) bound(v *view, s *solid, h float64) {
	n := e.facing.N
	back := n.Scale(-1).Against(v.centre().Dir)
	e.lo = math.Inf(1)
	for i := range s.arcs {
		if a := &s.arcs[i]; a.faces(back, v.swing) {
			rad := v.inDirection(e.room(v.space.N), n, a.c)
			e.keep(v, h+a.r+rad)
		}
	}
	for _, p := range s.corners {
		rad := v.inDirection(e.room(v.space.N), n, p)
		e.keep(v, h+rad)
	}
}

// room returns the polynomial of one part more.
func (e *exit) room(n int) []float64 {
	k := len(e.parts)
	if k < cap(e.parts) {
		e.parts = e.parts[:k+1]
	} else {
		e.parts = append(e.parts, exitPart{})
	}
	if e.parts[k].poly == nil {
		e.parts[k].poly = make([]float64, taylor.MaxN)
	}
	return e.parts[k].poly[:n]
}

// keep keeps the last part, with that error, unless another is below it all over the part of the box.
func (e *exit) keep(v *view, off float64) {
	k := len(e.parts) - 1
	p, n := &e.parts[k], v.space.N
	p.off, p.tail = off, taylor.SizeOf(p.poly[1:n])
	for i := range k {
		if o := &e.parts[i]; o.poly[0]-o.off+o.tail <= p.poly[0]-p.off-p.tail {
			e.parts = e.parts[:k]
			return
		}
	}
	if lo, at := v.lower(v.space, p.poly[:n]); lo-p.off < e.lo {
		e.lo, e.at, e.main = lo-p.off, at, k
	}
}

// mean bounds from below the mean of two exits that is most nearly constant, weighed by their main parts.
func (x *exits) mean(v *view, e, f *exit) (lo float64, at [taylor.MaxVars]float64) {
	sp, dot, square := v.space, 0.0, 0.0
	p, q := e.parts[e.main].poly, f.parts[f.main].poly
	for i := 1; i <= sp.Vars; i++ {
		diff := p[i] - q[i]
		dot -= diff * q[i]
		square += diff * diff
	}
	w := dot / square
	if !(w > 0 && w < 1) {
		return math.Inf(-1), at
	}
	if len(x.sum) < sp.N {
		x.sum = make([]float64, taylor.MaxN)
	}
	sum := x.sum[:sp.N]
	lo = math.Inf(1)
	for i := range e.parts {
		for j := range f.parts {
			p, q := &e.parts[i], &f.parts[j]
			for k := range sum {
				sum[k] = w*p.poly[k] + (1-w)*q.poly[k]
			}
			off := w*p.off + (1-w)*q.off
			least, where := v.lower(sp, sum)
			if least -= off + slip*(math.Abs(p.off)+math.Abs(q.off)+math.Abs(sum[0])); least < lo {
				lo, at = least, where
			}
		}
	}
	return lo, level(sp, &e.parts[e.main], &f.parts[f.main], at)
}

// level goes from a place to where two polynomials are equal, as far as that is on the part: the greater of the two is
// least there.
func level(sp *taylor.Space, p, q *exitPart, at [taylor.MaxVars]float64) [taylor.MaxVars]float64 {
	diff := sp.Value(p.poly[:sp.N], &at) - p.off - sp.Value(q.poly[:sp.N], &at) + q.off
	square := 0.0
	for i := 1; i <= sp.Vars; i++ {
		square += (p.poly[i] - q.poly[i]) * (p.poly[i] - q.poly[i])
	}
	for k := range sp.Vars {
		at[k] = max(-1, min(1, at[k]-diff*(p.poly[1+k]-q.poly[1+k])/square))
	}
	return at
}
