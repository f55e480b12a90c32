package sweep

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"barover/solver/expr"
	"barover/solver/outline"
	"barover/solver/plane"
)

// region builds shapes whose sums are plain numbers.
func region(t *testing.T, shapes func(at func(x, y float64) outline.Place, n func(v float64) expr.ID) []outline.Shape) *outline.Region {
	t.Helper()
	g := &expr.Graph{}
	s := shapes(func(x, y float64) outline.Place { return outline.Place{X: g.Const(x), Y: g.Const(y)} }, g.Const)
	r, err := outline.Build(s, expr.Resolve(g, nil))
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestRegions: areas in closed form of what regions with holes and hollows pass over.
func TestRegions(t *testing.T) {
	type place = func(x, y float64) outline.Place
	type number = func(v float64) expr.ID
	ring := region(t, func(at place, n number) []outline.Shape {
		return []outline.Shape{{Kind: outline.Disc, P: [2]outline.Place{at(0, 0)}, W: [2]expr.ID{n(40)}},
			{Kind: outline.Disc, Hole: true, P: [2]outline.Place{at(0, 0)}, W: [2]expr.ID{n(24)}}}
	})
	ell := region(t, func(at place, n number) []outline.Shape {
		return []outline.Shape{{Kind: outline.Box, P: [2]outline.Place{at(0, 0), at(30, 10)}}, {Kind: outline.Box, P: [2]outline.Place{at(0, 0), at(10, 30)}}}
	})
	// A bar of 100 × 20 with a hollow of radius 50 in its lower edge, 5 deep: slid upward by 40 it leaves the hollow free.
	chord := 2 * math.Sqrt(50*50-45*45)
	hollow := region(t, func(at place, n number) []outline.Shape {
		return []outline.Shape{{Kind: outline.Box, P: [2]outline.Place{at(-50, 0), at(50, 20)}},
			{Kind: outline.Disc, Hole: true, P: [2]outline.Place{at(0, -45)}, W: [2]expr.ID{n(100)}}}
	})
	half := math.Asin(chord / 2 / 50)
	segment := 50*50*half - 45*chord/2
	slid := func(x, y float64) []plane.Placement {
		return []plane.Placement{plane.Fixed, {Origin: plane.Vec{X: x, Y: y}, Dir: plane.Vec{X: 1}}}
	}
	for _, c := range []struct {
		name string
		r    *outline.Region
		at   []plane.Placement
		want float64
		runs int
	}{
		{"ring about its own centre", ring, turned(0, 2*math.Pi, 180), math.Pi * (400 - 144), 2},
		{"ring slid so far that its walls cross its hole", ring, slid(100, 0), 40*100 + math.Pi*400, 1},
		{"angle slid along", ell, slid(100, 0), 10*130 + 20*110, 1},
		{"hollow slid away from its hollow", hollow, slid(0, 40), 100*60 - segment, 1},
	} {
		runs := Outline(Of(c.r), [][]plane.Placement{c.at}, 0.01)
		got := area(runs)
		if !(math.Abs(got/c.want-1) < 1e-3) || len(runs) != c.runs {
			t.Errorf("%s: area %.3f in %d runs, want %.3f in %d", c.name, got, len(runs), c.want, c.runs)
		}
	}
}

// TestSweptIsWhatIsPassedOver: a bar with round ends that turns about any place: what lies clearly within the outline is
// passed over at some time, and what is passed over clearly lies within.
func TestSweptIsWhatIsPassedOver(t *testing.T) {
	const tol = 0.05
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.Float64Range(1, 10).Draw(t, "r")
		x0, x1 := rapid.Float64Range(-60, 0).Draw(t, "x0"), rapid.Float64Range(0, 60).Draw(t, "x1")
		y := rapid.Float64Range(-20, 20).Draw(t, "y")
		span := rapid.Float64Range(0.1, 2*math.Pi).Draw(t, "span")
		at := turned(0, span, 1+int(span*90/math.Pi))
		runs := Outline(rod(x0, y, x1, y, r), [][]plane.Placement{at}, tol)
		fine := turned(0, span, 3000)
		for range 20 {
			v := plane.Vec{X: rapid.Float64Range(-80, 80).Draw(t, "vx"), Y: rapid.Float64Range(-80, 80).Draw(t, "vy")}
			within := math.Inf(-1) // how far inside the bar v comes at its best
			for _, p := range fine {
				in := p.In(v)
				d := plane.Vec{X: in.X - max(x0, min(x1, in.X)), Y: in.Y - y}
				within = max(within, r-d.Len())
			}
			swept := winding(runs, v) != 0
			if swept && within < -2*tol {
				t.Fatalf("%v is swept, but never nearer than %v to the bar", v, -within)
			}
			if !swept && within > 2*tol {
				t.Fatalf("%v comes %v inside the bar and is not swept", v, within)
			}
		}
	})
}
