package clearance

import (
	"math"

	"barover/solver/plane"
	"barover/solver/taylor"
	"barover/solver/tube"
)

// view is how one part stands in the axes of another over a part of a box.
type view struct {
	space *taylor.Space
	poly  [4][]float64
	rad   [4]float64
	tail  [4]float64 // sizes of all coefficients but the first
	size  float64
	swing float64 // how far, rad, the direction may turn from that at the centre of the part
	sum   []float64
	// active is the polynomial of the last bound.
	active []float64
	room   []float64
	lower  lowerBound
	turned
}

// lowerBound bounds a polynomial from below and returns where it is least: Space.Least, except in a test that leaves
// something out and must notice.
type lowerBound func(*taylor.Space, []float64) (float64, [taylor.MaxVars]float64)

func newView(sp *taylor.Space, lower lowerBound) *view {
	v := &view{space: sp, lower: lower, sum: make([]float64, sp.N), active: make([]float64, sp.N), room: make([]float64, 4*sp.N)}
	for k := range v.poly {
		v.poly[k] = v.room[k*sp.N : (k+1)*sp.N : (k+1)*sp.N]
	}
	for k := range v.turned.poly {
		v.turned.poly[k] = make([]float64, sp.N)
	}
	return v
}

// set sets the view to a part of a box.
func (v *view) set(r *tube.Relative, p *tube.Part) {
	for k := range v.poly {
		v.rad[k] = r.Rad[k] + v.space.Shift(v.poly[k], r.Poly[k], &p.Mid, &p.Half)
		v.tail[k] = taylor.SizeOf(v.poly[k][1:])
	}
	v.size = r.Size
	// The chord between two unit directions is at most the sum of what its parts move by; an arc of less than a third of a
	// turn is at most a fifth longer than its chord.
	v.swing = 1.25 * (v.tail[2] + v.tail[3] + 2*(v.rad[2]+v.rad[3]))
}

// centre is the placement at the centre of the part.
func (v *view) centre() plane.Placement {
	return plane.Placement{Origin: plane.Vec{X: v.poly[0][0], Y: v.poly[1][0]}, Dir: plane.Vec{X: v.poly[2][0], Y: v.poly[3][0]}.Unit()}
}

// inDirection writes n·q over the part to a polynomial, for a place q of the second body and a direction n fixed in the
// axes of the first. It returns its radius.
func (v *view) inDirection(to []float64, n, q plane.Vec) float64 {
	kx, ky := n.X*q.X+n.Y*q.Y, n.Y*q.X-n.X*q.Y
	ax, ay := math.Abs(kx), math.Abs(ky)
	x, y, c, s := v.poly[0], v.poly[1], v.poly[2], v.poly[3]
	for i := range to {
		to[i] = n.X*x[i] + n.Y*y[i] + kx*c[i] + ky*s[i]
	}
	return math.Abs(n.X)*v.rad[0] + math.Abs(n.Y)*v.rad[1] + ax*v.rad[2] + ay*v.rad[3] + slip*(v.size+ax+ay)
}

// along bounds n·q from below over the part, for a place q of the second body and a direction n fixed in the axes of the
// first, if it may be below best. It also returns where it is least.
func (v *view) along(n, q plane.Vec, best float64, at *[taylor.MaxVars]float64) (float64, bool) {
	kx, ky := n.X*q.X+n.Y*q.Y, n.Y*q.X-n.X*q.Y
	ax, ay := math.Abs(kx), math.Abs(ky)
	rad := math.Abs(n.X)*v.rad[0] + math.Abs(n.Y)*v.rad[1] + ax*v.rad[2] + ay*v.rad[3] + slip*(v.size+ax+ay)
	head := n.X*v.poly[0][0] + n.Y*v.poly[1][0] + kx*v.poly[2][0] + ky*v.poly[3][0]
	if head-(math.Abs(n.X)*v.tail[0]+math.Abs(n.Y)*v.tail[1]+ax*v.tail[2]+ay*v.tail[3])-rad > best {
		return best, false
	}
	sum, x, y, c, s := v.sum, v.poly[0], v.poly[1], v.poly[2], v.poly[3]
	for i := range sum {
		sum[i] = n.X*x[i] + n.Y*y[i] + kx*c[i] + ky*s[i]
	}
	return v.lowest(rad, best, at)
}

// lowest is the least of the sum in hand, less its radius, if that is below the best so far.
func (v *view) lowest(rad, best float64, at *[taylor.MaxVars]float64) (float64, bool) {
	lo, where := v.lower(v.space, v.sum)
	if lo -= rad; lo < best {
		*at = where
		copy(v.active, v.sum)
		return lo, true
	}
	return best, false
}

// least bounds from below how far the second body stays, in the direction n fixed in the axes of the first, from the
// origin of those axes.
func (v *view) least(s *solid, n plane.Vec, at *[taylor.MaxVars]float64) float64 {
	best := math.Inf(1)
	back := n.Scale(-1).Against(v.centre().Dir)
	for i := range s.arcs {
		if a := &s.arcs[i]; a.faces(back, v.swing) {
			if lo, less := v.along(n, a.c, best+a.r, at); less {
				best = lo - a.r
			}
		}
	}
	for _, p := range s.corners {
		best, _ = v.along(n, p, best, at)
	}
	return best
}

// farthest bounds from above how far the second body reaches from a place c of the first, and returns where in the part
// it reaches farthest.
func (v *view) farthest(s *solid, c plane.Vec, at *[taylor.MaxVars]float64) float64 {
	most := 0.0
	for _, p := range s.corners {
		if d := v.distance(p, c, at, most); d > most {
			most = d
		}
	}
	for i := range s.arcs {
		a := &s.arcs[i]
		if d := v.distance(a.c, c, at, most-a.r); d+a.r > most && v.bulges(a, c) {
			most = d + a.r
		}
	}
	return most
}

// bulges reports whether the far side of an arc's disc, seen from c, may belong to the arc.
func (v *view) bulges(a *arc, c plane.Vec) bool {
	m := v.centre()
	d := m.Out(a.c).Sub(c)
	l := d.Len()
	stray := v.strays(a.c, 0)
	if !(stray < l/2) {
		return true
	}
	return a.faces(d.Scale(1/l).Against(m.Dir), v.swing+1.25*stray/l)
}

// strays bounds how far any place of the second body within r of c, in the body's own axes, moves from its place at the
// centre of the part.
func (v *view) strays(c plane.Vec, r float64) float64 {
	t := 0.0
	for i := 1; i < v.space.N; i++ {
		x := v.poly[0][i] + c.X*v.poly[2][i] - c.Y*v.poly[3][i]
		y := v.poly[1][i] + c.X*v.poly[3][i] + c.Y*v.poly[2][i]
		t += math.Abs(x) + math.Abs(y) + r*(math.Abs(v.poly[2][i])+math.Abs(v.poly[3][i]))
	}
	far := math.Abs(c.X) + math.Abs(c.Y) + r
	long := math.Abs(math.Hypot(v.poly[2][0], v.poly[3][0]) - 1) // the centre's direction is made a unit
	return t + v.rad[0] + v.rad[1] + far*(v.rad[2]+v.rad[3]+long) + 8*slip*(v.size+far)
}

// distance bounds the distance of a place q of the second body from a place c of the first from above. Where it is not
// above most it may return less.
func (v *view) distance(q, c plane.Vec, at *[taylor.MaxVars]float64, most float64) float64 {
	n := v.space.N
	var room [3][taylor.MaxN]float64
	x, y, d := room[0][:n], room[1][:n], room[2][:n]
	for i := range x {
		x[i] = v.poly[0][i] + q.X*v.poly[2][i] - q.Y*v.poly[3][i]
		y[i] = v.poly[1][i] + q.X*v.poly[3][i] + q.Y*v.poly[2][i]
	}
	x[0] -= c.X
	y[0] -= c.Y
	turn := math.Abs(q.X) + math.Abs(q.Y)
	lost := slip * (v.size + 2*turn + math.Abs(c.X) + math.Abs(c.Y))
	rx := v.rad[0] + math.Abs(q.X)*v.rad[2] + math.Abs(q.Y)*v.rad[3] + lost
	ry := v.rad[1] + math.Abs(q.X)*v.rad[3] + math.Abs(q.Y)*v.rad[2] + lost
	r := v.space.AddTimes(d, x, x, rx, rx, 1)
	r += v.space.AddTimes(d, y, y, ry, ry, 1)
	hi, where := v.space.Greatest(d)
	hi = math.Sqrt(max(hi+r, 0)) * (1 + slip)
	if hi > most {
		*at = where
		copy(v.active, d)
	}
	return hi
}
