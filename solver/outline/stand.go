package outline

import "barover/solver/plane"

// Facing is how two convex pieces face each other, bites left out of account.
type Facing struct {
	D float64   // the gap in the direction N, mm: their distance, or where they overlap minus the least shift that parts them
	N plane.Vec // unit, from the first to the second, in the axes of the first
	// Of tells on which of the two a straight edge is square to N: the first, the second, or neither (0).
	Of int
}

// Face measures two convex pieces, q placed at rel in the axes of p.
func (p *Piece) Face(q *Piece, rel *plane.Placement) Facing {
	s := stand(p, q, rel)
	f := Facing{D: s.d, N: s.n}
	switch {
	case s.kind == first && p.features[s.i].flat >= 0:
		f.Of = 1
	case s.kind == second && q.features[s.j].flat >= 0:
		f.Of = 2
	}
	return f
}
