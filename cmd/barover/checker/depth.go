package checker

import (
	"cmp"
	"math"
	"math/cmplx"
	"slices"
)

// Signed is the distance of two outlines, or less than zero if they overlap. For two hulls of discs that is minus the
// shortest shift that parts them. For others Depth is false: the true depth is not known here, only how far a place of
// one boundary is within the other outline.
type Signed struct {
	D     float64
	Depth bool
}

// signed is the distance of two profiles at a pose.
func (s *Sketch) signed(p *Pose, i, j int) Signed {
	a, b := &s.profiles[i], &s.profiles[j]
	o, d := s.parts[b.part].relative(&s.parts[a.part], p)
	if a.region.convex() && b.region.convex() {
		x, y := &a.region.shapes[0], &b.region.shapes[0]
		return Signed{hullDistance(x.corners, y.corners, o, d) - x.radius - y.radius, true}
	}
	if apart := a.region.apart(b.region, o, d); apart > 0 {
		return Signed{apart, true}
	}
	return Signed{-max(a.region.within(b.region, o, d), b.region.within(a.region, -o/d, 1/d)), false}
}

// relative is the placement of a part in the axes of another.
func (q *part) relative(in *part, p *Pose) (o, d complex128) {
	u := in.direction(p)
	return (q.origin(p) - in.origin(p)) / u, q.direction(p) / u
}

// hullDistance is the distance of the convex hulls of two sets of places, the second placed by o + d·z: that of zero from
// the hull of all differences. Less than zero within it.
func hullDistance(a, b []complex128, o, d complex128) float64 {
	var all []complex128
	for _, z := range b {
		for _, w := range a {
			all = append(all, o+d*z-w)
		}
	}
	hull := convexHull(all)
	if len(hull) == 1 {
		return cmplx.Abs(hull[0])
	}
	out, within := math.Inf(1), math.Inf(1)
	inside := len(hull) > 2
	for i := range hull {
		e := line(hull[i], hull[(i+1)%len(hull)])
		side := cross(e.b-e.a, -e.a) / cmplx.Abs(e.b-e.a)
		inside = inside && side > 0
		within = min(within, side)
		out = min(out, e.nearest(0))
	}
	if inside {
		return -within
	}
	return out
}

// convexHull is the corners of the convex hull, anticlockwise (Andrew's monotone chain).
func convexHull(p []complex128) []complex128 {
	slices.SortFunc(p, func(a, b complex128) int { return cmp.Or(cmp.Compare(real(a), real(b)), cmp.Compare(imag(a), imag(b))) })
	p = slices.Compact(p)
	if len(p) < 3 {
		return p
	}
	half := func(p []complex128) (out []complex128) {
		for _, z := range p {
			for len(out) > 1 && cross(out[len(out)-1]-out[len(out)-2], z-out[len(out)-1]) <= 0 {
				out = out[:len(out)-1]
			}
			out = append(out, z)
		}
		return out[:len(out)-1]
	}
	lower := half(p)
	slices.Reverse(p)
	return append(lower, half(p)...)
}
