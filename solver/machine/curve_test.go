package machine

import (
	"math"
	"testing"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/plane"
)

// wheel is a motion in closed form for the tests of what stands on motions: point 0 at the origin, point 1 on a crank of
// radius r turning n times as fast as the turn, point 2 at the end of a rod of length l on the x axis. It assembles over
// the given spans.
type wheel struct {
	r, l, n float64
	spans   [][2]float64
}

func (w wheel) Spans() [][2]float64      { return w.spans }
func (w wheel) Broken() []linkage.Broken { return nil }

func (w wheel) At(t float64, p *linkage.Pose) linkage.Status {
	for _, s := range w.spans {
		if t >= s[0] && t <= s[1] {
			p.Turn = t
			pin := plane.Polar(w.n * t).Scale(w.r)
			p.Point[0], p.Point[1] = plane.Vec{}, pin
			p.Point[2] = plane.Vec{X: pin.X + math.Sqrt(w.l*w.l-pin.Y*pin.Y)}
			return linkage.Solved
		}
	}
	return linkage.NoAssembly
}

func (w wheel) Speeds(p *linkage.Pose, c *expr.Context) { w.Rates(p, c) }

func (w wheel) Rates(p *linkage.Pose, c *expr.Context) {
	for _, f := range []*[]float64{&c.DX, &c.DY, &c.DDX, &c.DDY} {
		if len(*f) == 0 {
			*f = make([]float64, len(p.Point))
		}
	}
	pin := p.Point[1]
	d := pin.Turned().Scale(w.n)
	dd := pin.Scale(-w.n * w.n)
	c.DX[1], c.DY[1], c.DDX[1], c.DDY[1] = d.X, d.Y, dd.X, dd.Y
	root := p.Point[2].X - pin.X
	c.DX[2] = d.X - pin.Y*d.Y/root
	c.DDX[2] = dd.X - (d.Y*d.Y+pin.Y*dd.Y)/root - pin.Y*pin.Y*d.Y*d.Y/(root*root*root)
}

// wheelRun is a run of w through one turn, and the sketch that its sums belong to.
func wheelRun(t *testing.T, d *draft, w wheel) *engine.Run {
	t.Helper()
	for range 3 {
		d.found("")
	}
	m := &engine.Engine{Problem: d.p, Values: d.drawn(), Size: w.r + w.l}
	r := m.BareRun(w, nil)
	r.LookAround()
	r, err := r.Ready(t.Context(), nil, m.EverySum(), nil)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func wholeTurn(d *draft) [][2]float64 { return [][2]float64{{d.p.Turn.From, d.p.Turn.To}} }

// Half stroke of an engine comes at acos(1/2n) out and as much before the end of the turn on the way back
// (J. Rose, Modern Machine-Shop Practice; A. Sinclair, Locomotive Engine Running and Management, 1888).
func TestMarksOfPiston(t *testing.T) {
	for _, n := range []float64{4, 5, 6, 7.5} {
		d := newDraft(0, 360, 5)
		x := d.g.X(2)
		piston := d.g.Div(d.g.Sub(d.g.Unary(expr.Greatest, x), x), d.g.Unary(expr.Span, x))
		show := d.measure("piston", piston)
		d.mark("half", piston, solver.RisesPast, d.num(0.5), show)
		d.mark("half back", piston, solver.FallsPast, d.num(0.5))
		d.mark("dead centre", x, solver.IsGreatest, expr.None)
		d.mark("full travel", piston, solver.RisesPast, d.num(1))
		r := wheelRun(t, d, wheel{r: 1, l: n, n: 1, spans: wholeTurn(d)})
		want := math.Acos(1 / (2 * n))
		for i, turns := range [][]float64{{want}, {2*math.Pi - want}, {0}, nil} {
			got := r.Happens(i)
			if len(got) != len(turns) {
				t.Fatalf("n %v, mark %d: got %v, want %v", n, i, got, turns)
			}
			for k := range turns {
				if !(math.Abs(got[k].At.Turn-turns[k]) <= 1e-9) {
					t.Errorf("n %v, mark %d: got %.12f, want %.12f", n, i, got[k].At.Turn, turns[k])
				}
			}
		}
		if shown := r.Happens(0)[0].Shows[0]; !(math.Abs(shown-0.5) <= 1e-9) {
			t.Errorf("n %v: shows %v at half stroke", n, shown)
		}
	}
}

// A turn that closes counts its start once, and an interval may run across it.
func TestAcrossTheStart(t *testing.T) {
	d := newDraft(0, 360, 1)
	r := wheelRun(t, d, wheel{r: 10, l: 40, n: 1, spans: wholeTurn(d)})
	if !r.Closed {
		t.Fatal("a whole turn does not close")
	}
	c := r.Trace(r.Engine.Sum(d.g.X(1)), engine.Both)
	got := c.Above(5)
	want := solver.Interval{From: 300 * deg, To: 420 * deg}
	if len(got) != 1 || math.Abs(got[0].From-want.From) > 1e-9 || math.Abs(got[0].To-want.To) > 1e-9 {
		t.Errorf("x > 5: got %v, want %v", got, want)
	}
	if top := c.AllExtremes(-1); len(top) != 1 || top[0].T != 0 {
		t.Errorf("greatest x: got %v, want once at 0", top)
	}
	y := r.Trace(r.Engine.Sum(d.g.Y(1)), engine.Both)
	if up := y.Passings(1, 0); len(up) != 1 || up[0] != 0 {
		t.Errorf("y passes zero upward: got %v, want once at 0", up)
	}
}

// The same happens as often as it happens: a crank that turns three times in one turn.
func TestEveryTime(t *testing.T) {
	d := newDraft(-180, 180, 10)
	d.mark("up", d.g.Y(1), solver.RisesPast, d.num(5))
	d.mark("top", d.g.Y(1), solver.IsGreatest, expr.None)
	r := wheelRun(t, d, wheel{r: 10, l: 40, n: 3, spans: wholeTurn(d)})
	for i, first := range []float64{10, 30} {
		got := r.Happens(i)
		if len(got) != 3 {
			t.Fatalf("mark %d: got %d times, want 3", i, len(got))
		}
		for k, e := range got {
			want := (first + 120*float64(k-1)) * deg
			if !(math.Abs(e.At.Turn-want) <= 1e-9) {
				t.Errorf("mark %d: got %v°, want %v°", i, e.At.Turn/deg, want/deg)
			}
		}
	}
}

// A crank's heading runs on through the turn, and is not mistaken for something that comes back to its start.
func TestHeadingRunsOn(t *testing.T) {
	d := newDraft(100, 460, 5)
	h := d.heading(0, 1)
	d.mark("half round", h, solver.RisesPast, d.num(math.Pi))
	d.mark("falls", h, solver.FallsPast, d.num(math.Pi))
	r := wheelRun(t, d, wheel{r: 10, l: 40, n: 1, spans: wholeTurn(d)})
	c := r.Trace(r.Engine.Sum(h), engine.Both)
	lo, _ := c.Least()
	hi, _ := c.Greatest()
	if !(math.Abs(lo.V-100*deg) <= 1e-9) || !(math.Abs(hi.V-460*deg) <= 1e-9) {
		t.Errorf("got %v° to %v°, want 100° to 460°", lo.V/deg, hi.V/deg)
	}
	if e := r.Happens(0); len(e) != 1 || math.Abs(e[0].At.Turn-math.Pi) > 1e-9 {
		t.Errorf("passes 180° at %v", e)
	}
	if e := r.Happens(1); len(e) != 0 {
		t.Errorf("falls past 180° at %v, want never", e)
	}
}

// Where the parts do not assemble, what is left is looked at span by span, and nothing is joined.
func TestOverSpans(t *testing.T) {
	d := newDraft(0, 360, 5)
	spans := [][2]float64{{0, 50.5 * deg}, {200.25 * deg, 360 * deg}}
	r := wheelRun(t, d, wheel{r: 10, l: 40, n: 1, spans: spans})
	c := r.Trace(r.Engine.Sum(d.g.Y(1)), engine.Both)
	hi, _ := c.Greatest()
	if want := 10 * math.Sin(50.5*deg); !(math.Abs(hi.V-want) <= 1e-12) {
		t.Errorf("greatest: got %v, want %v at the end of a span", hi.V, want)
	}
	lo, _ := c.Least()
	if !(math.Abs(lo.V+10) <= 1e-12) || !(math.Abs(lo.T-270*deg) <= 1e-9) {
		t.Errorf("least: got %v at %v°", lo.V, lo.T/deg)
	}
	up := c.Above(5)
	if len(up) != 1 || math.Abs(up[0].From-30*deg) > 1e-9 || math.Abs(up[0].To-50.5*deg) > 1e-12 {
		t.Errorf("above 5: got %v", up)
	}
}

// A sum that has no value over part of the turn says where, and is judged on the rest.
func TestNoValue(t *testing.T) {
	d := newDraft(0, 360, 5)
	y := d.g.Y(1)
	root := d.g.Unary(expr.Sqrt, y)
	d.keep(root, d.num(-1), expr.None)
	r := wheelRun(t, d, wheel{r: 10, l: 40, n: 1, spans: wholeTurn(d)})
	s := r.Check(0)
	if !(s.Margin < 0) {
		t.Errorf("a sum without a value over half the turn holds by %v", s.Margin)
	}
	if len(s.Fouls) != 1 || math.Abs(s.Fouls[0].From-180*deg) > 1e-6 || math.Abs(s.Fouls[0].To-360*deg) > 1e-6 {
		t.Errorf("without a value: got %v, want 180° to 360°", s.Fouls)
	}
	if !(math.Abs(s.Greatest.V-math.Sqrt(10)) <= 1e-9) {
		t.Errorf("greatest: got %v", s.Greatest.V)
	}
}

// Greatest speed of a piston: crank 8, rod 24.5, at 73.44448951° (an engine problem of the college calculus texts;
// the figure is the root of the second derivative in closed form).
func TestRate(t *testing.T) {
	d := newDraft(0, 360, 5)
	x := d.g.X(2)
	speed := d.g.Unary(expr.Neg, d.g.Unary(expr.Rate, x))
	d.mark("fastest", speed, solver.IsGreatest, expr.None)
	d.mark("turns", d.g.Unary(expr.Rate, d.g.Unary(expr.Rate, x)), solver.RisesPast, d.num(0))
	r := wheelRun(t, d, wheel{r: 8, l: 24.5, n: 1, spans: wholeTurn(d)})
	e := r.Happens(0)
	if len(e) != 1 || !(math.Abs(e[0].At.Turn-73.44448951*deg) <= 1e-8*deg) {
		t.Fatalf("fastest at %v, want 73.44448951°", e)
	}
	c := r.Trace(r.Engine.Sum(speed), engine.Both)
	if k, _ := c.Greatest(); !(math.Abs(k.V-8.419585013) <= 1e-9) {
		t.Errorf("speed: got %v, want 8.419585013", k.V)
	}
	if e := r.Happens(1); len(e) != 1 || !(math.Abs(e[0].At.Turn-73.44448951*deg) <= 1e-8*deg) {
		t.Errorf("acceleration passes zero at %v", e)
	}
}

// Nothing looked at on the way is further from its speed than a share of the sketch: the steps shrink where it is fast.
func TestFasterIsFiner(t *testing.T) {
	d := newDraft(0, 360, 5)
	r := wheelRun(t, d, wheel{r: 10, l: 10.0001, n: 1, spans: wholeTurn(d)})
	least := math.Inf(1)
	for i, s := range r.Spans[0] {
		if i > 0 {
			least = math.Min(least, s.Turn-r.Spans[0][i-1].Turn)
		}
	}
	if !(least < 0.2*deg) {
		t.Errorf("least step %v° where the rod flips over", least/deg)
	}
	if n := len(r.Spans[0]); n < 361 || n > 1000 {
		t.Errorf("%d positions", n)
	}
}
