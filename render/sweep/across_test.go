package sweep

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"testing"

	"barover/solver/plane"
)

// TestAcross compares the order of points to that of the standard library: of none and one, of any, of many on few places, and of the corners
// of polygons one after the other.
func TestAcross(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for n := range 400 {
		var v []plane.Vec
		for len(v) < n/4 {
			switch c := (plane.Vec{X: 10 * rng.Float64(), Y: 10 * rng.Float64()}); n % 4 {
			case 0:
				v = append(v, c)
			case 1:
				v = append(v, plane.Vec{X: float64(rng.IntN(4)), Y: float64(rng.IntN(4))})
			default:
				from, sides := 6*rng.Float64(), 3+rng.IntN(20)
				for i := range sides {
					v = append(v, c.Add(plane.Polar(from+6.28*float64(i)/float64(sides))))
				}
			}
		}
		want := slices.Clone(v)
		slices.SortFunc(want, func(a, b plane.Vec) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
		if got := across(v); !slices.Equal(got, want) {
			t.Fatalf("%d: got %v, want %v", n, got, want)
		}
	}
}
