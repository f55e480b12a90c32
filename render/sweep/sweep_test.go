package sweep

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"barover/solver/plane"
)

// turned returns n+1 placements about the origin from heading a to b.
func turned(a, b float64, n int) (at []plane.Placement) {
	for i := range n + 1 {
		at = append(at, plane.Placement{Dir: plane.Polar(a + (b-a)*float64(i)/float64(n))})
	}
	return at
}

// area returns the area within runs, holes taken off, mm².
func area(runs [][]plane.Vec) float64 {
	sum := 0.0
	for _, run := range runs {
		for i, b := range run {
			sum += run[(i+len(run)-1)%len(run)].Cross(b)
		}
	}
	return sum / 2
}

func rod(x0, y0, x1, y1, r float64) []Piece {
	return []Piece{{Marks: []Mark{Disc(plane.Vec{X: x0, Y: y0}, r), Disc(plane.Vec{X: x1, Y: y1}, r)}}}
}

// TestAreas holds the outline against areas that are known in closed form.
func TestAreas(t *testing.T) {
	slid := []plane.Placement{plane.Fixed, {Origin: plane.Vec{X: 30}, Dir: plane.Vec{X: 1}}}
	var ladder []plane.Placement // a rod of 100 whose ends slide on the axes
	for i := range 4001 {
		a := math.Pi / 2 * float64(i) / 4000
		ladder = append(ladder, plane.Placement{Origin: plane.Vec{X: 100 * math.Cos(a)}, Dir: plane.Polar(math.Pi - a)})
	}
	quarter, whole := turned(0, math.Pi/2, 2000), turned(0, 2*math.Pi, 4000)
	cases := []struct {
		name       string
		pieces     []Piece
		at         []plane.Placement
		want, rel  float64
		runs       int
		way, round float64
		source     string
	}{
		{"rod about its end, quarter turn", rod(0, 0, 50, 0, 0), quarter, math.Pi * 2500 / 4, 1e-6, 1, 1e-5, 1, "quarter disc"},
		{"rod about an outside centre, whole turn", rod(10, -15, 10, 40, 0), whole, math.Pi * (1700 - 100), 1e-3, 2, 1e-3, 1, "ring"},
		{"round bar about its middle", rod(-40, 0, 40, 0, 6), turned(0, math.Pi, 2000), math.Pi * 46 * 46, 1e-6, 1, 1e-5, 3e-4, "disc"},
		{"round bar about one end", rod(0, 0, 80, 0, 6), whole, math.Pi * 86 * 86, 1e-6, 1, 1e-5, 1e-3, "disc"},
		{"disc slid by 30", rod(0, 0, 0, 0, 7), slid, 420 + 49*math.Pi, 1e-6, 1, 1, 1e-5, "strip and disc"},
		{"ladder", rod(0, 0, 100, 0, 0), ladder, 3 * math.Pi * 1e4 / 32, 1e-3, 1, 1e-3, 1, "area under the astroid"},
	}
	for _, c := range cases {
		runs := edge(c.pieces, [][]plane.Placement{c.at}, c.way, c.round)
		got := area(runs)
		if !(math.Abs(got/c.want-1) <= c.rel) {
			t.Errorf("%s: area %.6f, want %.6f of the %s", c.name, got, c.want, c.source)
		}
		if len(runs) != c.runs {
			t.Errorf("%s: %d runs, want %d", c.name, len(runs), c.runs)
		}
	}
}

// TestBentStripLeavesNoGap swings a bent strip as a coupler goes: at every place of its way its ends and its two arcs lie within what it
// passes over, or no farther from the edge of that than the tolerance.
func TestBentStripLeavesNoGap(t *testing.T) {
	const inner, outer, from, wide, tol = 116.0, 124.0, 1.2, 0.8, 0.05
	on := func(r, share float64) plane.Vec { return plane.Polar(from + wide*share).Scale(r) }
	strip := Piece{Bite: Disc(plane.Vec{}, inner), Marks: []Mark{{R: outer, From: from, Sweep: wide},
		{C: on(outer, 0)}, {C: on(outer, 1)}, {C: on(inner, 0)}, {C: on(inner, 1)}}}
	var way []plane.Placement
	for i := range 721 {
		a := math.Pi * float64(i) / 360
		way = append(way, plane.Placement{Origin: plane.Polar(a).Scale(30), Dir: plane.Polar(0.4 * math.Sin(a+0.7))})
	}
	runs := Outline([]Piece{strip}, [][]plane.Placement{way}, tol)
	worst := 0.0
	for _, at := range way {
		for k := range 41 {
			for _, r := range []float64{inner, (inner + outer) / 2, outer} {
				if v := at.Out(on(r, float64(k)/40)); winding(runs, v) == 0 {
					worst = max(worst, fromEdge(runs, v))
				}
			}
		}
	}
	if worst > tol {
		t.Errorf("a place of the strip lies %.3f mm outside, want %v at most", worst, tol)
	}
}

// fromEdge is how far v lies from the nearest edge of the runs, mm.
func fromEdge(runs [][]plane.Vec, v plane.Vec) float64 {
	least := math.Inf(1)
	for _, run := range runs {
		for i, b := range run {
			a := run[(i+len(run)-1)%len(run)]
			d := b.Sub(a)
			foot := a.Add(d.Scale(max(0, min(1, d.Dot(v.Sub(a))/d.Dot(d)))))
			least = min(least, v.Sub(foot).Len())
		}
	}
	return least
}

// TestUnionHoldsWhatItsPartsHold compares the union with its polygons at places that lie clear of every edge.
func TestUnionHoldsWhatItsPartsHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		coordinate := rapid.OneOf(rapid.Float64Range(0, 20), rapid.Map(rapid.IntRange(0, 20), func(i int) float64 { return float64(i) }))
		var polys, sets [][]plane.Vec // a set in line is no polygon, but may become one on the grid
		for range rapid.IntRange(1, 12).Draw(t, "polygons") {
			var v []plane.Vec
			for range rapid.IntRange(3, 8).Draw(t, "corners") {
				v = append(v, plane.Vec{X: coordinate.Draw(t, "x"), Y: coordinate.Draw(t, "y")})
			}
			sets = append(sets, v)
			if h := Hull(slices.Clone(v)); len(h) > 1 {
				polys = append(polys, h)
			}
		}
		runs := Union(sets)
		for range 40 {
			v := plane.Vec{X: rapid.Float64Range(-1, 21).Draw(t, "px"), Y: rapid.Float64Range(-1, 21).Draw(t, "py")}
			want, clear := false, true
			for _, p := range polys {
				want = want || inside(p, v) > 0
				clear = clear && fromEdge([][]plane.Vec{p}, v) > 0.01
			}
			if got := winding(runs, v) != 0; clear && got != want {
				t.Fatalf("%v of %v: in the union %v, in a polygon %v; runs %v", v, polys, got, want, runs)
			}
		}
	})
}

// inside is how far v lies within p, mm; negative outside.
func inside(p Convex, v plane.Vec) float64 {
	d := math.Inf(1)
	for i, b := range p {
		a := p[(i+len(p)-1)%len(p)]
		d = min(d, b.Sub(a).Cross(v.Sub(a))/b.Sub(a).Len())
	}
	return d
}

// winding counts how often the runs go round v.
func winding(runs [][]plane.Vec, v plane.Vec) (n int) {
	for _, run := range runs {
		for i, b := range run {
			a := run[(i+len(run)-1)%len(run)]
			switch side := b.Sub(a).Cross(v.Sub(a)); {
			case a.Y <= v.Y && b.Y > v.Y && side > 0:
				n++
			case a.Y > v.Y && b.Y <= v.Y && side < 0:
				n--
			}
		}
	}
	return n
}

// TestOddParts: nothing, a point, numbers that are none.
func TestOddParts(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		pieces []Piece
		at     []plane.Placement
	}{
		{nil, nil}, {rod(0, 0, 1, 1, 1), nil}, {nil, turned(0, 1, 3)}, {rod(0, 0, 0, 0, 0), turned(0, 1, 3)},
		{rod(nan, 0, 1, 1, 1), turned(0, 1, 3)}, {rod(0, 0, 1, 1, 1), turned(0, nan, 3)},
		{rod(0, 0, math.Inf(1), 1, 1), turned(0, 1, 3)}, {rod(0, 0, 1e300, 1, 1e300), turned(0, 1, 3)},
	} {
		for _, run := range Outline(c.pieces, [][]plane.Placement{c.at}, 0.05) {
			if len(run) < 3 {
				t.Errorf("%v: a run of %d", c.pieces, len(run))
			}
		}
	}
}

// BenchmarkRod sweeps a connecting rod of three pieces over a whole turn at 2°, to 0.05 mm.
func BenchmarkRod(b *testing.B) {
	var at []plane.Placement
	for i := range 181 {
		pin := plane.Polar(math.Pi * float64(i) / 90).Scale(22)
		cross := plane.Vec{X: pin.X + math.Sqrt(133.35*133.35-pin.Y*pin.Y)}
		at = append(at, plane.Placement{Origin: pin, Dir: cross.Sub(pin).Unit()})
	}
	strip := Piece{Marks: []Mark{{C: plane.Vec{Y: 6.5}}, {C: plane.Vec{Y: -6.5}}, {C: plane.Vec{X: 133, Y: 4.5}}, {C: plane.Vec{X: 133, Y: -4.5}}}}
	pieces := []Piece{strip, {Marks: []Mark{Disc(plane.Vec{}, 11)}}, {Marks: []Mark{Disc(plane.Vec{X: 133.35}, 7)}}}
	b.ReportAllocs()
	for b.Loop() {
		if len(Outline(pieces, [][]plane.Placement{at}, 0.05)) == 0 {
			b.Fatal("nothing swept")
		}
	}
}
