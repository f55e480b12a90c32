package outline

import (
	"slices"

	"barover/solver/plane"
)

// dropHidden drops pieces that lie within another.
func (r *Region) dropHidden(tol float64) {
	if len(r.Pieces) > manyPieces {
		return
	}
	for i := len(r.Pieces) - 1; i >= 0; i-- {
		p := &r.Pieces[i]
		for j := range r.Pieces {
			if i != j && p.hiddenBy(&r.Pieces[j], tol) {
				r.Pieces = slices.Delete(r.Pieces, i, i+1)
				break
			}
		}
	}
}

// hiddenBy reports whether p lies within q: whether it reaches no farther in any direction, and q's bite is p's too.
func (p *Piece) hiddenBy(q *Piece, tol float64) bool {
	if q.Bite != nil && (p.Bite == nil || *q.Bite != *p.Bite) {
		return false
	}
	if q.Radius < p.Radius/2 || p.Centre.Sub(q.Centre).Len() > p.Radius+q.Radius {
		return false
	}
	beyond := func(n plane.Vec) bool { return p.Support(n)-q.Support(n) > tol }
	for i := range p.features {
		f := &p.features[i]
		if beyond(f.n) {
			return false
		}
		for j := range q.features {
			// Where neither feature changes, the difference is greatest in the direction from one to the other.
			if d := f.at.Sub(q.features[j].at); d.Len() > tol && beyond(d.Unit()) {
				return false
			}
		}
	}
	return !slices.ContainsFunc(q.features, func(g feature) bool { return beyond(g.n) })
}
