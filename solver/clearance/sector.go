package clearance

import (
	"math"

	"barover/solver/plane"
)

// A solid with a bite is bounded by its convex loop, or by how far the other body is within the bite. Neither is tight
// where a body is partly in the bite. Such a solid is cut into sectors seen from the bite's centre, each cut off along
// the bite's chord, and these again: the narrower a sector, the closer its chord is to the bite.

// sector says which part of its root a solid is: everything between two headings seen from its bite's centre, rad.
type sector struct {
	root     int // the solid that it was cut from; its own number if it is whole
	from, to float64
	cut      bool     // kids are known
	kids     [2]int16 // the solids of its halves, -1 where there is nothing
}

// solidsAllowed is how many solids one outline may have, with all sectors.
const solidsAllowed = 8000

// isSector reports whether solid i is only a sector of another.
func isSector(all []solid, i int16) bool { return all[i].sector.root != int(i) }

// slack is how far the chord of a solid's sector is within its bite, mm.
func (s *solid) slack() float64 { return s.ChordDepth(s.sector.from, s.sector.to) }

// halves returns the two sectors of solid i, -1 where there is nothing, and adds them to all. It reports false if it cannot be cut.
func halves(all *[]solid, i int16) ([2]int16, bool) {
	s := &(*all)[i]
	if s.sector.cut {
		return s.sector.kids, true
	}
	if s.Bite == nil || len(*all)+2 > solidsAllowed {
		return [2]int16{}, false
	}
	own := s.sector
	own.cut = true
	mid := (own.from + own.to) / 2
	for k, w := range [2][2]float64{{own.from, mid}, {mid, own.to}} {
		own.kids[k] = -1
		p, some := s.Sector(w[0], w[1])
		if some {
			half := newSolid(&p)
			half.sector = sector{root: own.root, from: w[0], to: w[1]}
			own.kids[k] = int16(len(*all))
			*all = append(*all, half)
			s = &(*all)[i]
		}
	}
	s.sector = own
	return own.kids, true
}

// kids lists the pairs of solids that replace a pair, with that one of the two cut whose chord is farther within its
// bite; nil if neither is by more than fine, mm.
func (d *duo) kids(ij [2]int16, fine float64) [][2]int16 {
	slackA, slackB := d.pa[ij[0]].slack(), d.pb[ij[1]].slack()
	if max(slackA, slackB) <= fine {
		return nil
	}
	all, k := &d.pa, 0
	if slackB > slackA {
		all, k = &d.pb, 1
	}
	two, ok := halves(all, ij[k])
	if !ok {
		return nil
	}
	list := make([][2]int16, 0, 2)
	for _, half := range two {
		if half >= 0 {
			ij[k] = half
			list = append(list, ij)
		}
	}
	return list
}

// loose reports whether the pieces of a node, not their motion, keep its bound below the least that was found: at the
// centre of its part the outlines are farther apart than the pieces show.
func (d *duo) loose(n *node) bool {
	a, b := &d.pa[n.ia], &d.pb[n.ib]
	slack := max(a.slack(), b.slack())
	if slack <= d.tolerance/8 || d.best.Hi <= 0 || n.slack > slack {
		return false
	}
	m := *n
	m.at, m.mid = [len(m.at)]float64{}, math.Inf(-1)
	d.try(&m)
	return n.mid < min(d.best.Hi-d.tolerance/2, d.limit)
}

// parted replaces a node by the sectors of its pieces, if the pieces keep its bound low.
func (d *duo) parted(n *node) bool {
	if !d.bitten || !d.loose(n) {
		return false
	}
	kids := d.kids([2]int16{n.ia, n.ib}, d.tolerance/8)
	for _, ij := range kids {
		m := *n
		m.ia, m.ib = ij[0], ij[1]
		d.bound(&m)
	}
	return kids != nil
}

// apart bounds two pieces of which one is only a sector. A sector gives the distance of its outline, but not the depth of
// another in it: it reports false where the bound is not above zero.
func (d *duo) apart(n *node, a, b *solid, rel *plane.Placement) bool {
	lo, mid, at, active := d.faced(n, a, b, rel)
	n.mid, n.slack = mid, mid-lo
	if !(lo > 0) {
		return false
	}
	n.widest = int8(d.views[n.tube].widest(d.reachB, active))
	n.lo, n.at, n.done = max(n.lo, lo), at, true
	return true
}
