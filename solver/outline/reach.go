package outline

import (
	"math"

	"barover/solver/plane"
)

// reach finds the place common to two convex loops that is farthest outside the bites of both, in the axes of the first.
// That place is on the edge of one of them: where the other's edge crosses it, at its end, where it is farthest from a
// bite's centre, or where it is as far outside one bite as the other.
type reach struct {
	p, q  *Piece
	rel   plane.Placement
	bites [2]Bite // of p and of q; those without have a radius of -∞
	slack float64 // by how much a place may miss a loop and still be on it
	best  float64
	at    plane.Vec
	which int // the bite that governs there
	from  source
}

// source is the kind of a place.
type source struct {
	kind  uint8
	owner int       // of a lone or level place: the piece on whose edge it lies
	spot  Spot      // of a lone place
	e, f  plane.Vec // directions along the edge of p and that of q that cross, or along the edge of a level place
}

// The kinds of places.
const (
	lone     uint8 = iota // of one piece by itself
	crossed               // where edges of the two cross
	levelled              // as far out of one bite as of the other
)

func newReach(p, q *Piece, rel plane.Placement) reach {
	m := reach{p: p, q: q, rel: rel, best: math.Inf(-1), slack: touching * (p.Radius + q.Radius)}
	m.bites[0].R, m.bites[1].R = math.Inf(-1), math.Inf(-1)
	if p.Bite != nil {
		m.bites[0] = *p.Bite
	}
	if q.Bite != nil {
		m.bites[1] = *q.Bite
		m.bites[1].C = rel.Out(q.Bite.C)
	}
	return m
}

// outside returns how far x is outside a bite, mm.
func (m *reach) outside(x plane.Vec, k int) float64 { return x.Sub(m.bites[k].C).Len() - m.bites[k].R }

// offer takes the place x on an edge, if it is in both loops and farther out than the best so far.
func (m *reach) offer(x plane.Vec, from source) (taken bool) {
	d, k := math.Inf(1), 0
	for i := range m.bites {
		if math.IsInf(m.bites[i].R, -1) {
			continue // there is none
		}
		out := m.outside(x, i)
		if !(out > m.best) {
			return false
		}
		if out < d {
			d, k = out, i
		}
	}
	if !m.p.holds(x, m.slack) || !m.q.holds(m.rel.In(x), m.slack) {
		return false
	}
	m.best, m.at, m.which, m.from = d, x, k, from
	return true
}

// farthest finds the place, or one that is outside the bites by enough.
func (m *reach) farthest(enough float64) {
	var at [2]plane.Vec
	for j := range m.q.Loop {
		f := m.q.Loop[j].moved(m.rel)
		m.along(&f, m.q.Loop[before(j, len(m.q.Loop))].Line, 1)
		for i := range m.p.Loop {
			e := &m.p.Loop[i]
			if j == 0 {
				m.along(e, m.p.Loop[before(i, len(m.p.Loop))].Line, 0)
			}
			if m.best >= enough {
				return
			}
			if !m.mayTop(e) || !m.mayTop(&f) {
				continue
			}
			for _, x := range at[:carriers(&at, e, &f, 0)] {
				if m.offer(x, source{kind: crossed}) {
					m.from.e, m.from.f = e.Tangent(x), f.Tangent(x)
				}
			}
		}
	}
}

// mayTop reports whether a place of an edge may be farther out than the best so far.
func (m *reach) mayTop(e *Edge) bool {
	for k := range m.bites {
		b := &m.bites[k]
		if near := m.best + b.R - e.reach - m.slack; near > 0 && sq(e.hub.Sub(b.C)) < near*near {
			return false
		}
	}
	return true
}

// before returns the number before i of n in a ring.
func before(i, n int) int { return (i + n - 1) % n }

// along offers the places of one edge: its start, where an edge of the line last ends, where it is farthest from a
// centre, and where it is as far outside one bite as the other.
func (m *reach) along(e *Edge, last int32, owner int) {
	if !m.mayTop(e) {
		return
	}
	if e.cos == -2 {
		last = -1 // not a corner, but a place like any other of the circle
	}
	m.offer(e.A, source{owner: owner, spot: Spot{[2]int32{e.Line, last}}})
	both := !math.IsInf(m.bites[0].R, -1) && !math.IsInf(m.bites[1].R, -1)
	var t [6]float64 // shares at which the distance from a centre is extreme
	n := 0
	turns := func(x plane.Vec) {
		if !both {
			return
		}
		if s := e.share(x); s > 0 && s < 1 {
			t[n] = s
			n++
		}
	}
	for k := range m.bites {
		if math.IsInf(m.bites[k].R, -1) {
			continue
		}
		c := m.bites[k].C
		if e.R == 0 {
			turns(c)
			continue
		}
		if d := e.C.Sub(c); sq(d) > 0 {
			d = d.Unit().Scale(e.R)
			turns(e.C.Add(d))
			turns(e.C.Sub(d))
			if e.faces(d, e.R) {
				m.offer(e.C.Add(d), source{owner: owner, spot: Spot{[2]int32{e.Line, -1}}})
			}
		}
	}
	if !both {
		return
	}
	t[n] = 1
	for last := 0.0; last < 1; {
		next := 1.0
		for _, s := range t[:n] {
			if s > last && s < next {
				next = s
			}
		}
		m.level(e, owner, last, next)
		last = next
	}
}

// level offers the place between the shares s and t of an edge that is as far outside one bite as the other. The distance
// from either centre only grows or only falls there. If both grow or both fall, the place does not matter but does no
// harm.
func (m *reach) level(e *Edge, owner int, s, t float64) {
	out := func(k float64) (a, b float64) {
		x := e.At(k)
		return m.outside(x, 0), m.outside(x, 1)
	}
	as, bs := out(s)
	at, bt := out(t)
	if !(as < bs && at > bt || as > bs && at < bt) {
		return
	}
	falls := as > bs
	for range 60 {
		if min(max(as, at), max(bs, bt)) < m.best-m.slack { // the place is no farther out than that
			return
		}
		k := (s + t) / 2
		if a, b := out(k); (a > b) == falls {
			s, as, bs = k, a, b
		} else {
			t, at, bt = k, a, b
		}
	}
	x := e.At(s)
	m.offer(x, source{kind: levelled, owner: owner, e: e.Tangent(x)})
}

// holds reports whether x lies in the loop of the piece, to within slack.
func (p *Piece) holds(x plane.Vec, slack float64) bool {
	for i := range p.Loop {
		e := &p.Loop[i]
		d := e.B.Sub(e.A)
		side := d.Cross(x.Sub(e.A))
		if e.R == 0 {
			if side < 0 && side < -slack*d.Len() { // the length only where the side does not tell already
				return false
			}
			continue
		}
		// Beyond the chord, and on the line through it, the arc bounds the piece.
		if r := e.R + slack; sq(x.Sub(e.C)) > r*r && (e.cos == -2 || side <= slack*d.Len()) {
			return false
		}
	}
	return true
}

// near is the result.
func (m *reach) near() Near {
	b := &m.bites[m.which]
	u := m.at.Sub(b.C).Unit()
	n := Near{D: -m.best, P: m.at, Q: m.at, At: m.at, Normal: u, Pull: m.pull()}
	on, rim := Spot{[2]int32{b.Line, -1}}, b.C.Add(u.Scale(b.R))
	n.A, n.B = on, m.from.spot
	if m.which == 0 {
		n.P, n.Normal = rim, u.Scale(-1)
	} else {
		n.Q, n.A, n.B = rim, m.from.spot, on
	}
	if n.Rough = m.from.kind != lone || m.from.owner == m.which || m.from.spot.cut(); n.Rough {
		n.A, n.B = Spot{[2]int32{-1, -1}}, Spot{[2]int32{-1, -1}}
	}
	return n
}

// pull is how the distance changes with motion. Where edges cross at no angle it has no value, and the direction out of
// the bite replaces it.
func (m *reach) pull() plane.Vec {
	p := m.exactPull()
	if !(sq(p) < greatest) {
		p = m.at.Sub(m.bites[m.which].C).Unit()
		if m.which == 0 {
			p = p.Scale(-1)
		}
	}
	return p
}

// exactPull returns how the distance changes with the motion of q against p at the place. The place leaves a bite by the
// motion of its own material, against that of the bite. Of that motion only the part counts that the place follows; at a
// crossing this is the part across the other's edge.
func (m *reach) exactPull() plane.Vec {
	var u [2]plane.Vec
	for k := range u {
		u[k] = m.at.Sub(m.bites[k].C).Unit()
	}
	e, f := m.from.e, m.from.f
	switch {
	case m.from.kind == crossed && m.which == 0: // −u = Pull + a share square to e
		return f.Turned().Scale(-u[0].Dot(e) / f.Turned().Dot(e))
	case m.from.kind == crossed:
		return e.Turned().Scale(u[1].Dot(f) / e.Turned().Dot(f))
	case m.from.kind == levelled:
		other := 1 - m.from.owner
		return u[other].Scale(u[m.from.owner].Dot(e) / u[0].Sub(u[1]).Dot(e))
	case m.from.owner == m.which:
		return plane.Vec{}
	case m.which == 0:
		return u[0].Scale(-1)
	}
	return u[1]
}
