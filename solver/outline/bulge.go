package outline

import (
	"math"
	"slices"

	"barover/solver/plane"
)

// convex reports whether a loop turns left throughout, to within tol.
func convex(loop []Edge, tol float64) bool {
	last := &loop[len(loop)-1]
	for i := range loop {
		e := &loop[i]
		if e.Turn < 0 || inward(last, e, tol) {
			return false
		}
		last = e
	}
	return area(loop) > 0
}

// inward reports whether the boundary turns right from the end of e into f, by so much that a thread drawn tight round
// the outside would leave the corner by more than tol.
func inward(e, f *Edge, tol float64) bool {
	if e == f {
		return false
	}
	turn := turning(e, f)
	return turn < -math.Pi/2 || turn < -level && -turn*math.Min(taut(e, -turn), taut(f, -turn)) > tol
}

// turning returns the angle by which the boundary turns left from the end of e into f, rad.
func turning(e, f *Edge) float64 {
	in, on := e.Tangent(e.B), f.Tangent(f.A)
	return math.Atan2(in.Cross(on), in.Dot(on))
}

// taut returns how far from a corner that turns inward by the angle turn a thread would leave e: over the whole of a
// straight line, but only a little way along an arc.
func taut(e *Edge, turn float64) float64 {
	if e.Turn > 0 {
		return math.Min(e.Length(), e.R*turn/2)
	}
	return e.Length()
}

// tight takes a loop that is convex to within a tolerance, and removes the small turns inward that it still has, as a
// thread drawn tight round it would. Otherwise those turns would count as edges with a direction of their own.
func tight(loop []Edge) []Edge {
	out := slices.Clone(loop)
	for k, tries := 0, 0; k < len(out) && len(out) > 2 && tries < 4*len(loop); tries++ {
		e, f := &out[before(k, len(out))], &out[k]
		if turning(e, f) < -roundoff && (e.R == 0 || f.R == 0) {
			if next, ok := tightened(out, k); ok {
				out = next
				k = max(0, k-2) // the corners on either side may turn inward now
				continue
			}
		}
		k++
	}
	return out
}

// tightened draws the thread tight at the corner where edge i begins; one of the two edges there is straight. It reports
// false if nothing but rounding is left to draw tight.
func tightened(loop []Edge, i int) ([]Edge, bool) {
	n := len(loop)
	e, f := &loop[before(i, n)], &loop[i]
	switch {
	case e.R == 0 && f.R == 0:
		*e = straight(e.A, f.B, e.Line)
	case e.R == 0:
		t, ok := tangent(e.A, f, 1)
		if !ok || t <= 0 {
			return loop, false
		}
		if t < 1 {
			*e, *f = straight(e.A, f.At(t), e.Line), f.part(t, 1, f.At(t), f.B)
			return loop, true
		}
		*e = straight(e.A, f.B, e.Line)
	default:
		t, ok := tangent(f.B, e, -1)
		if !ok || t >= 1 {
			return loop, false
		}
		if t > 0 {
			*e, *f = e.part(0, t, e.A, e.At(t)), straight(e.At(t), f.B, f.Line)
			return loop, true
		}
		*e = straight(e.A, f.B, f.Line)
	}
	return slices.Delete(loop, i, i+1), true
}

// tangent returns the share of the arc e at which the straight line from p touches its circle, in the arc's direction
// (way 1), or against it (way -1). It reports false if p is within the circle.
func tangent(p plane.Vec, e *Edge, way float64) (float64, bool) {
	d := p.Sub(e.C)
	l := d.Len()
	if !(l > e.R) {
		return 0, false
	}
	a := math.Acos(e.R / l)
	return e.share(e.C.Add(d.Scale(e.R / l).Times(plane.Polar(way * a)))), true
}
