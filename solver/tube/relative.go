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
	dx, dy := less(far[:sp.N], &b.X, &a.X), less(far[sp.N:2*sp.N], &b.Y, &a.Y)
	r.sum(sp, 0, &dx, &a.Cos, &dy, &a.Sin, 1)
	r.sum(sp, 1, &dy, &a.Cos, &dx, &a.Sin, -1)
	r.sum(sp, 2, &b.Cos, &a.Cos, &b.Sin, &a.Sin, 1)
	r.sum(sp, 3, &b.Sin, &a.Cos, &b.Cos, &a.Sin, -1)
	for k := range sp.N {
		r.Size += math.Abs(r.Poly[0][k]) + math.Abs(r.Poly[1][k])
	}
	return r
}

// sum sets a polynomial to p·c + k·q·s.
func (r *Relative) sum(sp *taylor.Space, i int, p, c, q, s *Series, k float64) {
	r.Rad[i] = sp.AddTimes(r.Poly[i], p.Poly, c.Poly, p.Rad, c.Rad, 1)
	r.Rad[i] += sp.AddTimes(r.Poly[i], q.Poly, s.Poly, q.Rad, s.Rad, k)
}

// less returns p - q, its polynomial in the room of to.
func less(to []float64, p, q *Series) Series {
	size := 0.0
	for i, v := range p.Poly {
		to[i] = v - q.Poly[i]
		size += math.Abs(to[i])
	}
	return Series{to, p.Rad + q.Rad + size*relativeSlip}
}

// OffIn is how far a place q of a part, given in its axes, may be from what its polynomials say in the axes of another, mm. It is less
// than NewRelative gives for the origin and the axes together, since an error of the other part's direction counts only once.
func OffIn(sp *taylor.Space, in, of *Placement, q plane.Vec) (x, y float64) {
	at := of.WithOrigin(q)
	d := make([]float64, 2*sp.N)
	dx, dy := less(d[:sp.N], &at.X, &in.X), less(d[sp.N:], &at.Y, &in.Y)
	off := func(p, q *Series) float64 { return sp.OffTimes(p.Poly, q.Poly, p.Rad, q.Rad) }
	return off(&dx, &in.Cos) + off(&dy, &in.Sin), off(&dy, &in.Cos) + off(&dx, &in.Sin)
}
