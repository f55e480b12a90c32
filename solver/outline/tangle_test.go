package outline

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"barover/solver/expr"
	"barover/solver/plane"
)

// TestTangled: what crosses itself is found with its edges and the place, and what only touches itself is not.
func TestTangled(t *testing.T) {
	type path struct {
		x, y float64
		legs []leg
	}
	tests := []struct {
		name string
		path path
		want *Tangle
	}{
		{"square", path{0, 0, []leg{{x: 10}, {x: 10, y: 10}, {y: 10}}}, nil},
		{"square, the other way", path{0, 0, []leg{{y: 10}, {x: 10, y: 10}, {x: 10}}}, nil},
		{"bow tie", path{0, 0, []leg{{x: 50, y: 10}, {x: 50}, {y: 10}}}, &Tangle{0, 2, plane.Vec{X: 25, Y: 5}}},
		{"bow tie that is closed by a line across", path{0, 0, []leg{{x: 50}, {y: 10}, {x: 50, y: 10}}}, &Tangle{1, 3, plane.Vec{X: 25, Y: 5}}},
		{"five-pointed star", path{0, 30, []leg{{x: 17, y: -25}, {x: -28, y: 9}, {x: 28, y: 9}, {x: -17, y: -25}}}, &Tangle{0, 2, plane.Vec{X: 17 * 21. / 55, Y: 9}}},
		{"lobes that touch at a corner", path{0, 0, []leg{{x: 50}, {x: 25, y: 10}, {x: 50, y: 20}, {y: 20}, {x: 25, y: 10}}}, nil},
		{"lobes that cross at a corner", path{0, 0, []leg{{x: 25, y: 10}, {x: 50, y: 20}, {y: 20}, {x: 25, y: 10}, {x: 50}}}, &Tangle{0, 3, plane.Vec{X: 25, Y: 10}}},
		{"a corner that touches an edge", path{0, 0, []leg{{x: 40}, {x: 40, y: 20}, {x: 20, y: 0}, {y: 20}}}, nil},
		{"a corner just through an edge", path{0, 0, []leg{{x: 40}, {x: 40, y: 20}, {x: 20, y: -1}, {y: 20}}}, &Tangle{0, 2, plane.Vec{X: 20 + 20./21, Y: 0}}},
		{"a corner through an edge by less than can be written", path{0, 0, []leg{{x: 40}, {x: 40, y: 20}, {x: 20, y: -0.0003}, {y: 20}}}, nil},
		{"a slot with round ends", path{0, 0, []leg{{x: 40}, {x: 40, y: 10, r: 5}, {x: 0, y: 10}, {x: 0, y: 0, r: 5}}}, nil},
		{"round ends that touch", path{0, 0, []leg{{x: 20, y: 0, r: -10}, {x: 20, y: 20}, {x: 0, y: 20, r: -10}}}, nil},
		{"round ends that overlap by rounding", path{0, 0, []leg{{x: 20, y: 0, r: -10}, {x: 20, y: 19.9996}, {x: 0, y: 19.9996, r: -10}}}, nil},
		{"round ends that run into each other", path{0, 0, []leg{{x: 20, y: 0, r: -10}, {x: 20, y: 16}, {x: 0, y: 16, r: -10}}}, &Tangle{0, 2, plane.Vec{X: 4, Y: 8}}},
		{"there and back on itself in part", path{0, 0, []leg{{x: 30}, {x: 30, y: 10}, {x: 30, y: 30}, {x: 30, y: 10}, {y: 10}}}, nil},
		{"an arc the long way round over its neighbour", path{0, 0, []leg{{x: 30}, {x: 34, y: 6, r: 8, long: true}, {y: 6}}}, nil},
		{"an arc the long way round through the line before it", path{0, 0, []leg{{x: 20}, {x: 20, y: 10, r: -10, long: true}, {x: 0, y: 10}}}, &Tangle{0, 1, plane.Vec{X: 20 - 2*math.Sqrt(75), Y: 0}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			d := &draft{}
			s := d.path(tt.path.x, tt.path.y, tt.path.legs...)
			got, crosses := Tangled(&s, expr.Resolve(&d.Graph, nil))
			switch {
			case crosses != (tt.want != nil):
				t.Errorf("crosses: %v at %+v, want %+v", crosses, got, tt.want)
			case crosses && (got.First != tt.want.First || got.Second != tt.want.Second || got.At.Sub(tt.want.At).Len() > 1e-6):
				t.Errorf("at %+v, want %+v", got, *tt.want)
			}
		})
	}
}

// TestTangledAtRandom: a polygon round a middle does not cross itself, and crosses itself when two of its corners change
// places, for then the edges beside them do.
func TestTangledAtRandom(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(5, 30).Draw(t, "corners")
		size := math.Pow(10, rapid.Float64Range(-2, 4).Draw(t, "size"))
		x, y := rapid.Float64Range(-1000, 1000).Draw(t, "x"), rapid.Float64Range(-1000, 1000).Draw(t, "y")
		corners := make([]plane.Vec, n)
		for i := range corners {
			r := size * rapid.Float64Range(0.5, 1).Draw(t, "r")
			corners[i] = plane.Polar((float64(i) + rapid.Float64Range(0, 0.5).Draw(t, "turn")) * 2 * math.Pi / float64(n)).Scale(r).Add(plane.Vec{X: x, Y: y})
		}
		if rapid.Bool().Draw(t, "clockwise") {
			for i, j := 0, n-1; i < j; i, j = i+1, j-1 {
				corners[i], corners[j] = corners[j], corners[i]
			}
		}
		if at, crosses := tangledPolygon(corners); crosses {
			t.Fatalf("a polygon round a middle crosses itself at %+v", at)
		}
		// On a circle the edge to the corner before and the edge from the corner after cross when the two change places.
		for i := range corners {
			corners[i] = plane.Polar(2 * math.Pi * float64(i) / float64(n)).Scale(size).Add(plane.Vec{X: x, Y: y})
		}
		k := rapid.IntRange(1, n-3).Draw(t, "swapped")
		corners[k], corners[k+1] = corners[k+1], corners[k]
		at, crosses := tangledPolygon(corners)
		if !crosses || at.First != k-1 || at.Second != k+1 {
			t.Fatalf("corners %d and %d have changed places: %v, %+v", k, k+1, crosses, at)
		}
	})
}

func tangledPolygon(corners []plane.Vec) (Tangle, bool) {
	d := &draft{}
	var legs []leg
	for _, c := range corners[1:] {
		legs = append(legs, leg{x: c.X, y: c.Y})
	}
	s := d.path(corners[0].X, corners[0].Y, legs...)
	return Tangled(&s, expr.Resolve(&d.Graph, nil))
}
