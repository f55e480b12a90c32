package outline

import (
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver/plane"
)

// What of a piece lies between two headings from its bite's centre lies in the sector between them, and the sector goes into the
// bite by no more than its chord does.
func TestSectorHoldsItsMaterial(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 14))
	tried := 0
	for range 300 {
		bar := newPiece([]Edge{straight(plane.Vec{X: -30, Y: -4}, plane.Vec{X: 30, Y: -4}, 0), straight(plane.Vec{X: 30, Y: -4}, plane.Vec{X: 30, Y: 4}, 1),
			straight(plane.Vec{X: 30, Y: 4}, plane.Vec{X: -30, Y: 4}, 2), straight(plane.Vec{X: -30, Y: 4}, plane.Vec{X: -30, Y: -4}, 3)},
			&Bite{C: plane.Vec{X: 60*rnd.Float64() - 30, Y: 10*rnd.Float64() - 5}, R: 1 + 10*rnd.Float64(), Line: 4})
		from := 2*math.Pi*rnd.Float64() - math.Pi
		wide := math.Pi * rnd.Float64()
		s, some := bar.Sector(from, from+wide)
		for range 50 {
			c := bar.Bite.C
			p := c.Add(plane.Polar(from + wide*rnd.Float64()).Scale(bar.Bite.R + 5*rnd.Float64()*rnd.Float64()))
			if !bar.holds(p, 0) {
				continue
			}
			if tried++; !some || !s.holds(p, 1e-12) {
				t.Fatalf("%v of the bar, bite %v, lies in no sector from %v by %v: %v", p, *bar.Bite, from, wide, s.Loop)
			}
		}
		if some {
			for _, e := range s.Loop {
				if off := e.A.Sub(bar.Bite.C).Len(); off < bar.Bite.R*math.Cos(wide/2)-1e-6 {
					t.Fatalf("the sector goes to %v from the bite's centre, its chord only to %v", off, bar.Bite.R*math.Cos(wide/2))
				}
			}
		}
	}
	if tried < 2000 {
		t.Errorf("only %d places tried", tried)
	}
}
