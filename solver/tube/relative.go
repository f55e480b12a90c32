package tube

import (
	"math"

	"barover/solver/plane"
	"barover/solver/taylor"
)

// relativeSlip is what the few floats of a Relative may lose, as a share of their size.
const relativeSlip = 0x1p-48

// Relative is one part in the axes of another over a box: the place of its origin, mm, and the cosine and sine of its u
// axis, as polynomials.
type Relative struct {
	Poly [4][]float64
	Rad  [4]float64
	Size float64 // bound of the place's size
}

// WithOrigin returns a placement of the same axes with their origin at a place q of them.
func (p *Placement) WithOrigin(q plane.Vec) Placement {
	if q == (plane.Vec{}) {
		return *p
	}
	n := len(p.X.Poly)
	x, y := make([]float64, n), make([]float64, n)
	size := 0.0
	for k := range n {
		c, s := p.Cos.Poly[k], p.Sin.Poly[k]
		x[k] = p.X.Poly[k] + (q.X*c - q.Y*s)
		y[k] = p.Y.Poly[k] + (q.X*s + q.Y*c)
		size += math.Abs(p.X.Poly[k]) + math.Abs(p.Y.Poly[k]) + (math.Abs(q.X)+math.Abs(q.Y))*(math.Abs(c)+math.Abs(s))
	}
	off := (math.Abs(q.X)+math.Abs(q.Y))*(p.Cos.Rad+p.Sin.Rad) + relativeSlip*size
	return Placement{X: Series{Poly: x, Rad: p.X.Rad + off}, Y: Series{Poly: y, Rad: p.Y.Rad + off}, Cos: p.Cos, Sin: p.Sin}
}

// NewRelative computes b in the axes of a.
func NewRelative(sp *taylor.Space, a, b *Placement) *Relative {
	r := &Relative{}
	room := make([]float64, 4*sp.N)
	for k := range r.Poly {
		r.Poly[k] = room[k*sp.N : (k+1)*sp.N : (k+1)*sp.N]
	}
	var few [2 * taylor.MaxN]float64
	far := few[:]
	if 2*sp.N > len(far) { // there are deviations
		far = make([]float64, 2*sp.N)
	}
	dx, dy := far[:sp.N], far[sp.N:2*sp.N]
	rx, ry := less(dx, &b.X, &a.X), less(dy, &b.Y, &a.Y)
	x, y := sp.Factor(dx, rx), sp.Factor(dy, ry)
	bc, bs := sp.Factor(b.Cos.Poly, b.Cos.Rad), sp.Factor(b.Sin.Poly, b.Sin.Rad)
	c, s := sp.Factor(a.Cos.Poly, a.Cos.Rad), sp.Factor(a.Sin.Poly, a.Sin.Rad)
	r.sum(sp, 0, &x, &c, &y, &s, 1)
	r.sum(sp, 1, &y, &c, &x, &s, -1)
	r.sum(sp, 2, &bc, &c, &bs, &s, 1)
	r.sum(sp, 3, &bs, &c, &bc, &s, -1)
	for k := range sp.N {
		r.Size += math.Abs(r.Poly[0][k]) + math.Abs(r.Poly[1][k])
	}
	return r
}

// sum sets a polynomial to p·c + k·q·s.
func (r *Relative) sum(sp *taylor.Space, i int, p, c, q, s *taylor.Factor, k float64) {
	r.Rad[i] = sp.AddProduct(r.Poly[i], p, c, 1)
	r.Rad[i] += sp.AddProduct(r.Poly[i], q, s, k)
}

// less writes p - q and returns its radius.
func less(to []float64, p, q *Series) float64 {
	size := 0.0
	for i, v := range p.Poly {
		to[i] = v - q.Poly[i]
		size += math.Abs(to[i])
	}
	return p.Rad + q.Rad + size*relativeSlip
}

// OffIn is how far a place q of a part, given in its axes, may be from what its polynomials say in the axes of another, mm. It is less
// than NewRelative gives for the origin and the axes together, since an error of the other part's direction counts only once.
func OffIn(sp *taylor.Space, in, of *Placement, q plane.Vec) (x, y float64) {
	at := of.WithOrigin(q)
	d := make([]float64, 2*sp.N)
	dx, dy := d[:sp.N], d[sp.N:]
	rx, ry := less(dx, &at.X, &in.X), less(dy, &at.Y, &in.Y)
	c, s := &in.Cos, &in.Sin
	return sp.OffTimes(dx, c.Poly, rx, c.Rad) + sp.OffTimes(dy, s.Poly, ry, s.Rad), sp.OffTimes(dy, c.Poly, ry, c.Rad) + sp.OffTimes(dx, s.Poly, rx, s.Rad)
}
