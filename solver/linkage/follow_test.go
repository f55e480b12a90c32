package linkage

import (
	"math"
	"testing"
)

// TestFollowAHair: a turn shorter than the rounding of a step is followed all the same, to both its ends.
func TestFollowAHair(t *testing.T) {
	for _, wide := range []float64{1e-3, 1e-9, 1e-12, 1e-15, 5e-324} {
		s, crankpin, _ := fourBar(40, 120, 80, 100, 140, 60)
		l := s.assemble(t, 0)
		mo, err := l.Follow(t.Context(), nil, 0, wide*deg, deg)
		if err != nil {
			t.Fatal(err)
		}
		for _, at := range []float64{0, wide * deg} {
			var p Pose
			if st := mo.At(at, &p); st != Solved || math.Abs(p.Point[crankpin].X-40*math.Cos(at)) > 1e-9 {
				t.Errorf("a turn of %g°: %v at %g", wide, st, at)
			}
		}
	}
}
