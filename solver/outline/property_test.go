package outline

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"barover/solver/expr"
	"barover/solver/plane"
)

// drawShapes draws one to four shapes with numbers of the size of a part, or whole ones.
func drawShapes(t *rapid.T, d *draft) []Shape {
	whole := rapid.Bool().Draw(t, "whole")
	num := func(lo, hi float64, name string) float64 {
		v := rapid.Float64Range(lo, hi).Draw(t, name)
		if whole {
			v = math.Round(v)
		}
		return v
	}
	var shapes []Shape
	for i := range rapid.IntRange(1, 4).Draw(t, "shapes") {
		x, y := num(-20, 20, "x"), num(-20, 20, "y")
		var s Shape
		switch rapid.IntRange(0, 4).Draw(t, "kind") {
		case 0:
			s = d.disc(x, y, num(1, 30, "dia"))
		case 1:
			s = d.strip(x, y, x+num(1, 40, "length"), y+num(-20, 20, "rise"), num(1, 20, "w1"), num(1, 20, "w2"), rapid.Bool().Draw(t, "round"))
		case 2:
			s = d.box(x, y, x+num(1, 40, "wide"), y+num(1, 40, "high"))
		case 3:
			ax, ay, bx, by := num(1, 40, "a"), num(-20, 20, "b"), num(-20, 20, "c"), 20+num(1, 40, "d")
			if math.Abs(ax*by-ay*bx) < 1e-6 {
				bx++ // its corners lie in line
			}
			s = d.polygon(x, y, x+ax, y+ay, x+bx, y+by)
		default:
			w := num(1, 30, "chord")
			r := w/2 + num(0, 20, "more")
			s = d.path(x, y, leg{x + w, y, r, false}, leg{x: x + w, y: y + num(1, 9, "up")}, leg{x: x, y: y + 10})
		}
		s.Hole = i > 0 && rapid.Bool().Draw(t, "hole")
		shapes = append(shapes, s)
	}
	return shapes
}

func drawPlacement(t *rapid.T, name string) plane.Placement {
	r := rapid.Float64Range(-60, 60)
	return placed(r.Draw(t, name+".x"), r.Draw(t, name+".y"), rapid.Float64Range(-7, 7).Draw(t, name+".turn"))
}

// TestProperties: the distance is the same from either side and wherever both stand together; it grows by no more than
// an outline is shifted while they are apart; the two places lie on the boundaries; shapes and area go with it.
func TestProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := &draft{}
		as, bs := drawShapes(t, d), drawShapes(t, d)
		v := expr.Resolve(&d.Graph, nil)
		a, b := made(t, as, v), made(t, bs, v)
		if a == nil || b == nil {
			return
		}
		pa, pb, both := drawPlacement(t, "a"), drawPlacement(t, "b"), drawPlacement(t, "both")
		n := Distance(a, pa, b, pb)
		if l := n.Normal.Len(); !(math.Abs(l-1) < 1e-9) {
			t.Fatalf("normal of length %g", l)
		}
		if m := Distance(b, pb, a, pa); math.Abs(m.D-n.D) > 1e-9 {
			t.Fatalf("%.12g one way, %.12g the other", n.D, m.D)
		}
		together := func(p plane.Placement) plane.Placement {
			return plane.Placement{Origin: both.Out(p.Origin), Dir: p.Dir.Times(both.Dir)}
		}
		if m := Distance(a, together(pa), b, together(pb)); math.Abs(m.D-n.D) > 1e-8 {
			t.Fatalf("%.12g here, %.12g placed together elsewhere", n.D, m.D)
		}
		if n.D > 0 {
			if e := offBoundary(a, pa.In(n.P)) + offBoundary(b, pb.In(n.Q)); e > 1e-9 {
				t.Fatalf("the nearest places lie %g off the boundaries", e)
			}
			shift := plane.Polar(rapid.Float64Range(0, 7).Draw(t, "way")).Scale(n.D / 2)
			pb.Origin = pb.Origin.Add(shift)
			if m := Distance(a, pa, b, pb); math.Abs(m.D-n.D) > n.D/2+1e-9 {
				t.Fatalf("%g, shifted by half of it %g", n.D, m.D)
			}
		}
	})
}

// made makes an outline that may be empty, and then is nil.
func made(t *rapid.T, shapes []Shape, v *expr.Values) *Region {
	r, err := Build(shapes, v)
	if err != nil && err.Error() != nothingLeft {
		t.Fatalf("cannot be made: %v", err)
	}
	return r
}

// offBoundary returns how far the place p lies from the boundary.
func offBoundary(r *Region, p plane.Vec) float64 {
	best := math.Inf(1)
	for i := range r.edges {
		best = math.Min(best, r.edges[i].nearest(p).Sub(p).Len())
	}
	return best
}

// TestUnionArea: the area of a union and of what a hole leaves go together: |A ∪ B| + |A| = |A| + |A| + |B \ A| and so on,
// for random shapes.
func TestUnionArea(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := &draft{}
		as, bs := drawShapes(t, d)[:1], drawShapes(t, d)[:1]
		a, b := as[0], bs[0]
		v := expr.Resolve(&d.Graph, nil)
		area := func(shapes ...Shape) float64 {
			if r := made(t, shapes, v); r != nil {
				return r.Area
			}
			return 0
		}
		one, two := area(a), area(b)
		union, other := area(a, b), area(b, a)
		lessB, lessA := area(a, hole(b)), area(b, hole(a))
		if math.Abs(union-other) > 1e-6 || math.Abs(one+lessA-union) > 1e-6 || math.Abs(two+lessB-union) > 1e-6 {
			t.Fatalf("A %.9g, B %.9g, A∪B %.9g, B∪A %.9g, A less B %.9g, B less A %.9g", one, two, union, other, lessB, lessA)
		}
	})
}
