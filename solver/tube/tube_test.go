package tube

import (
	"context"
	"math"
	"testing"

	"barover/solver/linkage"
	"barover/solver/trial"
)

// enclosed encloses a sketch over a stretch of the turn with its travels where they are told.
func enclosed(t testing.TB, s *trial.Sketch, over Range, travel []Range, rest ...float64) (*Tube, *linkage.Linkage) {
	t.Helper()
	l, err := s.Link(over.From, rest...)
	if err != nil {
		t.Fatalf("not assembled: %v", err)
	}
	p, err := NewPlan(l.Schedule(), l.Values())
	if err != nil {
		t.Fatal(err)
	}
	ctx := context.Background()
	tube, err := Enclose(ctx, p, Following(ctx, l, over, nil), Ask{Turn: over, Travel: travel, Rest: rest, Size: 180, Tolerance: 1e-3})
	if err != nil {
		t.Fatal(err)
	}
	return tube, l
}

// sliderCrank is crank 22 and rod 133.35, the crosshead on a line through the axle, which stands as high as travel 0.
func sliderCrank() *trial.Sketch {
	s := trial.New(1)
	o := s.Driven(s.Num(0), s.Graph.Travel(0))
	c, x := s.Found(22, 0), s.Found(155.35, 0)
	bore := s.Line(s.Fixed(0, 0), s.Num(0))
	s.Length(o, c, s.Num(22))
	s.Heading(o, c, s.Graph.Turn())
	s.Length(c, x, s.Num(133.35))
	s.Slide(x, bore)
	s.Part(o, c)
	s.Part(c, x)
	return s
}

// fourBar has its crank on the origin and its rocker on (ground, 0); the crank stands at from.
func fourBar(ground, crank, coupler, rocker, from float64) *trial.Sketch {
	s := trial.New(0)
	o, q := s.Fixed(0, 0), s.Fixed(ground, 0)
	ax, ay := crank*math.Cos(from), crank*math.Sin(from)
	d := math.Hypot(ground-ax, ay)
	along := (d*d + coupler*coupler - rocker*rocker) / (2 * d)
	h := math.Sqrt(coupler*coupler - along*along)
	ux, uy := (ground-ax)/d, -ay/d
	a, b := s.Found(ax, ay), s.Found(ax+along*ux-h*uy, ay+along*uy+h*ux)
	s.Length(o, a, s.Num(crank))
	s.Heading(o, a, s.Graph.Turn())
	s.Length(a, b, s.Num(coupler))
	s.Length(q, b, s.Num(rocker))
	s.Part(a, b)
	return s
}

func TestSliderCrank(t *testing.T) {
	tube, _ := enclosed(t, sliderCrank(), Range{0, 2 * math.Pi}, []Range{{0, 0}}, 0)
	t.Logf("%d boxes, gaps %v, closes %v, reached %v, one %v", len(tube.Boxes), tube.Gaps, tube.Closes, tube.Reached, tube.OneBranch)
	tube, _ = enclosed(t, sliderCrank(), Range{0, 2 * math.Pi}, []Range{{-3, 3}}, 0)
	t.Logf("%d boxes, gaps %v, closes %v, reached %v, one %v", len(tube.Boxes), tube.Gaps, tube.Closes, tube.Reached, tube.OneBranch)
	for i := range tube.Boxes {
		t.Log(tube.Boxes[i].Turn, tube.Boxes[i].Travel)
	}
}

func TestToggle(t *testing.T) {
	for _, miss := range []float64{-1, -0.1, -1e-2, -1e-3, -1e-4, -1e-6, 0, 1e-3} {
		tube, _ := enclosed(t, fourBar(100, 40, 80, 60-miss, 30*degree), Range{30 * degree, 390 * degree}, nil)
		t.Logf("%g: %d boxes, gaps %v, closes %v, one %v", miss, len(tube.Boxes), tube.Gaps, tube.Closes, tube.OneBranch)
		for _, g := range tube.Gaps {
			t.Logf("  %.6f to %.6f %v", g.Turn.From/degree, g.Turn.To/degree, g.Cause)
		}
	}
}

func BenchmarkEnclose(b *testing.B) {
	s := fourBar(100, 40, 120, 80, 0)
	l, err := s.Link(0)
	if err != nil {
		b.Fatal(err)
	}
	p, err := NewPlan(l.Schedule(), l.Values())
	if err != nil {
		b.Fatal(err)
	}
	ctx := context.Background()
	over := Range{0, 2 * math.Pi}
	g := Following(ctx, l, over, nil)
	n := 0
	for b.Loop() {
		tube, err := Enclose(ctx, p, g, Ask{Turn: over, Size: 180, Tolerance: 1e-3, Reach: []float64{0, 100}})
		if err != nil || !tube.Whole() {
			b.Fatal(err, tube.Gaps)
		}
		n = len(tube.Boxes)
	}
	b.ReportMetric(float64(n), "boxes")
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/box")
}

func TestAgainstMotion(t *testing.T) {
	for _, miss := range []float64{-1, -1e-3, -1e-6, 0, 1e-3} {
		from := 30 * degree
		over := Range{from, from + 2*math.Pi}
		tube, l := enclosed(t, fourBar(100, 40, 80, 60-miss, from), over, nil)
		mo, err := l.Follow(context.Background(), nil, over.From, over.To, degree)
		if err != nil {
			t.Fatal(err)
		}
		t.Log(miss, mo.Changes(), mo.Spans())
		var pose linkage.Pose
		worst, bad := 0.0, 0
		for i := range 5001 {
			turn := over.From + (over.To-over.From)*float64(i)/5000
			if s := mo.At(turn, &pose); s != linkage.Solved {
				t.Log(turn/degree, s)
				continue
			}
			b := tube.find(turn, nil)
			if b == nil {
				continue
			}
			tau := tube.local(b, turn, nil)
			z := tube.Plan.at(tube.Plan.Schedule.Point[3])
			k := tube.Plan.kept[z.x]
			d := math.Abs(tube.value(b, k, &tau)-pose.Point[3].X) - b.rad[k]
			worst = max(worst, d)
			if d > 1e-8 {
				bad++
				if bad < 5 {
					t.Log(miss, turn/degree, d, b.rad[k])
				}
			}
		}
		t.Log(miss, worst, bad)
	}
}
