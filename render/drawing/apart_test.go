package drawing

import (
	"math"
	"testing"

	"barover/solver/plane"
)

// TestLinesBeneathOthers: of a square moved along one of its sides what lies on the other square's lines is left out.
func TestLinesBeneathOthers(t *testing.T) {
	square := func(x, side float64) [][]plane.Vec {
		return [][]plane.Vec{{{X: x}, {X: x + side}, {X: x + side, Y: side}, {X: x, Y: side}}}
	}
	p, whole := Apart(square(0, 20), square(5, 20), 0.35)
	long := 0.0
	at := plane.Vec{}
	for _, s := range p {
		if s.Op == LineTo {
			long += s.To.Sub(at).Len()
		}
		at = s.To
	}
	if whole || math.Abs(long-(20+20+2*5)) > 2*0.5*4 {
		t.Errorf("%v mm are left, whole %v; want the two upright sides and 5 mm of both others", long, whole)
	}
	if p, whole := Apart(square(0, 20), square(0, 20), 0.35); whole || len(p) != 0 {
		t.Errorf("of the same square %v is left", p)
	}
	if _, whole := Apart(square(0, 20), square(50, 20), 0.35); !whole {
		t.Error("a square far off hides something")
	}
}
