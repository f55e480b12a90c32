package clearance

import (
	"math"

	"barover/solver/outline"
	"barover/solver/plane"
	"barover/solver/taylor"
)

// bar adds the pieces of a bar with round ends from p to q, of half widths h. The sides of one of two widths join the ends of half
// circles, and touch neither. So it is no hull of two discs. It is covered by the flat bar, the half disc of the wide end and the disc
// of the narrow end.
func (m *former) bar(s *outline.Shape, p, q [2]taylor.Slot, hp, hq taylor.Slot) {
	discs := formed{of: []int{m.disc(p[0], p[1], hp), m.disc(q[0], q[1], hq)}, taper: s.W[0] != s.W[1]}
	at := func(i int) plane.Vec {
		return plane.Vec{X: m.sums.Values.At(s.P[i].X), Y: m.sums.Values.At(s.P[i].Y)}
	}
	rp, rq := m.sums.Values.At(s.W[0])/2, m.sums.Values.At(s.W[1])/2
	way := at(1).Sub(at(0))
	lean := (rp - rq) / way.Len()
	if !(math.Max(rp, rq)*lean*lean/2 > m.sliver) {
		m.form.pieces = append(m.form.pieces, discs)
		return
	}
	flat := m.flanks(p, q, hp, hq)
	wide, narrow, mid, ends := p, discs.of[1], way.Unit().Scale(-1), flat[:2]
	if rq > rp {
		wide, hp, narrow, mid, ends = q, hq, discs.of[0], way.Unit(), flat[2:]
	}
	end := m.disc(wide[0], wide[1], hp)
	m.facing = append(m.facing, facing{disc: end, a: discs.of[0], b: discs.of[1], mid: mid, half: math.Pi / 2, square: true})
	for _, of := range [3][]int{flat, {end, ends[0], ends[1]}, {narrow}} {
		m.form.pieces = append(m.form.pieces, formed{of: of, inner: &discs})
	}
}

// flanks adds the corners of a flat bar from p to q, of half widths h: two at p and two at q.
func (m *former) flanks(p, q [2]taylor.Slot, hp, hq taylor.Slot) (of []int) {
	x, y := m.Sub(q[0], p[0]), m.Sub(q[1], p[1])
	l := m.Sqrt(m.Add(m.Mul(x, x), m.Mul(y, y)))
	nx, ny := m.Div(m.Neg(y), l), m.Div(x, l)
	for i, c := range [2][2]taylor.Slot{p, q} {
		h := [2]taylor.Slot{hp, hq}[i]
		dx, dy := m.Mul(nx, h), m.Mul(ny, h)
		of = append(of, m.corner(m.Add(c[0], dx), m.Add(c[1], dy)), m.corner(m.Sub(c[0], dx), m.Sub(c[1], dy)))
	}
	return of
}

// within is what of the outline surely lies within it near a piece.
func (p *formed) within() *formed {
	if p.inner != nil {
		return p.inner
	}
	return p
}

// narrower reports whether the disc i of a round bar is no wider than the disc j at the other end, whatever the sizes. All of it
// then lies within the bar. Of the wide disc only the half that faces away does: the sides pass its centre at less than its radius.
func (f *Form) narrower(i, j int) bool {
	p, q := &f.feature[i], &f.feature[j]
	return p.r+p.stray <= q.r-q.stray
}

// endDisc is a disc within the disc i of a round bar, near a place, and within the bar whatever the sizes; j is at the other end. Within
// the wide disc it is smaller: moved towards the place by as much, where the place is on the half circle, and otherwise about
// the same centre.
//
// With L the angle between the sides and the middle line, a side passes the centre of the wide disc of radius r at r·cos L. So a disc
// that is smaller by δ, and moved by δ, is on this side of it if r·(1 - cos L) is no more than δ·(1 - sin φ). Here φ is the
// angle between the move and the middle line, away from the other end; the outward normal of a side is more than a quarter turn
// from there.
func (f *Form) endDisc(i, j int, at plane.Vec) innerDisc {
	d := f.amid(i, i, at)
	if f.narrower(i, j) {
		return d
	}
	slender := f.slender(i, j)
	p, q := &f.feature[i], &f.feature[j]
	way, to, stray := p.at.Sub(q.at), at.Sub(p.at), p.stray+q.stray
	off := math.Acos(math.Max(-1, math.Min(1, way.Unit().Dot(to.Unit())))) + 1.2*stray/way.Len() + 1e-6
	by := (p.r + p.stray) * (1 - slender) / (1 - math.Sin(off)) * (1 + 1e-6)
	if !(off < math.Pi/2 && stray < way.Len()/4 && by < p.r/2 && p.stray < p.r/4) {
		d.shrink(slender)
		return d
	}
	d.head, d.r = d.head.Add(to.Unit().Scale(by)), d.r-by
	return d
}
