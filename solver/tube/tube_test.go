package tube

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/trial"
)

// bench is a sketch to be enclosed.
type bench struct {
	name   string
	s      *trial.Sketch
	over   Range
	travel []Range
	rest   []float64
}

func round(from float64) Range { return Range{from, from + 2*math.Pi} }

// enclose encloses a sketch.
func (b *bench) enclose(t testing.TB) (*Tube, *linkage.Linkage) {
	return b.encloseLosing(t, func(*Plan) {})
}

// encloseLosing encloses a sketch by a proof that is spoilt.
func (b *bench) encloseLosing(t testing.TB, spoil func(*Plan)) (*Tube, *linkage.Linkage) {
	t.Helper()
	l, err := b.s.Link(b.over.From, b.rest...)
	if err != nil {
		t.Fatalf("%s: not assembled: %v", b.name, err)
	}
	p, err := NewPlan(l.Schedule(), l.Values())
	if err != nil {
		t.Fatal(err)
	}
	spoil(p)
	ctx := context.Background()
	tube, err := Enclose(ctx, p, Following(ctx, l, b.over, nil), Ask{Turn: b.over, Travel: b.travel, Rest: b.rest, Size: 180, Tolerance: 1e-3})
	if err != nil {
		t.Fatal(err)
	}
	return tube, l
}

// fourBar has its crank on the origin and its rocker on (ground, 0); the crank stands at from and turns by ratio of the turn.
func fourBar(ground, crank, coupler, rocker, from, ratio float64) *trial.Sketch {
	s := trial.New(0)
	o, q := s.Fixed(0, 0), s.Fixed(ground, 0)
	ax, ay := crank*math.Cos(from*ratio), crank*math.Sin(from*ratio)
	d := math.Hypot(ground-ax, ay)
	along := (d*d + coupler*coupler - rocker*rocker) / (2 * d)
	h := math.Sqrt(coupler*coupler - along*along)
	ux, uy := (ground-ax)/d, -ay/d
	a, b := s.Found(ax, ay), s.Found(ax+along*ux-h*uy, ay+along*uy+h*ux)
	s.Length(o, a, s.Num(crank))
	s.Heading(o, a, s.Graph.Mul(s.Num(ratio), s.Graph.Turn()))
	s.Length(a, b, s.Num(coupler))
	s.Length(q, b, s.Num(rocker))
	s.Part(a, b)
	return s
}

func gear(t testing.TB) *trial.Sketch {
	t.Helper()
	s, _, err := trial.Gear(-7)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func benches(t testing.TB) []bench {
	from := 30 * degree
	still, rise := []Range{{0, 0}}, []Range{{-3, 3}}
	list := []bench{
		{"slider-crank", trial.SliderCrank(1), round(0), still, []float64{0}},
		{"slider-crank at a height", trial.SliderCrank(1), round(1), []Range{{2.5, 2.5}}, []float64{0}},
		{"slider-crank up and down", trial.SliderCrank(1), round(0), rise, []float64{0}},
		{"part of a turn", trial.SliderCrank(1), Range{-0.3, 1.1}, still, []float64{0}},
		{"four-bar", fourBar(100, 40, 120, 80, 0, 1), round(0), nil, nil},
		{"parallelogram", fourBar(100, 40, 100, 40, from, 1), round(from), nil, nil},
		{"gear", gear(t), round(0), still, []float64{0}},
		{"gear up and down", gear(t), round(0), rise, []float64{0}},
		{"two travels", trial.SliderCrank(2), round(0), []Range{{-2, 2}, {-3, 1}}, []float64{0, 0}},
	}
	for _, miss := range []float64{-1, -0.1, -1e-2, -1e-3, -1e-6, 0, 1e-3, 1} {
		list = append(list, bench{fmt.Sprint("toggle missed by ", -miss), fourBar(100, 40, 80, 60-miss, from, 1), round(from), nil, nil})
	}
	return list
}

// TestAgainstMotion puts the motion, position by position, against its tube: every point and direction must lie within
// its radius of its polynomial.
func TestAgainstMotion(t *testing.T) {
	for _, b := range append(benches(t), strips()...) {
		outside, looked := b.compare(t, 3000, func(*Plan) {})
		if len(outside) > 0 {
			t.Errorf("%s: %d of %d positions outside; first %s", b.name, len(outside), looked, outside[0])
		}
		if looked < 2000 && b.travel == nil || looked < 200 {
			t.Errorf("%s: only %d positions compared", b.name, looked)
		}
	}
}

// TestLeftOverIsNoticed leaves out what the rows leave over: positions must then be found outside.
func TestLeftOverIsNoticed(t *testing.T) {
	for _, b := range append(benches(t)[:3], strips()[3]) {
		if outside, _ := b.compare(t, 500, func(p *Plan) { p.lost = 1 }); len(outside) == 0 {
			t.Errorf("%s: a tube without its radius passed", b.name)
		}
	}
}

// TestMissingLinksAreNoticed lets boxes and strips begin on whatever branch they fall: positions must then be found outside.
func TestMissingLinksAreNoticed(t *testing.T) {
	noticed := 0
	for _, b := range append(benches(t), strips()...) {
		outside, looked := b.compare(t, 2000, func(p *Plan) { p.loose = true })
		if len(outside) > 0 {
			noticed++
			t.Log(b.name, len(outside), looked, outside[0])
		}
	}
	if noticed == 0 {
		t.Error("tubes without links passed")
	}
}

// strips are engines whose ranges are cut into strips: arms that turn far, and a four-bar whose toggle comes and goes with the
// travel.
func strips() (list []bench) {
	wide := []Range{{-2, 2}}
	for _, miss := range []float64{-1, 0.5, 1.2} {
		list = append(list, bench{fmt.Sprint("toggle at a travel, missed by ", miss), riding(miss), round(0), []Range{{-1, 1}}, []float64{0}})
	}
	return append(list, bench{"bell crank", bellCrank(), round(0), wide, []float64{0}})
}

// bellCrank is an arm of 40 that a travel turns, with a rod of 120 to a slider; the turn lifts the slider's line.
func bellCrank() *trial.Sketch {
	s := trial.New(1)
	o, c, x := s.Fixed(0, 0), s.Found(40, 0), s.Found(160, 0)
	s.Length(o, c, s.Num(40))
	s.Heading(o, c, s.Graph.Travel(0))
	s.Length(c, x, s.Num(120))
	s.Slide(x, s.Line(s.Driven(s.Num(0), s.Graph.Mul(s.Num(20), s.Graph.Unary(expr.Sin, s.Graph.Turn()))), s.Num(0)))
	s.Part(o, c)
	s.Part(c, x)
	return s
}

// riding is a four-bar of ground 100, crank 40 and coupler 80 whose rocker is so long that it misses its toggle by little where
// its pivot stands at one end of the travel.
func riding(miss float64) *trial.Sketch {
	s := trial.New(1)
	o, q := s.Fixed(0, 0), s.Driven(s.Graph.Add(s.Num(100), s.Graph.Travel(0)), s.Num(0))
	rocker := 61.5 - miss
	d := 60.0
	along := (d*d + 80*80 - rocker*rocker) / (2 * d)
	a, b := s.Found(40, 0), s.Found(40+along, math.Sqrt(80*80-along*along))
	s.Length(o, a, s.Num(40))
	s.Heading(o, a, s.Graph.Turn())
	s.Length(a, b, s.Num(80))
	s.Length(q, b, s.Num(rocker))
	s.Part(a, b)
	return s
}

// find returns the box that holds a position, or nil.
func (t *Tube) find(turn float64, travel []float64) *Box {
	for i := range t.Boxes {
		if b := &t.Boxes[i]; turn >= b.Turn.From && turn <= b.Turn.To && Holds(b.Travel, travel) {
			return b
		}
	}
	return nil
}

// compare looks at n positions, some of them close to where boxes meet and to the gaps.
func (b *bench) compare(t *testing.T, n int, spoil func(*Plan)) (outside []string, looked int) {
	tube, l := b.encloseLosing(t, spoil)
	rng := rand.New(rand.NewPCG(1, 2))
	var mo *linkage.Motion
	var pose linkage.Pose
	var travel []float64
	for i := range n {
		if i%(n/10) == 0 { // another travel
			travel = travel[:0]
			for _, r := range b.travel {
				travel = append(travel, r.From+(r.To-r.From)*rng.Float64())
			}
			var err error
			if mo, err = l.Follow(context.Background(), travel, b.over.From, b.over.To, degree); err != nil {
				t.Fatal(err)
			}
		}
		turn := b.over.From + (b.over.To-b.over.From)*rng.Float64()
		if k := len(tube.Boxes); i%3 == 0 && k > 0 {
			turn = tube.Boxes[rng.IntN(k)].Turn.To - math.Pow(10, -12*rng.Float64())*rng.Float64()*degree
		}
		box := tube.find(turn, travel)
		if box == nil || box.folded != nil || mo.At(turn, &pose) != linkage.Solved { // for folded boxes see TestUpToDeadCentre
			continue
		}
		looked++
		if miss := tube.off(box, &pose, b.slack()); miss != "" {
			outside = append(outside, fmt.Sprintf("at %.9g°, travels %v: %s", turn/degree, travel, miss))
		}
	}
	return outside, looked
}

// slack is what a position of the motion may be off, mm: its rows hold to less than 1e-10 mm, and near a toggle it is off by
// hundreds of times as much.
func (b *bench) slack() float64 {
	if strings.HasPrefix(b.name, "toggle") || b.name == "parallelogram" {
		return 1e-6
	}
	return 2e-9
}

// off tells what of a pose lies outside a box.
func (t *Tube) off(b *Box, pose *linkage.Pose, rounding float64) string {
	tau := t.local(b, pose.Turn, pose.Travel)
	check := func(what string, i int, z pair, x, y, reach float64) string {
		for _, c := range [2]struct {
			s slot
			v float64
		}{{z.x, x}, {z.y, y}} {
			if c.s == none || t.Plan.kept[c.s] < 0 {
				continue
			}
			k := t.Plan.kept[c.s]
			if d := math.Abs(t.value(b, k, &tau) - c.v); d > b.rad[k]+rounding/reach {
				return fmt.Sprintf("%s %d off by %.3g, radius %.3g", what, i, d, b.rad[k])
			}
		}
		return ""
	}
	s := t.Plan.Schedule
	for i, z := range s.Point {
		if m := check("point", i, t.Plan.at(z), pose.Point[i].X, pose.Point[i].Y, 1); m != "" {
			return m
		}
	}
	for i, z := range s.Part {
		if m := check("part", i, t.Plan.at(z), pose.Part[i].Dir.X, pose.Part[i].Dir.Y, 10); m != "" {
			return m
		}
	}
	return ""
}

// TestThreeAnswers tells a linkage that goes over a change point, to its other way, from one that misses a toggle by a thousandth,
// and from one whose parts do not reach.
func TestThreeAnswers(t *testing.T) {
	from := 30 * degree
	// By the law of cosines, where coupler and rocker stretch to 139.999.
	stretched := math.Acos((100*100+40*40-139.999*139.999)/(2*100*40)) / degree
	for _, c := range []struct {
		name       string
		rocker     float64
		whole      bool
		cause      Cause
		gapF, gapT float64 // degrees
		within     float64
	}{
		{"missed by a thousandth", 60.001, true, 0, 0, 0, 0},
		{"on the toggle", 60, true, EitherWay, 180, 180, 3e-4},
		{"does not reach", 59.999, false, CannotAssemble, stretched, 360 - stretched, 3e-4},
	} {
		b := bench{c.name, fourBar(100, 40, 80, c.rocker, from, 1), round(from), nil, nil}
		tube, _ := b.enclose(t)
		if c.whole {
			over := c.cause == EitherWay // straight on, so that it takes two turns to come round
			if !tube.Whole() || tube.Closes == over || (len(tube.Gives) == 1) != over {
				t.Errorf("%s: gaps %v, closes %v, gives %v", c.name, tube.Gaps, tube.Closes, tube.Gives)
			}
			continue
		}
		if len(tube.Gaps) != 1 || tube.Gaps[0].Cause != c.cause {
			t.Errorf("%s: gaps %v, want one that %v", c.name, tube.Gaps, c.cause)
			continue
		}
		g := tube.Gaps[0].Turn
		if math.Abs(g.From/degree-c.gapF) > c.within || math.Abs(g.To/degree-c.gapT) > c.within {
			t.Errorf("%s: gap from %.6f to %.6f, want %.6f to %.6f", c.name, g.From/degree, g.To/degree, c.gapF, c.gapT)
		}
	}
}

// TestParallelogram goes over both change points of a parallelogram with a rod that gives next to nothing.
func TestParallelogram(t *testing.T) {
	from := 30 * degree
	b := bench{"parallelogram", fourBar(100, 40, 100, 40, from, 1), round(from), nil, nil}
	tube, _ := b.enclose(t)
	if !tube.Whole() || len(tube.Gives) != 2 {
		t.Fatalf("gaps %v, gives %v", tube.Gaps, tube.Gives)
	}
	for i, want := range []float64{180, 360} {
		g := tube.Gives[i]
		if g.Turn.From/degree > want-0.01 || g.Turn.To/degree < want+0.01 || !(g.Most < 1e-9) {
			t.Errorf("from %.6f to %.6f gives %g", g.Turn.From/degree, g.Turn.To/degree, g.Most)
		}
	}
}

// TestCloses tells a turn that ends where it began from one that does not.
func TestCloses(t *testing.T) {
	for _, c := range []struct {
		ratio float64
		want  bool
	}{{1, true}, {2, true}, {0.5, false}} {
		b := bench{"four-bar", fourBar(100, 40, 120, 80, 0, c.ratio), round(0), nil, nil}
		if tube, _ := b.enclose(t); tube.Closes != c.want || !tube.Whole() {
			t.Errorf("crank at %g of the turn: closes %v, want %v; gaps %v", c.ratio, tube.Closes, c.want, tube.Gaps)
		}
	}
}

// TestBoxesMeet checks that boxes and gaps together leave nothing of the turn out.
func TestBoxesMeet(t *testing.T) {
	for _, b := range benches(t) {
		tube, _ := b.enclose(t)
		at := func(turn float64, travel []float64) bool {
			if tube.find(turn, travel) != nil {
				return true
			}
			for _, g := range tube.Gaps {
				if turn >= g.Turn.From && turn <= g.Turn.To {
					return true
				}
			}
			return false
		}
		mid := middle(b.travel)
		for i := range tube.Boxes {
			for _, turn := range []float64{tube.Boxes[i].Turn.From, tube.Boxes[i].Turn.To, math.Nextafter(tube.Boxes[i].Turn.To, 10)} {
				if turn <= b.over.To && !at(turn, mid) {
					t.Errorf("%s: %v is in no box and no gap", b.name, turn)
				}
			}
		}
	}
}

// TestBudget checks that running out is never taken for a whole motion.
func TestBudget(t *testing.T) {
	b := bench{"four-bar", fourBar(100, 40, 120, 80, 0, 1), round(0), nil, nil}
	l, err := b.s.Link(0)
	if err != nil {
		t.Fatal(err)
	}
	p, err := NewPlan(l.Schedule(), l.Values())
	if err != nil {
		t.Fatal(err)
	}
	over := round(0)
	stopped, stop := context.WithCancel(context.Background())
	stop()
	for _, c := range []struct {
		ctx   context.Context
		boxes int
	}{{context.Background(), 7}, {stopped, 0}} {
		tube, err := Enclose(c.ctx, p, Following(context.Background(), l, over, nil), Ask{Turn: over, Size: 180, Tolerance: 1e-3, Boxes: c.boxes})
		if err != nil {
			t.Fatal(err)
		}
		if tube.Whole() || len(tube.Gaps) != 1 || tube.Gaps[0].Cause != OutOfBudget || tube.Gaps[0].Turn.To != over.To {
			t.Errorf("whole %v, gaps %v", tube.Whole(), tube.Gaps)
		}
	}
}

// TestNoEnclosure names what cannot be enclosed at all.
func TestNoEnclosure(t *testing.T) {
	s := trial.New(1)
	g := s.Graph
	o := s.Fixed(0, 0)
	c := s.Found(22, 0)
	s.Length(o, c, s.Num(22))
	wheel := s.Part(o, c)
	d := s.Found(0, 30)
	s.Length(o, d, s.Num(30))
	s.Heading(o, d, g.Add(g.Turn(), s.Num(1)))
	arm := s.Part(o, d)
	s.Loose(c, d, 28, 1)
	l, err := s.Link(0, 0)
	if err != nil {
		t.Fatal(err)
	}
	if p, err := NewPlan(l.Schedule(), l.Values()); err != nil || p.Encloses(wheel) || !p.Encloses(arm) || !p.Encloses(0) {
		t.Errorf("a part that a loose length places: %v", err)
	}
	l, err = trial.SliderCrank(1).Link(0, 0)
	if err != nil {
		t.Fatal(err)
	}
	p, err := NewPlan(l.Schedule(), l.Values())
	if err != nil {
		t.Fatal(err)
	}
	wide := make([]Range, 5)
	for i := range wide {
		wide[i] = Range{-1, 1}
	}
	if _, err := Enclose(context.Background(), p, nil, Ask{Turn: round(0), Travel: wide, Size: 180, Tolerance: 1e-3}); err != TooWide {
		t.Errorf("five ranges: %v", err)
	}
}

func BenchmarkEnclose(b *testing.B) {
	for _, c := range benches(b) {
		if c.name != "four-bar" && c.name != "gear" && c.name != "gear up and down" {
			continue
		}
		l, err := c.s.Link(c.over.From, c.rest...)
		if err != nil {
			b.Fatal(err)
		}
		p, err := NewPlan(l.Schedule(), l.Values())
		if err != nil {
			b.Fatal(err)
		}
		ctx := context.Background()
		g := Following(ctx, l, c.over, nil)
		b.Run(c.name, func(b *testing.B) {
			n := 0
			for b.Loop() {
				tube, err := Enclose(ctx, p, g, Ask{Turn: c.over, Travel: c.travel, Rest: c.rest, Size: 180, Tolerance: 1e-3})
				if err != nil || !tube.Whole() {
					b.Fatal(err, tube.Gaps)
				}
				n = len(tube.Boxes)
			}
			b.ReportMetric(float64(n), "boxes")
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/box")
		})
	}
}
