// Package sweep makes the outline of everything that a part passes over in a turn: the swept outline of the drawing.
//
// A part is given as convex pieces, each the hull of corners and arcs. Between two positions a piece passes over the hull
// of itself at both, up to the small sagitta of its true path. Positions are taken so close that the sagitta stays under
// a tolerance of paper. The union of those hulls is the outline.
//
// It proves nothing: swept outlines are for pictures. A newcomer may change how finely positions are taken.
package sweep

import (
	"math"
	"slices"

	"barover/solver/plane"
)

// Mark is a corner of a piece, in the part's axes, mm; or, where R is above 0, an arc of its edge about C, anticlockwise
// from the heading From by Sweep, rad. A whole disc has a Sweep of 2π; the ends of a lesser arc are corners besides.
type Mark struct {
	C           plane.Vec // mm
	R           float64   // mm
	From, Sweep float64   // rad
}

// Disc is a whole disc.
func Disc(c plane.Vec, r float64) Mark { return Mark{c, r, 0, 2 * math.Pi} }

// Piece is a convex piece of a part: the hull of its marks, less a bite where it has one.
type Piece struct {
	Marks []Mark
	Bite  Mark // a disc that is no part of it; R 0 for none
}

// Outline returns the edge of all that the pieces pass over as their part goes through the places in order, each stretch
// of places unbroken motion. tol, mm, is how far the outline may lie from the true one.
func Outline(pieces []Piece, stretches [][]plane.Placement, tol float64) [][]plane.Vec {
	return edge(pieces, stretches, tol/2, tol/2)
}

// edge is Outline with a tolerance for the way between stops and one for the rounds, mm.
func edge(pieces []Piece, stretches [][]plane.Placement, way, round float64) [][]plane.Vec {
	var hulls [][]plane.Vec
	for _, at := range stretches {
		for _, p := range pieces {
			hulls = p.passes(hulls, at, p.stops(at, way), way, func(i int) []Convex { return p.standing(at[i], round) })
		}
	}
	return Union(hulls)
}

// passes adds sets of points whose hulls are what the piece passes over between each two neighbouring stops, at each of which it is the
// polygons that standing makes.
func (p Piece) passes(hulls [][]plane.Vec, at []plane.Placement, stops []int, way float64, standing func(i int) []Convex) [][]plane.Vec {
	var before []Convex
	for k, s := range stops {
		now := standing(s)
		for i := range now {
			switch {
			case k > 0 && len(before[i])+len(now[i]) == 0: // a sector that the piece does not reach into
			case k > 0:
				hulls = between(hulls, before[i], now[i], at[stops[k-1]], at[s], way)
			case len(stops) == 1:
				hulls = append(hulls, now[i])
			}
		}
		before = now
	}
	return hulls
}

// standing returns the piece at a placement: one polygon, or with a bite one for each sector about it, cut off at the
// bite's chord.
func (p Piece) standing(at plane.Placement, round float64) []Convex {
	whole := Hull(p.corners(nil, at, round))
	if !(p.Bite.R > 0) {
		return []Convex{whole}
	}
	return p.bitten(whole, at, round, func(plane.Vec, plane.Vec) float64 { return 0 })
}

// bitten cuts a polygon into sectors about the bite, each cut off at its chord, less by what the edge of the bite may come inward there.
// The sectors turn with the part, so that each is the same metal at every stop: the end of a bent strip would otherwise be
// in one sector before and in the next one now, and nothing would cover its way between. Those of a ring alone keep their
// headings in the frame: it stays the same polygons where it turns about its own centre.
func (p Piece) bitten(whole Convex, at plane.Placement, round float64, inward func(edge, heading plane.Vec) float64) []Convex {
	c := at.Out(p.Bite.C)
	n := sides(p.Bite.R, round)
	chord := p.Bite.R * (1 + math.Cos(math.Pi/float64(n))) / 2
	out := make([]Convex, n)
	var left, sector Convex
	first := at.Dir
	if p.ring() {
		first = plane.Fixed.Dir
	}
	b := first
	for i := range n {
		a := b
		b = first.Times(plane.Polar(2 * math.Pi * float64(i+1) / float64(n)))
		left = half(left[:0], whole, plane.Placement{Origin: c, Dir: a})
		sector = half(sector[:0], left, plane.Placement{Origin: c, Dir: b.Scale(-1)})
		if len(sector) == 0 {
			continue
		}
		mid := a.Add(b).Unit()
		open := max(0, chord-inward(c.Add(mid.Scale(p.Bite.R)), mid.Scale(-1)))
		out[i] = half(nil, sector, plane.Placement{Origin: c.Add(mid.Scale(open)), Dir: mid.Turned().Scale(-1)})
	}
	return out
}

// ring reports whether the piece is a disc with its bite about the same centre.
func (p Piece) ring() bool {
	return len(p.Marks) == 1 && p.Marks[0].Sweep >= 2*math.Pi && p.Marks[0].C == p.Bite.C
}

// between adds the points of a polygon at two places, in two halves where it turns about a place in its middle: the hull of
// both as a whole would then reach outside the two sectors that it passes over.
func between(hulls [][]plane.Vec, before, now Convex, a, b plane.Placement, way float64) [][]plane.Vec {
	cut, ok := waist(before, a, b, way)
	if !ok {
		return append(hulls, slices.Concat(before, now))
	}
	other := plane.Placement{Origin: b.Out(a.In(cut.Origin)), Dir: cut.Dir.Against(a.Dir).Times(b.Dir)}
	for range 2 {
		hulls = append(hulls, half(half(nil, before, cut), now, other))
		cut.Dir, other.Dir = cut.Dir.Scale(-1), other.Dir.Scale(-1)
	}
	return hulls
}

// waist finds where to cut a piece that goes from a to b: square across the edge on which the centre of the turn lies
// inmost, if the hull of both positions would reach beyond what is passed over by more than tol there. A straight edge
// that turns by φ about a place at s and l − s from its ends does by φ·s(l − s)/l.
func waist(at Convex, a, b plane.Placement, tol float64) (cut plane.Placement, ok bool) {
	turn := a.Dir.Sub(b.Dir)
	if turn.Len() < 1e-9 {
		return cut, false
	}
	pole := a.Out(b.Origin.Sub(a.Origin).Against(turn).Scale(1 / turn.Dot(turn)))
	worst := tol
	for i, q := range at {
		p := at[(i+len(at)-1)%len(at)]
		along, to := q.Sub(p), pole.Sub(p)
		if s := along.Dot(to); !(s > 0 && s < along.Dot(along)) {
			continue
		}
		l, u := along.Len(), along.Unit()
		if s := u.Dot(to); turn.Len()*s*(l-s)/l > worst {
			worst = turn.Len() * s * (l - s) / l
			cut, ok = plane.Placement{Origin: p.Add(u.Scale(s)), Dir: u.Turned()}, true
		}
	}
	return cut, ok
}

// half adds to v what of the polygon lies to the left of the line through cut's origin along its direction.
func half(v, p Convex, cut plane.Placement) Convex {
	v = slices.Grow(v, len(p)+2)
	for i, b := range p {
		a := p[(i+len(p)-1)%len(p)]
		from, to := cut.Dir.Cross(a.Sub(cut.Origin)), cut.Dir.Cross(b.Sub(cut.Origin))
		if (from < 0) != (to < 0) {
			v = append(v, a.Add(b.Sub(a).Scale(from/(from-to))))
		}
		if to >= 0 {
			v = append(v, b)
		}
	}
	return v
}

// corners adds the corners of the piece at a placement. A round is given by corners at fixed headings in the frame, so
// that a disc that turns about its own centre keeps the same corners and adds no edges. They stand so far outside the
// round that a disc's mean width is kept, and with it the area that it sweeps.
func (p Piece) corners(v []plane.Vec, at plane.Placement, tol float64) []plane.Vec {
	for _, m := range p.Marks {
		c := at.Out(m.C)
		if !(m.R > 0) {
			v = append(v, c)
			continue
		}
		n := sides(m.R, tol)
		step := 2 * math.Pi / float64(n)
		from := m.From + math.Atan2(at.Dir.Y, at.Dir.X)
		first, last := 0, n-1
		if m.Sweep < 2*math.Pi {
			first, last = int(math.Ceil(from/step)), int(math.Floor((from+m.Sweep)/step))
		}
		r := m.R * step / 2 / math.Sin(step/2)
		for i := first; i <= last && i-first <= n; i++ {
			v = append(v, c.Add(plane.Polar(step*float64(i)).Scale(r)))
		}
	}
	return v
}

// sides is how many corners stand for a round of radius r: a multiple of 8, so that the extremes along x and y and the
// slants are corners, at most 4096.
func sides(r, tol float64) int {
	n := 8.0
	if c := 1 - tol/r; c > -1 && c < 1 {
		n = math.Pi / math.Acos(c)
	}
	return 8 * int(max(1, min(512, math.Ceil(n/8))))
}

// Hull returns the least convex polygon round the points, anticlockwise, without corners that lie on its edges. The
// points are put in another order.
func Hull(v []plane.Vec) Convex {
	v = across(v)
	h := make(Convex, 0, len(v)/2+4)
	chain := func(from int, q plane.Vec) {
		for len(h) >= from+2 && h[len(h)-1].Sub(h[len(h)-2]).Cross(q.Sub(h[len(h)-2])) <= 0 {
			h = h[:len(h)-1]
		}
		h = append(h, q)
	}
	for _, q := range v {
		chain(0, q)
	}
	if len(h) < 2 {
		return h
	}
	h = h[:len(h)-1]
	from := len(h)
	for _, q := range slices.Backward(v) {
		chain(from, q)
	}
	return h[:len(h)-1]
}
