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
