package outline

import (
	"barover/solver/plane"
)

// overlap returns how deep two outlines run into each other: the greatest depth of any two of their pieces. It reports
// false if no two pieces overlap.
//
// The depth of two pieces is the shortest shift that separates their convex loops or, if that is less, the farthest that
// any common place reaches out of their bites. It is zero where they only touch, and changes without a jump.
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
				if m.farthest(-s.d); !(m.best > -n.D) {
					continue
				}
				if m.best < -s.d {
					n, ok = m.near(), true
					continue
				}
			}
			n.D, n.Normal, ok = s.d, s.n, true
			n.P, n.Q, n.A, n.B = s.witness(p, q, &rel)
			n.At, n.Pull, n.Rough = n.P, n.Normal, n.A.cut() || n.B.cut()
		}
	}
	return n, ok
}
