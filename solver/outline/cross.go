package outline

import (
	"math"

	"barover/solver/plane"
)

// crossings appends the places where two edges meet, to within tol: where they cross or touch, and the ends of either
// that are on the other, so that edges that run along one another are split at their ends.
func crossings(dst []plane.Vec, e, f *Edge, tol float64) []plane.Vec {
	if reach := e.reach + f.reach + tol; sq(e.hub.Sub(f.hub)) > reach*reach {
		return dst
	}
	for _, p := range [2]plane.Vec{e.A, e.B} {
		if near(f, p, tol) {
			dst = append(dst, p)
		}
	}
	for _, p := range [2]plane.Vec{f.A, f.B} {
		if near(e, p, tol) {
			dst = append(dst, p)
		}
	}
	var at [2]plane.Vec
	for _, p := range at[:carriers(&at, e, f, tol)] {
		if near(e, p, tol) && near(f, p, tol) {
			dst = append(dst, p)
		}
	}
	return dst
}

// carriers finds where the whole lines or circles of two edges meet. A distance up to tol (mm) counts as a touch.
func carriers(at *[2]plane.Vec, e, f *Edge, tol float64) int {
	switch {
	case e.R == 0 && f.R == 0:
		return lineLine(at, e, f)
	case e.R == 0:
		return lineCircle(at, e, f, tol)
	case f.R == 0:
		return lineCircle(at, f, e, tol)
	}
	return circleCircle(at, e, f, tol)
}

// near reports whether the place p lies on the edge to within tol.
func near(e *Edge, p plane.Vec, tol float64) bool { return sq(e.nearest(p).Sub(p)) <= tol*tol }

// lineLine finds where two straight lines meet; parallel ones share only ends.
func lineLine(at *[2]plane.Vec, e, f *Edge) int {
	d, g := e.B.Sub(e.A), f.B.Sub(f.A)
	c := d.Cross(g)
	if c == 0 {
		return 0
	}
	at[0] = e.A.Add(d.Scale(f.A.Sub(e.A).Cross(g) / c))
	return 1
}

// lineCircle finds where a straight line meets the circle of an arc; touching within tol is one place.
func lineCircle(at *[2]plane.Vec, e, f *Edge, tol float64) int {
	u := e.B.Sub(e.A).Unit()
	foot := e.A.Add(u.Scale(f.C.Sub(e.A).Dot(u)))
	h := foot.Sub(f.C).Len()
	if math.Abs(h-f.R) <= tol {
		at[0] = foot
		return 1
	}
	if h > f.R {
		return 0
	}
	s := u.Scale(math.Sqrt((f.R - h) * (f.R + h)))
	at[0], at[1] = foot.Add(s), foot.Sub(s)
	return 2
}

// circleCircle finds where the circles of two arcs meet; touching within tol is one place. Equal circles share only the
// ends of the arcs.
func circleCircle(at *[2]plane.Vec, e, f *Edge, tol float64) int {
	d := f.C.Sub(e.C)
	l := d.Len()
	if l <= tol {
		return 0
	}
	u := d.Scale(1 / l)
	switch {
	case math.Abs(l-e.R-f.R) <= tol:
		at[0] = e.C.Add(u.Scale(e.R + (l-e.R-f.R)/2))
		return 1
	case math.Abs(l-math.Abs(e.R-f.R)) <= tol:
		if e.R >= f.R {
			at[0] = e.C.Add(u.Scale(e.R))
		} else {
			at[0] = e.C.Sub(u.Scale(e.R))
		}
		return 1
	case l > e.R+f.R || l < math.Abs(e.R-f.R):
		return 0
	}
	if e.R > f.R { // from the less of the two, or digits are lost where the other is nearly straight
		e, f, u = f, e, u.Scale(-1)
	}
	x := ((l-f.R)*(l+f.R) + e.R*e.R) / (2 * l)
	s := u.Turned().Scale(math.Sqrt(math.Max(0, (e.R-x)*(e.R+x))))
	foot := e.C.Add(u.Scale(x))
	at[0], at[1] = foot.Add(s), foot.Sub(s)
	return 2
}
