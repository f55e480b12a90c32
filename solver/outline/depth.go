package outline

import "barover/solver/plane"

// overlap returns how deep two outlines run into each other: the greatest depth of any two of their pieces. It reports
// false if no two pieces overlap.
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
			n.D, n.Normal, ok = s.d, s.n, true
			n.P, n.Q, n.A, n.B = s.witness(p, q, &rel)
		}
	}
	return n, ok
}
