package clearance

import (
	"math"
	"testing"

	"barover/solver/plane"
	"barover/solver/taylor"
)

// TestStrays turns a part about a place of the other by up to 0.2 rad either way. Its cosine is enclosed by a number alone, of which one end is
// the cosine at the centre. No place of it strays farther than is said, in a closed form.
func TestStrays(t *testing.T) {
	const far, most = 100, 0.2
	sp := taylor.For(1, 1)
	v := newView(sp, (*taylor.Space).Least)
	off := (1 - math.Cos(most)) / 2
	v.poly[2][0], v.rad[2] = 1-off, off
	v.poly[3][1], v.rad[3] = most, most-math.Sin(most) // the sine is the angle, less at most this
	v.poly[1][1], v.rad[1] = -far*most, far*(most-math.Sin(most))
	for k := range v.poly {
		v.tail[k] = taylor.SizeOf(v.poly[k][1:])
	}
	centre := v.centre()
	for _, q := range []plane.Vec{{X: far}, {X: 10}, {X: far, Y: 30}} {
		for k := range 201 {
			angle := most * (float64(k)/100 - 1)
			dir := plane.Polar(angle)
			at := plane.Vec{Y: -far * dir.Y}.Add(q.Times(dir)) // the place (far, 0) goes along the u axis alone
			if went, said := at.Sub(centre.Out(q)).Len(), v.strays(q, 0); went > said {
				t.Fatalf("%v at %.3g rad is %.9g from its place at the centre, said is %.9g", q, angle, went, said)
			}
		}
	}
}
