package outline

import (
	"math"
	"testing"

	"barover/solver/plane"
)

// TestCircleAndFlatArc: a circle meets a far greater one on their radical line, and on the circle. Theorem: the places of equal power
// to two circles are a line through the places that they share.
func TestCircleAndFlatArc(t *testing.T) {
	const r, high = 12.0, 5.0 // of the circle, and how far the arc's top is above its centre
	for _, flat := range []float64{1e3, 1e5, 3e6, 1e8} {
		for _, at := range []plane.Vec{{}, {X: 40, Y: -30}} {
			small := arc(at.Add(plane.Vec{X: r}), at.Add(plane.Vec{X: r}), at, r, 2*math.Pi, 0)
			c := at.Add(plane.Vec{Y: high - flat})
			big := arc(c.Add(plane.Vec{X: flat}), c.Add(plane.Vec{X: flat}), c, flat, 2*math.Pi, 1)
			for _, two := range [2][2]*Edge{{&small, &big}, {&big, &small}} {
				var x [2]plane.Vec
				if n := circleCircle(&x, two[0], two[1], 0); n != 2 {
					t.Fatalf("radius %g: %d places", flat, n)
				}
				y := (high - (r*r+high*high)/(2*flat)) / (1 - high/flat)
				for _, p := range x {
					p = p.Sub(at)
					if math.Abs(p.Len()-r) > 1e-9 || math.Abs(p.Y-y) > 1e-7 {
						t.Errorf("radius %g: meets at %v, %.3g off the circle; y of the radical line is %.9g", flat, p, p.Len()-r, y)
					}
				}
			}
		}
	}
}
