package outline

import (
	"math"

	"barover/solver/plane"
)

// Sector returns the part of a piece with a bite between two headings seen from the bite's centre, rad, at most half a
// turn apart. It is a convex piece with the same bite, cut off along the bite's chord. It is a hair larger, so that no
// cut loses any material. It reports false if there is nothing between them, and returns the whole piece where it cannot
// be cut.
func (p *Piece) Sector(from, to float64) (Piece, bool) {
	c, r := p.Bite.C, p.Bite.R
	a, b := plane.Polar(from), plane.Polar(to)
	loop := p.Loop
	for _, k := range [3]knife{{c, a, cutLine}, {c, b.Scale(-1), cutLine}, {c.Add(a.Scale(r)), a.Sub(b).Unit(), cutLine}} {
		k.p = k.p.Sub(k.u.Turned().Scale(touching * p.Radius))
		loops, err := k.leftOf(loop)
		switch {
		case err != nil || len(loops) > 1:
			return *p, true
		case len(loops) == 0:
			return Piece{}, false
		}
		loop = loops[0]
	}
	return newPiece(loop, p.Bite), true
}

// ChordDepth is how far the chord of the bite between two headings seen from its centre, rad, is within the bite at most, mm; zero without
// a bite.
func (p *Piece) ChordDepth(from, to float64) float64 {
	if p.Bite == nil {
		return 0
	}
	half := (to - from) / 2
	if half > 2 {
		return p.Bite.R + min(p.Bite.R, p.Radius)
	}
	return p.Bite.R * (1 - math.Cos(half))
}
