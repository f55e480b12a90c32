package outline

import (
	"math"

	"barover/solver/plane"
)

// samePlace is the distance within which two ends, centres or radii of edges count as one when edges are joined, mm: a
// hundredth of the finest readout's step.
const samePlace = 1e-6

// Straight returns the straight edge from a to b.
func Straight(a, b plane.Vec) Edge { return straight(a, b, -1) }

// Arc returns the edge from a to b about c that sweeps by turn, rad: anticlockwise where turn is above zero.
func Arc(a, b, c plane.Vec, turn float64) Edge { return arc(a, b, c, a.Sub(c).Len(), turn, -1) }

// Between returns the piece of the edge between two shares of the way from A to B.
func (e *Edge) Between(s, t float64) Edge { return e.part(s, t, e.At(s), e.At(t)) }

// Shifted returns the edge moved by a distance.
func (e *Edge) Shifted(by plane.Vec) Edge {
	return e.moved(plane.Placement{Origin: by, Dir: plane.Vec{X: 1}})
}

// Whole reports whether the edge is a whole circle.
func (e *Edge) Whole() bool { return e.R != 0 && math.Abs(e.Turn) > 2*math.Pi-1e-6 }

// GoesOn reports whether f is on the same line or circle as e, in the same direction.
func (e *Edge) GoesOn(f *Edge) bool {
	if (e.R == 0) != (f.R == 0) {
		return false
	}
	if e.R == 0 {
		u, v := e.B.Sub(e.A), f.B.Sub(f.A)
		return u.Dot(v) > 0 && math.Abs(u.Cross(f.B.Sub(e.A))) <= samePlace*u.Len() && math.Abs(v.Cross(e.A.Sub(f.B))) <= samePlace*v.Len()
	}
	return e.Turn*f.Turn > 0 && e.C.Sub(f.C).Len() <= samePlace && math.Abs(e.R-f.R) <= samePlace && math.Abs(e.Turn+f.Turn) <= 2*math.Pi+1e-9
}

// Joined returns e with f, which continues it, as one edge.
func (e *Edge) Joined(f *Edge) Edge {
	if e.R == 0 {
		return straight(e.A, f.B, e.Line)
	}
	turn, end := e.Turn+f.Turn, f.B
	if math.Abs(turn) > 2*math.Pi-1e-6 {
		turn, end = math.Copysign(2*math.Pi, turn), e.A
	}
	return arc(e.A, end, e.C, e.R, turn, e.Line)
}

// Joined returns a closed loop in which edges that continue one another are one. A circle is a single edge.
func Joined(loop []Edge) (out []Edge) {
	for i := range loop {
		if n := len(out); n > 0 && out[n-1].GoesOn(&loop[i]) {
			out[n-1] = out[n-1].Joined(&loop[i])
		} else {
			out = append(out, loop[i])
		}
	}
	if n := len(out); n > 1 && out[n-1].GoesOn(&out[0]) {
		out[0] = out[n-1].Joined(&out[0])
		out = out[:n-1]
	}
	return out
}

// Hollow reports whether the material lies outside a closed loop.
func Hollow(loop []Edge) bool { return area(loop) < 0 }
