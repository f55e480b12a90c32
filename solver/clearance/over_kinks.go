package clearance

import (
	"maps"
	"slices"

	"barover/solver/taylor"
)

// sumBound is a bound of a sum on a part. The sum is nowhere below lo, for which off was subtracted, and about near at a place with some sizes.
type sumBound struct {
	lo, off, near float64
	poly          []float64
	at            [taylor.MaxVars]float64
	dev           []float64
}

// leastStep is the last step by which the slope along which kinks are enclosed is changed, as a share of that between their sides.
const leastStep = 0x1p-10

// along bounds the sum on a part, its kinks enclosed along some slopes.
func (s *sumOver) along(n *overNode, lead map[taylor.Slot]float64) (b sumBound, ok bool) {
	r := s.run[n.tube]
	r.Lead(lead)
	v, ok := r.OverFiner(n.box, &n.part, n.cell.anew)
	if !ok || r.Doubt() {
		return b, false
	}
	b.poly = make([]float64, len(v.Poly))
	for i, c := range v.Poly {
		b.poly[i] = s.sign * c
	}
	b.lo, b.at, b.dev = s.space.LeastOf(b.poly, s.disc)
	b.near = s.space.ValueOf(b.poly, &b.at, b.dev) + v.Rad
	b.lo, b.off = b.lo-v.Rad, v.Rad
	if s.sign > 0 && r.NeverBelow() {
		b.lo = max(b.lo, 0)
	}
	return b, true
}

// bound bounds the sum on a part. Where it bends upward at kinks, it tries one slope after the other, each nearer to the sides that count where
// the last bound was least.
func (s *sumOver) bound(n *overNode) (best sumBound, ok bool) {
	if best, ok = s.along(n, n.sides); !ok {
		return best, false
	}
	r, spot := s.run[n.tube], spotOver{best.at, best.dev, 0}
	kinks := r.Kinks(s.sign)
	if n.fork = taylor.None; len(kinks) == 0 {
		return best, true
	}
	lead := map[taylor.Slot]float64{}
	maps.Copy(lead, n.sides)
	var up []taylor.Kink
	for _, k := range kinks {
		if k.Up {
			lead[k.At], up = 0.5, append(up, k)
		} else {
			n.fork = k.At
		}
	}
	var ends [2]*spotOver // where the bound was least, with either side of the first kink ahead
	for step := 0.25; len(up) > 0 && step >= leastStep; step /= 2 {
		b, ok := s.along(n, lead)
		if !ok {
			return best, false
		}
		for i, k := range up {
			ahead, side := r.Ahead(k, &b.at, b.dev), 0
			if lead[k.At] -= step; ahead > 0 {
				lead[k.At] += 2 * step
				side = 1
			}
			if i == 0 {
				spot = spotOver{b.at, b.dev, ahead}
				ends[side] = &spotOver{b.at, b.dev, ahead}
			}
		}
		if b.lo > best.lo {
			best = b
		}
	}
	if ends[0] != nil && ends[1] != nil {
		spot = ends[0].between(ends[1])
	}
	for _, k := range kinks { // the sum itself there
		if lead[k.At] = 0; r.Ahead(k, &spot.at, spot.dev) > 0 {
			lead[k.At] = 1
		}
	}
	b, ok := s.along(n, lead)
	best.near, best.at, best.dev = s.space.ValueOf(b.poly, &spot.at, spot.dev)+b.off, spot.at, spot.dev
	return best, ok
}

// spotOver is a place with some sizes, and by how much the first side of a kink is ahead there.
type spotOver struct {
	at    [taylor.MaxVars]float64
	dev   []float64
	ahead float64
}

// between is a place between two, and sizes between theirs, about where neither side of the kink is ahead.
func (p *spotOver) between(q *spotOver) spotOver {
	w := p.ahead / (p.ahead - q.ahead)
	out := spotOver{p.at, slices.Clone(p.dev), 0}
	for k := range out.at {
		out.at[k] += w * (q.at[k] - p.at[k])
	}
	for i := range out.dev {
		out.dev[i] += w * (q.dev[i] - p.dev[i])
	}
	return out
}

// sided is a node with a side of its fork taken: the first with a share of 1, the second with 0.
func (n overNode) sided(share float64) overNode {
	sides := map[taylor.Slot]float64{n.fork: share}
	maps.Copy(sides, n.sides)
	n.sides = sides
	return n
}
