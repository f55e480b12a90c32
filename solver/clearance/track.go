package clearance

import (
	"math"

	"barover/solver/outline"
	"barover/solver/plane"
	"barover/solver/taylor"
)

// maxTurn is how far, rad, a direction may turn with its features on a part; beyond it the direction is fixed instead.
const maxTurn = 0.7

// track bounds the distance of two solids from below where a corner or an arc of each faces the other. A fixed direction
// would lose the square of how far one moves past the other. So the direction turns with them: by φ, linear over the
// part, it is n·(1 - φ²/2) + t·φ with t square to n, whose length is between 1 and 1 + φ⁴/8.
func (v *view) track(a, b *solid, f *outline.Facing, at *[taylor.MaxVars]float64) float64 {
	phi, turn := v.turning(f)
	if !(turn <= maxTurn) || v.space.Order < 2 {
		return v.least(b, f.N, at) - a.reach(f.N)
	}
	v.turnWith(&phi, f)
	long := 1 + turn*turn*turn*turn/8*(1+slip)
	best := math.Inf(1)
	back := f.N.Scale(-1).Against(v.centre().Dir)
	for i := range b.arcs {
		if c := &b.arcs[i]; c.faces(back, v.swing+1.1*turn) {
			if lo, less := v.ahead(c.c, best+c.r*long, at); less {
				best = lo - c.r*long
			}
		}
	}
	for _, q := range b.corners {
		best, _ = v.ahead(q, best, at)
	}
	gap := best - a.reachTurned(f, turn, long)
	if gap > 0 {
		gap /= long
	}
	return gap - slip*math.Abs(gap)
}

// turning returns by how much along each coordinate the direction must turn to follow the two features, and by how much
// in all.
func (v *view) turning(f *outline.Facing) (phi [taylor.MaxVars]float64, turn float64) {
	at := v.centre().Out(f.B).Sub(f.A)
	far := at.Dot(f.N)
	if !(far > 1e-3*v.size) {
		return phi, 0
	}
	t := f.N.Turned()
	for k := range v.space.Vars {
		i := 1 + k
		x := v.poly[0][i] + f.B.X*v.poly[2][i] - f.B.Y*v.poly[3][i]
		y := v.poly[1][i] + f.B.X*v.poly[3][i] + f.B.Y*v.poly[2][i]
		phi[k] = (t.X*x + t.Y*y) / far
		turn += math.Abs(phi[k])
	}
	return phi, turn
}

// turned is a view in a direction that turns: how far along it the second body's origin is from the first's corner or
// centre, and the components of its axes along it.
type turned struct {
	poly [3][]float64
	rad  [3]float64
	tail [3]float64
}

// turnWith sets up the turning direction.
func (v *view) turnWith(phi *[taylor.MaxVars]float64, f *outline.Facing) {
	sp, w := v.space, &v.turned
	var roomW, roomP, roomN, roomT [taylor.MaxN]float64
	straight, aside := roomW[:sp.N], roomP[:sp.N]
	straight[0] = 1
	for k := range sp.Vars {
		aside[1+k] = phi[k]
	}
	sp.AddTimes(straight, aside, aside, 0, 0, -0.5) // exact except for rounding: no power is above the second
	n, t := f.N, f.N.Turned()
	along, across := roomN[:sp.N], roomT[:sp.N]
	for j, xy := range [3][2]int{{0, 1}, {2, 3}, {3, 2}} {
		x, y, sign := v.poly[xy[0]], v.poly[xy[1]], 1.0
		if j == 2 {
			sign = -1 // the v axis is (-sin, cos)
		}
		for i := range along {
			along[i] = n.X*sign*x[i] + n.Y*y[i]
			across[i] = t.X*sign*x[i] + t.Y*y[i]
		}
		if j == 0 {
			along[0] -= n.Dot(f.A)
			across[0] -= t.Dot(f.A)
		}
		rad := v.rad[xy[0]] + v.rad[xy[1]] + slip*(v.size+f.A.Len())
		clear(w.poly[j])
		w.rad[j] = sp.AddTimes(w.poly[j], straight, along, slip, rad, 1) + sp.AddTimes(w.poly[j], aside, across, slip, rad, 1)
		w.tail[j] = taylor.SizeOf(w.poly[j][1:])
	}
}

// ahead is along for the direction that turns.
func (v *view) ahead(q plane.Vec, best float64, at *[taylor.MaxVars]float64) (float64, bool) {
	w := &v.turned
	ax, ay := math.Abs(q.X), math.Abs(q.Y)
	rad := w.rad[0] + ax*w.rad[1] + ay*w.rad[2] + slip*(v.size+2*ax+2*ay)
	head := w.poly[0][0] + q.X*w.poly[1][0] + q.Y*w.poly[2][0]
	if head-(w.tail[0]+ax*w.tail[1]+ay*w.tail[2])-rad > best {
		return best, false
	}
	sum := v.sum
	for i := range sum {
		sum[i] = w.poly[0][i] + q.X*w.poly[1][i] + q.Y*w.poly[2][i]
	}
	return v.lowest(rad, best, at)
}

// reachTurned is an upper bound of how far a solid reaches beyond its facing corner or centre, in a direction that turns
// from the facing's by at most turn.
func (s *solid) reachTurned(f *outline.Facing, turn, long float64) float64 {
	most := math.Inf(-1)
	t := f.N.Turned()
	beyond := func(p plane.Vec) float64 {
		d := p.Sub(f.A)
		n := f.N.Dot(d)
		if n < 0 {
			n *= 1 - turn*turn/2
		}
		return n + turn*math.Abs(t.Dot(d))
	}
	for _, p := range s.corners {
		most = math.Max(most, beyond(p))
	}
	for i := range s.arcs {
		if a := &s.arcs[i]; a.faces(f.N, 1.1*turn) {
			most = math.Max(most, beyond(a.c)+a.r*long)
		}
	}
	return most + slip*(math.Abs(most)+s.Radius+f.A.Len())
}
