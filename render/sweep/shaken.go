package sweep

import (
	"math"

	"barover/solver/plane"
)

// Play lets a part stand off. To first order, which is all that a picture of a few hundredths shows, each place of the part then goes as
// far off as its shifts take it together.

// Nudge is by how much a part's origin goes off, mm, and the part is turned, rad.
type Nudge struct {
	By   plane.Vec
	Turn float64
}

// Shift is a place in a disc or, where the second is zero, on a line, by which parts stand off: what going to its edge along x and
// along y does to a part.
type Shift [2]Nudge

// Stand is where a part stands, and by which shifts it may stand off there.
type Stand struct {
	plane.Placement
	Shifts []Shift
}

// Shaken is the edge of all that the pieces pass over wherever their part stands in its play, each stretch unbroken motion. tol, mm, is
// how far it may lie from the true one.
func Shaken(pieces []Piece, stretches [][]Stand, tol float64) [][]plane.Vec {
	var hulls [][]plane.Vec
	for _, stands := range stretches {
		at := make([]plane.Placement, len(stands))
		for i := range stands {
			at[i] = stands[i].Placement
		}
		for _, p := range pieces {
			stops := often(p.stops(at, tol/2))
			hulls = p.passes(hulls, at, stops, tol/2, func(i int) []Convex { return p.shaken(&stands[i], tol/2) })
		}
	}
	return Union(hulls)
}

// mostBetween is how many places lie between two stops at most: what play does may change along a straight way.
const mostBetween = 5

// often adds stops where there are few.
func often(stops []int) (out []int) {
	for i, s := range stops {
		if i > 0 {
			for n := stops[i-1] + mostBetween; n < s; n += mostBetween {
				out = append(out, n)
			}
		}
		out = append(out, s)
	}
	return out
}

// shaken is standing, wherever the part stands in its play.
func (p Piece) shaken(s *Stand, round float64) []Convex {
	whole := s.grown(Hull(p.corners(nil, s.Placement, round)))
	if !(p.Bite.R > 0) {
		return []Convex{whole}
	}
	return p.bitten(whole, s.Placement, round, func(edge, heading plane.Vec) float64 { return s.off(edge, heading).Dot(heading) })
}

// headings are those that a corner is taken off along, beside those of its own edges: so many that the outline is nowhere a tenth of
// the play short.
var headings = func() (all [32]plane.Vec) {
	for k := range all {
		all[k] = plane.Polar(2 * math.Pi * float64(k) / float64(len(all)))
	}
	return all
}()

// grown is the hull of a polygon wherever its part stands in its play.
func (s *Stand) grown(v Convex) Convex {
	var out []plane.Vec
	for i, q := range v {
		in, on := q.Sub(v[(i+len(v)-1)%len(v)]), v[(i+1)%len(v)].Sub(q) // anticlockwise: outside is to the right
		for _, n := range []plane.Vec{in.Turned().Unit().Scale(-1), on.Turned().Unit().Scale(-1)} {
			out = append(out, q.Add(s.off(q, n)))
		}
		for _, n := range headings {
			if n.Dot(in) >= 0 && n.Dot(on) <= 0 {
				out = append(out, q.Add(s.off(q, n)))
			}
		}
	}
	return Hull(out)
}

// off is how far a place of the part stands off when it goes as far along a heading as it can.
func (s *Stand) off(at, heading plane.Vec) (by plane.Vec) {
	arm := at.Sub(s.Origin).Turned()
	for i := range s.Shifts {
		x := s.Shifts[i][0].By.Add(arm.Scale(s.Shifts[i][0].Turn))
		y := s.Shifts[i][1].By.Add(arm.Scale(s.Shifts[i][1].Turn))
		u, w := heading.Dot(x), heading.Dot(y)
		if far := math.Hypot(u, w); far > 0 {
			by = by.Add(x.Scale(u / far)).Add(y.Scale(w / far))
		}
	}
	return by
}
