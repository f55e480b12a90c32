package clearance

import (
	"context"
	"math"
	"testing"

	"barover/solver/linkage"
	"barover/solver/outline"
	"barover/solver/trial"
	"barover/solver/tube"
)

const degree = math.Pi / 180

// rig is a sketch with its tube.
type rig struct {
	s    *trial.Sketch
	l    *linkage.Linkage
	tube *tube.Tube
	over tube.Range
}

func newRig(t testing.TB, s *trial.Sketch, over tube.Range, travel []tube.Range, rest ...float64) *rig {
	t.Helper()
	l, err := s.Link(over.From, rest...)
	if err != nil {
		t.Fatalf("not assembled: %v", err)
	}
	p, err := tube.NewPlan(l.Schedule(), l.Values())
	if err != nil {
		t.Fatal(err)
	}
	ctx := context.Background()
	tb, err := tube.Enclose(ctx, p, tube.Following(ctx, l, over, nil), tube.Ask{Turn: over, Travel: travel, Rest: rest, Size: 180, Tolerance: 1e-3})
	if err != nil {
		t.Fatal(err)
	}
	return &rig{s, l, tb, over}
}

func (r *rig) region(t testing.TB, shapes ...outline.Shape) *outline.Region {
	t.Helper()
	g, err := r.s.Region(shapes...)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// sampled is the least distance over n positions of the turn.
func (r *rig) sampled(t testing.TB, a, b Body, n int, travel ...float64) (least, at float64) {
	t.Helper()
	mo, err := r.l.Follow(context.Background(), travel, r.over.From, r.over.To, degree)
	if err != nil {
		t.Fatal(err)
	}
	least = math.Inf(1)
	var pose linkage.Pose
	for i := 0; i <= n; i++ {
		turn := r.over.From + (r.over.To-r.over.From)*float64(i)/float64(n)
		if mo.At(turn, &pose) > linkage.DeadCentre {
			continue
		}
		if d := outline.Distance(a.Region, pose.Part[a.Part], b.Region, pose.Part[b.Part]).D; d < least {
			least, at = d, turn
		}
	}
	return least, at
}

// sliderCrank is crank 22 and rod 133.35: part 1 the crank, 2 the rod. The axle stands as high as travel 0.
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

func TestRodAndBar(t *testing.T) {
	r := newRig(t, sliderCrank(), tube.Range{From: 0, To: 2 * math.Pi}, []tube.Range{{From: 0, To: 0}}, 0)
	rod := Body{r.region(t, r.s.Strip(0, 0, 133.35, 0, 13, 9, false)), 2}
	bar := Body{r.region(t, r.s.Box(118, 9.5, 180, 14.5), r.s.Box(118, -14.5, 180, -9.5)), 0}
	p := New([]*tube.Tube{r.tube}, 1e-3)
	a := p.Least(context.Background(), rod, bar)
	s, at := r.sampled(t, rod, bar, 3600, 0)
	t.Logf("%+v; sampled %g at %g", a, s, at)
	r = newRig(t, sliderCrank(), tube.Range{From: 0, To: 2 * math.Pi}, []tube.Range{{From: -3, To: 3}}, 0)
	p = New([]*tube.Tube{r.tube}, 1e-3)
	a = p.Least(context.Background(), rod, bar)
	t.Logf("%+v", a)
	for _, h := range []float64{-3, 0, 3, 1} {
		s, at := r.sampled(t, rod, bar, 3600, h)
		t.Log(h, s, at)
	}
}

func TestBelow(t *testing.T) {
	r := newRig(t, sliderCrank(), tube.Range{From: 0, To: 2 * math.Pi}, []tube.Range{{From: -3, To: 3}}, 0)
	rod := Body{r.region(t, r.s.Strip(0, 0, 133.35, 0, 13, 9, false)), 2}
	bar := Body{r.region(t, r.s.Box(118, 9.5, 180, 14.5), r.s.Box(118, -14.5, 180, -9.5)), 0}
	p := New([]*tube.Tube{r.tube}, 1e-3)
	for _, limit := range []float64{0.5, 0.8768, 1, 2} {
		b := p.Below(context.Background(), rod, bar, Place{Travel: []float64{0}}, limit, 1e-3*degree)
		mo, _ := r.l.Follow(context.Background(), []float64{0}, 0, 2*math.Pi, degree)
		var pose linkage.Pose
		at := func(turn float64) float64 {
			mo.At(turn, &pose)
			return outline.Distance(rod.Region, pose.Part[2], bar.Region, pose.Part[0]).D
		}
		t.Log(limit, b.Done)
		for _, s := range b.At {
			t.Log(s.From/degree, s.To/degree, at(s.From), at(s.To))
		}
	}
}
