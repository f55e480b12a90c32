package outline

import (
	"math"

	"barover/solver/plane"
)

// subtended returns the angle, rad, by which the direction from m to a place that goes along the edge turns. Summed over
// closed loops it is 2π times their winding number about m. m must not be on the edge.
func subtended(e *Edge, m plane.Vec) float64 {
	if e.cos == -2 {
		if sq(m.Sub(e.C)) < e.R*e.R {
			return e.Turn
		}
		return 0
	}
	a, b := e.A.Sub(m), e.B.Sub(m)
	c := a.Cross(b)
	if c == 0 {
		c = 0 // no -0, whose atan2 differs
	}
	angle := math.Atan2(c, a.Dot(b))
	if e.R == 0 {
		return angle
	}
	// Between the chord and the arc the direction goes the other way round.
	if sq(m.Sub(e.C)) < e.R*e.R {
		if e.Turn > 0 && c < 0 {
			return angle + 2*math.Pi
		}
		if e.Turn < 0 && c >= 0 {
			return angle - 2*math.Pi
		}
	}
	return angle
}

// grazed is subtended for a place on the edge itself, seen from just left of it.
func grazed(e *Edge, m plane.Vec) float64 {
	a, b := e.A.Sub(m), e.B.Sub(m)
	angle := math.Atan2(a.Cross(b), a.Dot(b))
	if angle <= 0 {
		angle += 2 * math.Pi
	}
	return angle
}

// rounds returns the winding numbers of the loops made up of the edges about the places just left and just right of m. m
// is on an edge with the direction along. Edges within tol of m that run the same way or the other way, to within the
// sine slant, pass through it.
func rounds(edges []Edge, m, along plane.Vec, tol, slant float64) (left, right int) {
	sum, step := 0.0, 0
	for i := range edges {
		e := &edges[i]
		if sq(m.Sub(e.hub)) <= (e.reach+tol)*(e.reach+tol) {
			if p := e.nearest(m); p != e.A && p != e.B && sq(p.Sub(m)) <= tol*tol {
				t := e.Tangent(p)
				if math.Abs(along.Cross(t)) <= slant {
					g := grazed(e, m)
					if along.Dot(t) < 0 {
						g -= 2 * math.Pi // left of along is right of this edge
						step--
					} else {
						step++
					}
					sum += g
					continue
				}
			}
		}
		sum += subtended(e, m)
	}
	left = int(math.Round(sum / (2 * math.Pi)))
	return left, left - step
}
