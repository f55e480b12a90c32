package outline

import (
	"math"
	"slices"

	"barover/solver/plane"
)

// lost is what rounding may lose of a place, as a share of the sizes.
const lost = 1e-12

// Outside returns what of the loop's edges is farther than r, mm, from the centre of the piece's bite, and no more than rounding
// besides.
func (p *Piece) Outside(r float64) (list []Edge) {
	r -= lost * (p.Radius + r)
	disc := Edge{C: p.Bite.C, R: r}
	for i := range p.Loop {
		e := &p.Loop[i]
		cuts := []float64{0, 1}
		if r > 0 {
			var at [2]plane.Vec
			for _, x := range at[:carriers(&at, e, &disc, 0)] {
				if s := e.share(x); s > 0 && s < 1 {
					cuts = append(cuts, s)
				}
			}
			slices.Sort(cuts)
		}
		for k, t := range cuts[1:] {
			if s := cuts[k]; r <= 0 || sq(e.At((s+t)/2).Sub(disc.C)) >= r*r {
				list = append(list, e.part(s, t, e.At(s), e.At(t)))
			}
		}
	}
	return list
}

// Halves returns the two halves of the edge.
func (e *Edge) Halves() [2]Edge {
	mid := e.At(0.5)
	return [2]Edge{e.part(0, 0.5, e.A, mid), e.part(0.5, 1, mid, e.B)}
}

// Span returns the least and the greatest distance of the edge from c, mm.
func (e *Edge) Span(c plane.Vec) (least, greatest float64) {
	least = e.nearest(c).Sub(c).Len()
	greatest = max(e.A.Sub(c).Len(), e.B.Sub(c).Len())
	if d := e.C.Sub(c); e.R > 0 && e.faces(d, d.Len()) {
		greatest = d.Len() + e.R
	}
	return least, greatest
}

// Leads returns how much of the way from c to a place of the edge is along it, mm: the distance from c grows or falls with it. It is
// the least of all places if the distance only grows, the greatest if it only falls, and zero otherwise or where an arc of half a
// turn or more leaves that open.
func (e *Edge) Leads(c plane.Vec) float64 {
	from, to := e.Tangent(e.A).Dot(e.A.Sub(c)), e.Tangent(e.B).Dot(e.B.Sub(c))
	switch {
	case from*to <= 0 || math.Abs(e.Turn) >= math.Pi:
		return 0
	case math.Abs(to) < math.Abs(from):
		return to
	}
	return from
}
