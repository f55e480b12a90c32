package clearance

import (
	"context"
	"math"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"

	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/outline"
	"barover/solver/plane"
	"barover/solver/sums"
	"barover/solver/trial"
	"barover/solver/trial/draws"
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

// exact is the distance at one position.
func (r *rig) exact(t testing.TB, a, b Body, turn float64, travel ...float64) float64 {
	t.Helper()
	mo, err := r.l.Follow(context.Background(), travel, r.over.From, r.over.To, degree)
	if err != nil {
		t.Fatal(err)
	}
	var pose linkage.Pose
	if s := mo.At(turn, &pose); s != linkage.Solved {
		t.Fatalf("%v at %v°", s, turn/degree)
	}
	return outline.Distance(a.Region, pose.Part[a.Part], b.Region, pose.Part[b.Part]).D
}

// within checks that a proved least holds what it is to be, to the tolerance.
func within(t *testing.T, name string, a *Answer, want float64) {
	t.Helper()
	if !a.Done || !(a.Lo <= want+1e-9) || !(a.Hi >= want-1e-9) || !(a.Hi-a.Lo <= 1e-3) {
		t.Errorf("%s: proved [%.6f, %.6f] (done %v, %d parts), want %.6f", name, a.Lo, a.Hi, a.Done, a.Boxes, want)
	}
}

func bars(t testing.TB, r *rig) (rod, bar Body) {
	rod = Body{r.region(t, r.s.Strip(0, 0, 133.35, 0, 13, 9, false)), 2}
	bar = Body{r.region(t, r.s.Box(118, 9.5, 180, 14.5), r.s.Box(118, -14.5, 180, -9.5)), 0}
	return rod, bar
}

// TestRodAndBar proves how near a connecting rod comes to the lips of its bars, at one height of the axle and over all of
// them, against sampling every tenth of a degree refined by golden section.
func TestRodAndBar(t *testing.T) {
	r := newRig(t, trial.SliderCrank(1), whole, []tube.Range{{From: 0, To: 0}}, 0)
	rod, bar := bars(t, r)
	a := New([]*tube.Tube{r.tube}, 1e-3).Least(context.Background(), rod, bar)
	within(t, "axle at rest", &a, r.refined(t, rod, bar, 0))
	rise := newRig(t, trial.SliderCrank(1), whole, []tube.Range{{From: -3, To: 3}}, 0)
	a = New([]*tube.Tube{rise.tube}, 1e-3).Least(context.Background(), rod, bar)
	within(t, "axle up and down", &a, min(r.refined(t, rod, bar, -3), r.refined(t, rod, bar, 3)))
	if math.Abs(math.Abs(a.At.Travel[0])-3) > 1e-9 {
		t.Errorf("worst at the height %v", a.At.Travel)
	}
}

// refined is the least distance, sampled and refined.
func (r *rig) refined(t testing.TB, a, b Body, travel ...float64) float64 {
	_, at := r.sampled(t, a, b, 3600, travel...)
	lo, hi := at-0.2*degree, at+0.2*degree
	for range draws.Of(60) {
		m, n := lo+0.382*(hi-lo), lo+0.618*(hi-lo)
		if r.exact(t, a, b, m, travel...) < r.exact(t, a, b, n, travel...) {
			hi = n
		} else {
			lo = m
		}
	}
	return r.exact(t, a, b, (lo+hi)/2, travel...)
}

// TestRivet has a rivet on the rim of a wheel pass a bracket between two whole degrees. Their circles are nearest where
// they stand in line: 301 - 300 - 0.5 - 0.4 apart.
func TestRivet(t *testing.T) {
	s := trial.New(0)
	o := s.Fixed(0, 0)
	c := s.Found(300, 0)
	s.Length(o, c, s.Num(300))
	s.Heading(o, c, s.Graph.Turn())
	wheel := s.Part(o, c)
	r := newRig(t, s, whole, nil)
	at := 180.497 * degree
	rivet := Body{r.region(t, s.Disc(300, 0, 1)), wheel}
	bracket := Body{r.region(t, s.Disc(301*math.Cos(at), 301*math.Sin(at), 0.8)), 0}
	a := New([]*tube.Tube{r.tube}, 1e-3).Least(context.Background(), rivet, bracket)
	within(t, "rivet", &a, 0.1)
	if math.Abs(a.At.Turn-at) > 0.01*degree {
		t.Errorf("nearest at %v°", a.At.Turn/degree)
	}
	if v, _ := r.sampled(t, rivet, bracket, 360); v < 1 {
		t.Errorf("sampling every degree finds %v: the test is none", v)
	}
}

// TestToggleFoul has the joint of a four-bar that misses its toggle by a hundred-thousandth of a millimetre dip on to a post within
// a fraction of a degree: every degree it clears it.
func TestToggleFoul(t *testing.T) {
	from := 30.5 * degree
	s := trial.New(0)
	o, q := s.Fixed(0, 0), s.Fixed(100, 0)
	p := s.Found(40*math.Cos(from), 40*math.Sin(from))
	joint := s.Found(75, 55)
	s.Length(o, p, s.Num(40))
	s.Heading(o, p, s.Graph.Turn())
	s.Length(p, joint, s.Num(80))
	s.Length(q, joint, s.Num(60.00001))
	coupler := s.Part(p, joint)
	r := newRig(t, s, tube.Range{From: from, To: from + 2*math.Pi}, nil)
	pin := Body{r.region(t, s.Disc(80, 0, 1)), coupler}
	post := Body{r.region(t, s.Disc(40, -3, 2*2.6)), 0}
	v, _ := r.sampled(t, pin, post, 360)
	a := New([]*tube.Tube{r.tube}, 1e-3).Least(context.Background(), pin, post)
	if !(v > 0.01) || !(a.Hi < -0.05) {
		t.Fatalf("sampled every degree %.4f, proved [%.4f, %.4f]", v, a.Lo, a.Hi)
	}
	within(t, "toggle", &a, r.near(t, pin, post, 180*degree, 0.5*degree))
	b := New([]*tube.Tube{r.tube}, 1e-3).Below(context.Background(), pin, post, a.At, 0, 1e-3*degree)
	if len(b.At) != 1 || !b.Done {
		t.Fatalf("fouls %v", b)
	}
	for _, end := range []struct{ at, out float64 }{{b.At[0].From, -1}, {b.At[0].To, 1}} {
		if out := r.exact(t, pin, post, end.at+1e-9*end.out); out < -1e-6 {
			t.Errorf("%.6f° is said to be free, but the distance is %v", end.at/degree, out)
		}
		if in := r.exact(t, pin, post, end.at-2e-3*degree*end.out); in > 0 {
			t.Errorf("the foul is said to reach to %.6f°, but %v off it the distance is %v", end.at/degree, 2e-3, in)
		}
	}
}

// near is the least distance within a stretch about a turn, sampled finely.
func (r *rig) near(t testing.TB, a, b Body, turn, about float64) float64 {
	mo, err := r.l.Follow(context.Background(), nil, r.over.From, r.over.To, degree)
	if err != nil {
		t.Fatal(err)
	}
	least := math.Inf(1)
	var pose linkage.Pose
	for i := range 40001 {
		if mo.At(turn+about*(float64(i)/20000-1), &pose) == linkage.Solved {
			least = min(least, outline.Distance(a.Region, pose.Part[a.Part], b.Region, pose.Part[b.Part]).D)
		}
	}
	return least
}

// TestInteriorHeight has the worst at a height between those that are sampled: a boss on the rod comes to stand upon a pin
// at one turn and one height only.
func TestInteriorHeight(t *testing.T) {
	r := newRig(t, trial.SliderCrank(1), whole, []tube.Range{{From: -3, To: 3}}, 0)
	turn, height := 200.3*degree, 0.9
	c := plane.Vec{X: 22 * math.Cos(turn), Y: height + 22*math.Sin(turn)}
	x := plane.Vec{X: c.X + math.Sqrt(133.35*133.35-c.Y*c.Y)}
	at := c.Add(x.Sub(c).Scale(60 / 133.35))
	boss, pin := Body{r.region(t, r.s.Disc(60, 0, 4)), 2}, Body{r.region(t, r.s.Disc(at.X, at.Y, 2)), 0}
	a := New([]*tube.Tube{r.tube}, 1e-3).Least(context.Background(), boss, pin)
	within(t, "boss", &a, -3)
	if math.Abs(a.At.Turn-turn) > 0.01*degree || math.Abs(a.At.Travel[0]-height) > 0.01 {
		t.Errorf("worst at %.4f°, height %.4f", a.At.Turn/degree, a.At.Travel[0])
	}
	for _, h := range []float64{-3, 0, 3} {
		if v, _ := r.sampled(t, boss, pin, 360, h); v < -2.9 {
			t.Errorf("sampling at the height %v finds %v: the test is none", h, v)
		}
	}
}

// TestBelow checks the ends of stretches on the motion: just outside it is clear, just inside it is not.
func TestBelow(t *testing.T) {
	r := newRig(t, trial.SliderCrank(1), whole, []tube.Range{{From: -3, To: 3}}, 0)
	rod, bar := bars(t, r)
	p := New([]*tube.Tube{r.tube}, 1e-3)
	for _, c := range []struct {
		limit, height float64
		stretches     int
	}{{0.5, 0, 0}, {0.28, 3, 0}, {0.5, 3, 1}, {1, 0, 2}, {2, 0, 2}, {2, -1.25, 2}, {5.5, 0, 1}, {1000, 0, 1}} {
		b := p.Below(context.Background(), rod, bar, tube.Place{Travel: []float64{c.height}}, c.limit, 1e-3*degree)
		if !b.Done || len(b.At) != c.stretches {
			t.Errorf("below %v at height %v: %v", c.limit, c.height, b)
			continue
		}
		for _, s := range b.At {
			if s.From == 0 && s.To == 2*math.Pi {
				continue
			}
			for _, end := range []struct{ at, out float64 }{{s.From, -1}, {s.To, 1}} {
				out := r.exact(t, rod, bar, math.Mod(end.at+1e-9*end.out+2*math.Pi, 2*math.Pi), c.height)
				in := r.exact(t, rod, bar, math.Mod(end.at-2e-3*degree*end.out+2*math.Pi, 2*math.Pi), c.height)
				if out < c.limit-1e-6 || in > c.limit {
					t.Errorf("below %v at height %v: at the end %.6f° %v outside and %v inside", c.limit, c.height, end.at/degree, out, in)
				}
			}
		}
	}
}

// TestCompare settles whether two outlines come to pass each other, and stops as soon as it knows.
func TestCompare(t *testing.T) {
	r := newRig(t, trial.SliderCrank(1), whole, []tube.Range{{From: -3, To: 3}}, 0)
	rod, bar := bars(t, r)
	p := New([]*tube.Tube{r.tube}, 1e-3)
	least := p.Least(context.Background(), rod, bar)
	if a := p.Compare(context.Background(), rod, bar, 0); !(a.Lo >= 0) || a.Boxes > least.Boxes {
		t.Errorf("apart: [%v, %v] after %d, %d for the least", a.Lo, a.Hi, a.Boxes, least.Boxes)
	}
	post := Body{r.region(t, r.s.Box(60, -5, 70, 5)), 0}
	if a := p.Compare(context.Background(), rod, post, 0); !(a.Hi < 0) || a.Boxes > 50 {
		t.Errorf("overlapping: [%v, %v] after %d", a.Lo, a.Hi, a.Boxes)
	}
}

// TestOutOfTime checks that an answer cut short claims no more than it knows.
func TestOutOfTime(t *testing.T) {
	r := newRig(t, trial.SliderCrank(1), whole, []tube.Range{{From: -3, To: 3}}, 0)
	// A rod of many pieces against many bars takes more than one look.
	var shapes []outline.Shape
	for i := range 12 {
		shapes = append(shapes, r.s.Box(40+8*float64(i), 30, 44+8*float64(i), 40))
	}
	rod := Body{r.region(t, append(shapes, r.s.Strip(0, 0, 133.35, 0, 13, 9, false))...), 2}
	_, bar := bars(t, r)
	stopped, stop := context.WithCancel(context.Background())
	stop()
	p := New([]*tube.Tube{r.tube}, 1e-4)
	full := p.Least(context.Background(), rod, bar)
	cut := p.Least(stopped, rod, bar)
	if cut.Done || cut.Lo > full.Hi || !full.Done {
		t.Errorf("cut short [%v, %v] done %v; in full [%v, %v]", cut.Lo, cut.Hi, cut.Done, full.Lo, full.Hi)
	}
	if b := p.Below(stopped, rod, bar, tube.Place{Travel: []float64{0}}, full.Hi+1, 1e-9); b.Done {
		t.Error("stretches are said to be done that were cut short")
	}
}

// TestNothing checks that tubes without a box claim nothing.
func TestNothing(t *testing.T) {
	r := newRig(t, trial.SliderCrank(1), whole, []tube.Range{{From: 0, To: 0}}, 0)
	rod, bar := bars(t, r)
	r.tube.Boxes = nil
	a := New([]*tube.Tube{r.tube}, 1e-3).Least(context.Background(), rod, bar)
	if a.Done || !math.IsInf(a.Lo, -1) || a.Hi < math.Inf(1) {
		t.Errorf("%+v", a)
	}
}

// TestLoose has a second axle coupled by a loose length: what moves with it is not claimed, the rest is.
func TestLoose(t *testing.T) {
	s := trial.SliderCrank(1)
	o := s.Fixed(-120, 0)
	d := s.Found(-98, 0)
	s.Length(o, d, s.Num(22))
	s.Loose(1, d, 120, 0.1)
	axle := s.Part(o, d)
	r := newRig(t, s, whole, []tube.Range{{From: 0, To: 0}}, 0)
	rod, bar := bars(t, r)
	p := New([]*tube.Tube{r.tube}, 1e-3)
	if a := p.Least(context.Background(), rod, bar); !a.Done {
		t.Errorf("rod and bar: [%v, %v]", a.Lo, a.Hi)
	}
	wheel := Body{r.region(t, s.Disc(22, 0, 8)), axle}
	if a := p.Least(context.Background(), wheel, bar); a.Done || !math.IsInf(a.Lo, -1) {
		t.Errorf("a claim about what is loose: [%v, %v]", a.Lo, a.Hi)
	}
	if b := p.Below(context.Background(), wheel, bar, tube.Place{Travel: []float64{0}}, 1, degree); b.Done || len(b.At) != 1 {
		t.Errorf("stretches of what is loose: %v", b)
	}
	if _, err := p.Figure(context.Background(), s.Graph.X(d)); err == nil {
		t.Error("a place that is loose was enclosed")
	}
	if _, err := p.Figure(context.Background(), s.Graph.X(2)); err != nil {
		t.Errorf("the crosshead: %v", err)
	}
}

// TestForks has several goroutines ask the same at once: all must get the same answer.
func TestForks(t *testing.T) {
	s := trial.SliderCrank(1)
	g := s.Graph
	share := g.Div(g.Sub(g.Unary(expr.Greatest, g.X(2)), g.X(2)), g.Unary(expr.Span, g.X(2)))
	r := newRig(t, s, whole, []tube.Range{{From: -3, To: 3}}, 0)
	rod, bar := bars(t, r)
	p := New([]*tube.Tube{r.tube}, 1e-3)
	type answer struct {
		Least Answer
		Most  sums.Answer
	}
	got := make([]answer, 4)
	var wait sync.WaitGroup
	for i := range got {
		wait.Go(func() {
			q := p.Fork()
			got[i].Least = q.Least(context.Background(), rod, bar)
			f, err := q.Figure(context.Background(), share)
			if err != nil {
				t.Error(err)
				return
			}
			got[i].Most = f.Greatest(context.Background(), 1e-4)
		})
	}
	wait.Wait()
	for i := range got {
		if d := cmp.Diff(got[0], got[i]); d != "" {
			t.Errorf("goroutine %d:\n%s", i, d)
		}
	}
}
