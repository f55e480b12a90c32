package outline

import (
	"math"

	"barover/solver/plane"
)

// Facing is how two convex pieces, without their bites, face each other.
type Facing struct {
	D float64   // the gap in the direction N, mm: their distance, or where they overlap minus the least shift that separates them
	N plane.Vec // unit, from the first to the second, in the axes of the first
	// Of says on which of the two a straight edge is square to N: the first, the second, or neither (0).
	Of int
	// A and B are the corners, or the centres of the arcs, that face each other, each in the axes of its own piece.
	A, B plane.Vec
}

// Face measures two convex pieces, q placed at rel in the axes of p.
func (p *Piece) Face(q *Piece, rel *plane.Placement) Facing {
	s := stand(p, q, rel)
	f := Facing{D: s.d, N: s.n, A: p.features[s.i].at, B: q.features[s.j].at}
	switch {
	case s.kind == first && p.features[s.i].flat >= 0:
		f.Of = 1
	case s.kind == second && q.features[s.j].flat >= 0:
		f.Of = 2
	}
	return f
}

// Reach bounds how far any place common to two convex loops reaches out of the bites of both, mm, with q placed at rel in
// the axes of p or anywhere within grow of there. It is -Inf if the loops are apart. If it is enough or more, the answer may be
// anything from enough on.
func (p *Piece) Reach(q *Piece, rel *plane.Placement, grow, enough float64) float64 {
	w := q
	if grow > 0 {
		w = q.grown(grow)
	}
	m := newReach(p, w, *rel)
	m.farthest(enough)
	return m.best
}

// grown returns the piece with every place within g of it, its bite as much less.
func (p *Piece) grown(g float64) *Piece {
	w := &Piece{Centre: p.Centre, Radius: p.Radius + g}
	if p.Bite != nil {
		b := *p.Bite
		b.R -= g
		w.Bite = &b
	}
	n := len(p.Loop)
	w.Loop = make([]Edge, 0, 2*n)
	for i := range p.Loop {
		e, last := &p.Loop[i], &p.Loop[(i+n-1)%n]
		in, on := last.Normal(last.B), e.Normal(e.A)
		a := e.A.Add(on.Scale(g))
		if turn := math.Atan2(in.Cross(on), in.Dot(on)); turn > smooth && n > 1 {
			w.Loop = append(w.Loop, arc(e.A.Add(in.Scale(g)), a, e.A, g, turn, e.Line))
		}
		b := e.B.Add(e.Normal(e.B).Scale(g))
		if e.R == 0 {
			w.Loop = append(w.Loop, straight(a, b, e.Line))
		} else {
			w.Loop = append(w.Loop, arc(a, b, e.C, e.R+g, e.Turn, e.Line))
		}
	}
	return w
}
