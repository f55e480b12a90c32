package drawing

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"barover/solver/plane"
)

// TestPapers: sizes of ISO 216.
func TestPapers(t *testing.T) {
	want := map[string][2]float64{"A0": {841, 1189}, "A1": {594, 841}, "A2": {420, 594}, "A3": {297, 420}, "A4": {210, 297}}
	for name, size := range want {
		p, ok := PaperNamed(name, false)
		if got := [2]float64{p.Wide, p.High}; !ok || got != size {
			t.Errorf("%s upright: %v, want %v", name, got, size)
		}
		if p, _ = PaperNamed(name, true); p.Wide != size[1] || p.High != size[0] {
			t.Errorf("%s on its side: %v", name, p)
		}
	}
	if _, ok := PaperNamed("A5", false); ok {
		t.Error("A5 is no paper of the language")
	}
}

// TestScales: the recommended scales of ISO 5455:1979, each written as the standard does, and those it does not recommend.
func TestScales(t *testing.T) {
	written := map[string]bool{}
	last := math.Inf(1)
	for _, s := range Scales {
		written[s.String()] = true
		if s.K() >= last {
			t.Errorf("%v does not stand below %v", s, last)
		}
		last = s.K()
	}
	for _, s := range []string{"50:1", "20:1", "10:1", "5:1", "2:1", "1:1", "1:2", "1:5", "1:10", "1:20", "1:50", "1:100", "1:200",
		"1:500", "1:1000", "1:2000", "1:5000", "1:10000"} {
		if !written[s] {
			t.Errorf("%s is missing", s)
		}
	}
	for _, s := range []string{"1:2.5", "1:3", "1:4", "3:1"} {
		if written[s] {
			t.Errorf("%s is not recommended", s)
		}
	}
}

func TestLargest(t *testing.T) {
	for _, c := range []struct {
		wide, high float64
		want       string
		ok         bool
	}{
		{240, 100, "1:1", true}, {240.0001, 100, "1:1", true}, {241, 100, "1:2", true}, {100, 161, "1:2", true},
		{48, 10, "5:1", true}, {49, 10, "2:1", true}, {1e5, 1, "1:500", true}, {0.01, 0.01, "5000:1", true}, {1e12, 1, "1:1000000", false},
		{math.NaN(), 1, "1:1000000", false},
	} {
		s, ok := Largest(c.wide, c.high, 240, 160)
		if s.String() != c.want || ok != c.ok {
			t.Errorf("%v × %v: %v %v, want %v %v", c.wide, c.high, s, ok, c.want, c.ok)
		}
	}
}

// TestDashes: elements of ISO 128-2 table 3 at a width of 0.25.
func TestDashes(t *testing.T) {
	for line, want := range map[LineType][]float64{
		Continuous: nil, Dashed: {3, 0.75}, LongDashShortDash: {6, 0.75, 1.5, 0.75}, LongDashTwoShortDash: {6, 0.75, 1.5, 0.75, 1.5, 0.75},
		LongDashDot: {6, 0.75, 0.125, 0.75}, Dotted: {0.125, 0.75},
		DashedSpaced: {3, 4.5}, DashDot: {3, 0.75, 0.125, 0.75},
	} {
		if d := cmp.Diff(want, line.Dashes(0.25)); d != "" {
			t.Errorf("line type %02d: %s", line, d)
		}
	}
}

func TestNumbers(t *testing.T) {
	for _, c := range []struct {
		v        float64
		decimals int
		want     string
	}{
		{1, 3, "1"}, {1.5, 3, "1.5"}, {-0.0001, 3, "0"}, {0.12345, 3, "0.123"}, {100, 0, "100"}, {-2.5, 1, "-2.5"},
		{math.NaN(), 3, "0"}, {math.Inf(1), 3, "0"}, {1e21, 1, "1000000000000000000000"},
	} {
		if got := string(AppendNumber(nil, c.v, c.decimals)); got != c.want {
			t.Errorf("%v with %d decimals: %q, want %q", c.v, c.decimals, got, c.want)
		}
	}
}

// TestFlatStaysNear: chords leave a circle by no more than was allowed, and nearly by that.
func TestFlatStaysNear(t *testing.T) {
	for _, r := range []float64{0.1, 3, 100, 1000} {
		for _, tol := range []float64{0.001, 0.02, 0.1} {
			runs, closed := Circle(plane.Vec{X: 5, Y: -3}, r).Flat(tol)
			if len(runs) != 1 || !closed[0] {
				t.Fatalf("radius %v: %d runs", r, len(runs))
			}
			worst := 0.0
			for i, b := range runs[0] {
				a := runs[0][(i+len(runs[0])-1)%len(runs[0])]
				worst = max(worst, r-a.Add(b).Scale(0.5).Sub(plane.Vec{X: 5, Y: -3}).Len())
			}
			if !(worst <= tol*1.0001) && len(runs[0]) < 720 {
				t.Errorf("radius %v: a chord leaves it by %v, allowed %v", r, worst, tol)
			}
		}
	}
}

func TestBoundsOfArcs(t *testing.T) {
	quarter := Arc(plane.Vec{}, 10, math.Pi/4, math.Pi/2) // over the top
	b := quarter.Bounds()
	s := 10 * math.Sqrt2 / 2
	for _, c := range [][2]float64{{b.Max.Y, 10}, {b.Min.X, -s}, {b.Max.X, s}, {b.Min.Y, s}} {
		if math.Abs(c[0]-c[1]) > 1e-12 {
			t.Errorf("bounds %v: %v, want %v", b, c[0], c[1])
		}
	}
	back := Arc(plane.Vec{}, 10, 3*math.Pi/4, -math.Pi/2).Bounds()
	if math.Abs(back.Max.Y-10) > 1e-12 {
		t.Errorf("the other way round: %v", back)
	}
}

// TestHatchOverlap: two squares of 10 that share 2 × 10 are hatched there alone.
func TestHatchOverlap(t *testing.T) {
	square := func(x float64) [][]plane.Vec {
		return [][]plane.Vec{{{X: x}, {X: x + 10}, {X: x + 10, Y: 10}, {X: x, Y: 10}}}
	}
	p := Hatch(math.Pi/4, 1, square(0), square(8))
	if len(p) == 0 {
		t.Fatal("nothing hatched")
	}
	b := p.Bounds()
	if b.Min.X < 8-1e-9 || b.Max.X > 10+1e-9 || b.Min.Y < -1e-9 || b.Max.Y > 10+1e-9 {
		t.Errorf("hatched over %v", b)
	}
	if p := Hatch(math.Pi/4, 1, square(0), square(20)); len(p) != 0 {
		t.Errorf("squares that lie apart are hatched: %v", p)
	}
	if p := Hatch(math.Pi/4, 1, square(0), square(9.999)); len(p) == 0 {
		t.Error("an overlap of a thousandth goes unseen")
	}
	ring := append(square(0), []plane.Vec{{X: 2, Y: 2}, {X: 8, Y: 2}, {X: 8, Y: 8}, {X: 2, Y: 8}})
	for _, s := range Hatch(0, 1, ring) {
		if s.Op == LineTo && math.Abs(s.To.X-5) < 2.9 && math.Abs(s.To.Y-5) < 2.9 {
			t.Errorf("the hole is hatched to %v", s.To)
		}
	}
}

func TestCut(t *testing.T) {
	box := Box{plane.Vec{}, plane.Vec{X: 10, Y: 10}}
	p := box.Cut([][]plane.Vec{{{X: -5, Y: 5}, {X: 15, Y: 5}, {X: 15, Y: 20}, {X: 5, Y: 20}, {X: 5, Y: -1}}}, []bool{false})
	want := Path{{Op: MoveTo, To: plane.Vec{Y: 5}}, {Op: LineTo, To: plane.Vec{X: 10, Y: 5}},
		{Op: MoveTo, To: plane.Vec{X: 5, Y: 10}}, {Op: LineTo, To: plane.Vec{X: 5}}}
	if d := cmp.Diff(want, p); d != "" {
		t.Error(d)
	}
	area := box.Clip([][]plane.Vec{{{X: -5, Y: -5}, {X: 5, Y: -5}, {X: 5, Y: 5}, {X: -5, Y: 5}}})
	if b := Polyline(area[0], true).Bounds(); len(area) != 1 || b.Min != (plane.Vec{}) || b.Max != (plane.Vec{X: 5, Y: 5}) {
		t.Errorf("clipped to %v", area)
	}
}

func TestSimplify(t *testing.T) {
	var run []plane.Vec
	for i := range 101 {
		run = append(run, plane.Vec{X: float64(i), Y: 0.001 * float64(i%2)})
	}
	run = append(run, plane.Vec{X: 100, Y: 50}, plane.Vec{Y: 50})
	got := Simplify(run, true, 0.01)
	if len(got) != 4 {
		t.Errorf("%d corners of a rectangle: %v", len(got), got)
	}
	if got := Simplify(run[:101], false, 0.01); len(got) != 2 {
		t.Errorf("%d ends of a line", len(got))
	}
}

func TestWrapAndFit(t *testing.T) {
	s := &TextStyle{Height: 2.5}
	text := "Ideal rigid geometry. Turn the engine by hand, no steam or air, before power."
	lines := s.Wrap(text, 60)
	joined := ""
	for _, l := range lines {
		if s.Width(l) > 60 {
			t.Errorf("%q is %v mm long", l, s.Width(l))
		}
		joined += l + " "
	}
	if joined != text+" " || len(lines) < 2 {
		t.Errorf("wrapped to %q", lines)
	}
	if f := s.Fit(text, 30); s.Width(f) > 30 || f == "" {
		t.Errorf("fitted to %q, %v mm", f, s.Width(f))
	}
}

// TestUnsoundItemsAreLeftOut: what has a coordinate that is no number, or far off the paper, is not drawn.
func TestUnsoundItemsAreLeftOut(t *testing.T) {
	d := New("", 100, 100)
	line := &Style{Name: "s", Width: 0.5, Line: Continuous}
	o := d.Define(Circle(plane.Vec{}, 5))
	l := d.Layer("a", "a")
	l.Draw(Line(plane.Vec{X: math.NaN()}, plane.Vec{}), line, "")
	l.Draw(Circle(plane.Vec{X: 1e9}, 1), line, "")
	l.Draw(nil, line, "")
	l.Draw(Line(plane.Vec{}, plane.Vec{X: 1}), nil, "")
	l.Place(o, plane.Placement{Dir: plane.Vec{X: math.NaN()}}, line, "")
	l.Place(o+1, plane.Fixed, line, "")
	l.Place(o, plane.Placement{Origin: plane.Vec{X: math.Inf(1)}, Dir: plane.Vec{X: 1}}, line, "")
	l.Write(plane.Vec{Y: math.Inf(-1)}, Start, &TextStyle{Height: 2}, "x")
	l.Write(plane.Vec{}, Start, nil, "x")
	l.Place(o, plane.Fixed, line, "the one that stays")
	if s := d.Sound(l); len(s) != 1 {
		t.Errorf("%d items are drawn: %v", len(s), s)
	}
}
