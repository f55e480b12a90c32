package outline

import (
	"math"

	"barover/solver/plane"
)

// overlap returns how deep two outlines run into each other: the greatest depth of any two of their pieces. It reports
// false if no two pieces overlap.
//
// The depth of two pieces is the shortest shift that parts their convex loops or, if that is less, the farthest that any
// place of both reaches out of their bites. It is nought where they only touch and changes without a jump.
func overlap(a, b *Region, rel plane.Placement) (n Near, ok bool) {
	for j := range b.Pieces {
		q := &b.Pieces[j]
		hub := rel.Out(q.Centre)
		for i := range a.Pieces {
			p := &a.Pieces[i]
			if r := p.Radius + q.Radius + n.D; r <= 0 || sq(hub.Sub(p.Centre)) >= r*r {
				continue
			}
			s := stand(p, q, &rel)
			if !(s.d < n.D) {
				continue
			}
			if p.Bite != nil || q.Bite != nil {
				m := newReach(p, q, rel)
				if m.farthest(); !(m.best > -n.D) {
					continue
				}
				if m.best < -s.d {
					n, ok = m.near(), true
					continue
				}
			}
			n.D, n.Normal, ok = s.d, s.n, true
			n.P, n.Q, n.A, n.B = s.witness(p, q, &rel)
			n.Rough = n.A.cut() || n.B.cut()
		}
	}
	return n, ok
}

// reach finds the place common to two convex loops that is farthest outside of the bites of both, in the axes of the
// first. That place lies on the edge of one of them: where the other's edge crosses it, at its end, where it is farthest
// from a bite's centre, or where it is as far outside of one bite as of the other.
type reach struct {
	p, q  *Piece
	rel   plane.Placement
	bites [2]Bite // of p and of q; those without have a radius of -∞
	slack float64 // by how much a place may miss a loop and still be on it
	best  float64
	at    plane.Vec
	which int // the bite that governs there
	owner int // the piece on whose edge the place lies, 0 or 1; 2 for a place that takes both
	spot  Spot
}

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

// outside returns how far x lies outside of a bite, mm.
func (m *reach) outside(x plane.Vec, k int) float64 { return x.Sub(m.bites[k].C).Len() - m.bites[k].R }

// offer takes the place x on an edge, if it lies in both loops and farther out than what was found.
func (m *reach) offer(x plane.Vec, on Spot, owner int) {
	d, k := m.outside(x, 0), 0
	if other := m.outside(x, 1); other < d {
		d, k = other, 1
	}
	if d > m.best && m.p.holds(x, m.slack) && m.q.holds(m.rel.In(x), m.slack) {
		m.best, m.at, m.which, m.owner, m.spot = d, x, k, owner, on
	}
}

func (m *reach) farthest() {
	var at [2]plane.Vec
	for j := range m.q.Loop {
		f := m.q.Loop[j].moved(m.rel)
		m.along(&f, m.q.Loop[before(j, len(m.q.Loop))].Line, 1)
		for i := range m.p.Loop {
			e := &m.p.Loop[i]
			if j == 0 {
				m.along(e, m.p.Loop[before(i, len(m.p.Loop))].Line, 0)
			}
			for _, x := range at[:carriers(&at, e, &f)] {
				m.offer(x, Spot{}, 2)
			}
		}
	}
}

// carriers finds where the lines or circles of two edges meet.
func carriers(at *[2]plane.Vec, e, f *Edge) int {
	switch {
	case e.R == 0 && f.R == 0:
		return lineLine(at, e, f)
	case e.R == 0:
		return lineCircle(at, e, f, 0)
	case f.R == 0:
		return lineCircle(at, f, e, 0)
	}
	return circleCircle(at, e, f, 0)
}

// before returns the number before i of n in a ring.
func before(i, n int) int { return (i + n - 1) % n }

// along offers the places of one edge: its start, at which an edge of the line last ends, where it is farthest from a centre, and where it is as far outside of
// one bite as of the other.
func (m *reach) along(e *Edge, last int32, owner int) {
	if e.cos == -2 {
		last = -1 // no corner, but a place like any other of the circle
	}
	m.offer(e.A, Spot{[2]int32{e.Line, last}}, owner)
	var t [6]float64 // shares at which the distance from a centre turns
	n := 0
	turns := func(x plane.Vec) {
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
				m.offer(e.C.Add(d), Spot{[2]int32{e.Line, -1}}, owner)
			}
		}
	}
	if math.IsInf(m.bites[0].R, -1) || math.IsInf(m.bites[1].R, -1) {
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
		m.level(e, last, next)
		last = next
	}
}

// level offers the place between the shares s and t of an edge that is as far outside of one bite as of the other. The
// distance from either centre only grows or only falls there; both growing or both falling, the place is of no interest
// but does no harm.
func (m *reach) level(e *Edge, s, t float64) {
	diff := func(k float64) float64 {
		x := e.At(k)
		return m.outside(x, 0) - m.outside(x, 1)
	}
	ds, dt := diff(s), diff(t)
	if !(ds < 0 && dt > 0 || ds > 0 && dt < 0) {
		return
	}
	for range 60 {
		k := (s + t) / 2
		if d := diff(k); (d > 0) == (ds > 0) {
			s = k
		} else {
			t = k
		}
	}
	m.offer(e.At(s), Spot{}, 2)
}

// holds reports whether x lies in the loop of the piece, to within slack.
func (p *Piece) holds(x plane.Vec, slack float64) bool {
	for i := range p.Loop {
		e := &p.Loop[i]
		if e.R == 0 {
			d := e.B.Sub(e.A)
			if d.Cross(x.Sub(e.A)) < -slack*d.Len() {
				return false
			}
			continue
		}
		// Beyond the chord, and on the line through it, the arc bounds the piece.
		d := e.B.Sub(e.A)
		if r := e.R + slack; (e.cos == -2 || d.Cross(x.Sub(e.A)) <= slack*d.Len()) && sq(x.Sub(e.C)) > r*r {
			return false
		}
	}
	return true
}

// near says what was found.
func (m *reach) near() Near {
	b := &m.bites[m.which]
	u := m.at.Sub(b.C).Unit()
	rim := b.C.Add(u.Scale(b.R))
	on := Spot{[2]int32{b.Line, -1}}
	n := Near{D: -m.best, P: rim, Q: m.at, Normal: u.Scale(-1), A: on, B: m.spot}
	if m.which == 1 {
		n = Near{D: -m.best, P: m.at, Q: rim, Normal: u, A: m.spot, B: on}
	}
	if n.Rough = m.owner != 1-m.which || m.spot.cut(); n.Rough {
		n.A, n.B = Spot{[2]int32{-1, -1}}, Spot{[2]int32{-1, -1}}
	}
	return n
}
