package machine

import (
	"context"
	"errors"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/expr"
	"barover/solver/linkage"
)

// sprung is an engine whose axle rides in its springs from droop to bump, with a rod that passes a plate above it, and a
// reverser of separate settings that moves the plate along.
func sprung() (d *draft, over int) {
	d = newDraft(0, 360, 5)
	axle := d.travel("axle", 0, true, -3, -1.5, 0, 1.5, 3)
	notch := d.travel("notch", 2, false, -2, 2, 8)
	s := sliderCrank{shaft: d.at("shaft", d.num(0), axle), crankpin: d.found("crankpin"), crosspin: d.near("crosspin", 140, 0)}
	s.bore = d.line("bore", d.fixed("", 0, 0), 0)
	d.crank(s.shaft, s.crankpin, d.dim("throw", 20))
	d.length(s.crankpin, s.crosspin, d.dim("rod", 120))
	d.slide(s.crosspin, s.bore)
	rod := d.part("conrod", s.crankpin, s.crosspin)
	shank := d.profile(rod, "shank", d.num(0), d.num(5), d.strip(d.dims["rod"], d.num(12), d.num(8), true))
	post := d.at("post", notch, d.num(40))
	beside := d.at("", d.g.Add(notch, d.num(1)), d.num(40))
	plate := d.profile(d.part("plate", post, beside), "disc", d.num(0), d.num(5), d.disc(d.num(0), d.num(0), d.num(20)))
	over = d.clear(shank, plate, d.num(2))
	d.keep(d.g.Y(s.crankpin), expr.None, d.num(22.9))
	d.keep(d.heading(s.shaft, s.crankpin), d.num(0), d.num(2*math.Pi))
	d.measure("rise", d.g.Y(s.crankpin))
	d.measure("reach", d.g.Unary(expr.Greatest, d.g.X(s.crosspin)))
	d.mark("top", d.g.Y(s.crankpin), solver.IsGreatest, expr.None, 0)
	return d, over
}

func TestEveryTravel(t *testing.T) {
	d, over := sprung()
	res := d.study(t, d.drawn())
	// The pin comes within 20 + 3 of the line; the plate's rim is at 30, the rod's end of radius 6 at the pin: 1 at best,
	// where the plate stands over the pin's way.
	f := res.Findings[over]
	want := math.Hypot(0, 40-23) - 10 - 6
	if f.OK || !(math.Abs(f.Least-want) <= 0.1) || f.At.Travel[0] != 3 {
		t.Errorf("clear: got %+v, want about %v at full bump", f, want)
	}
	if !engine.SameSetting(f.FoulsAt, f.At.Travel) || len(f.Fouls) != 1 {
		t.Errorf("fouls %v at %v", f.Fouls, f.FoulsAt)
	}
	k := res.Findings[1]
	compareFigures(t, []figured{{"keep: greatest", k.Greatest, 23, 1e-9}, {"keep: least", k.Least, -23, 1e-9}})
	if k.OK || k.At.Travel[0] != 3 || len(k.Fouls) != 1 {
		t.Errorf("keep: got %+v", k)
	}
	if h := res.Findings[2]; !h.OK || math.Abs(h.Greatest-2*math.Pi) > 1e-9 || h.At.Travel[0] != 0 || h.At.Travel[1] != 2 {
		t.Errorf("heading: got %+v, want rest named where all are level", h)
	}
	e := res.Extremes
	reach := func(a float64) float64 {
		// The crosshead stands furthest where crank and rod are in line.
		return math.Sqrt(140*140 - a*a)
	}
	compareFigures(t, []figured{
		{"rise", e[0].Greatest, 23, 1e-9}, {"rise at", e[0].GreatestAt.Turn / deg, 90, 1e-6},
		{"reach", e[1].Greatest, 140, 1e-9}, {"reach", e[1].Least, reach(3), 1e-9},
	})
	if n := len(res.Events); n != 15 {
		t.Fatalf("the mark happens %d times, want once at each of 15 settings", n)
	}
	for _, v := range res.Events {
		compareFigures(t, []figured{{"top", v.Shows[0], 20 + v.At.Travel[0], 1e-9}})
	}
}

// The answer does not depend on how the work is shared, to the last bit.
func TestSameAnswer(t *testing.T) {
	d, _ := sprung()
	one, err := study(t.Context(), d.p, d.drawn(), Options{Workers: 1})
	if err != nil {
		t.Fatal(err)
	}
	told := 0
	many, err := study(t.Context(), d.p, d.drawn(), Options{Workers: 7, Progress: func(_ string, done, total int) {
		if done > total {
			t.Errorf("%d of %d done", done, total)
		}
		told++
	}})
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(one, many, cmpopts.EquateNaNs()); diff != "" {
		t.Errorf("one goroutine and seven differ:\n%s", diff)
	}
	if told == 0 {
		t.Error("no progress told")
	}
}

func TestStopped(t *testing.T) {
	d, _ := sprung()
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if _, err := study(ctx, d.p, d.drawn(), Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v, want %v", err, context.Canceled)
	}
}

// A four-bar in which no link turns fully (Grashof: 60 + 100 > 70 + 80): what assembles is looked at, and the rest said.
func TestBrokenTurn(t *testing.T) {
	d := newDraft(0, 360, 5)
	f := d.fourBar(d.num(100), d.num(80), d.num(60), d.num(70), 110, 69)
	d.p.Turn = solver.Turn{Name: "crank", From: 40 * deg, To: 400 * deg, Step: 5 * deg}
	d.keep(d.dist(f.b, f.c), d.num(59), d.num(61))
	d.keep(d.heading(f.a, f.b), d.num(0), expr.None)
	res := d.study(t, d.drawn())
	if len(res.Broken) == 0 || res.OK() {
		t.Fatalf("broken %v, ok %v", res.Broken, res.OK())
	}
	// The crank opens as far as coupler and rocker reach: 60 + 70.
	far := math.Acos((80*80 + 100*100 - 130*130) / (2 * 80 * 100.0))
	b := res.Broken[0]
	compareFigures(t, []figured{{"broken from", b.From / deg, far / deg, 1e-4}})
	if k := res.Findings[0]; !k.OK || !(math.Abs(k.Least-60) <= 1e-9) {
		t.Errorf("the coupler's length: %+v", k)
	}
	if h := res.Findings[1]; !(math.Abs(h.Greatest-far) <= 1e-4) && !(h.Greatest > far) {
		t.Errorf("crank's heading: %+v", h)
	}
}

// A sketch that cannot be put together says so instead of answering.
func TestFaultsOfStudy(t *testing.T) {
	tests := []struct {
		name string
		do   func(d *draft)
	}{
		{"rod too short", func(d *draft) { d.sliderCrank(d.num(30), d.num(0), 30) }},
		{"no turn", func(d *draft) { d.p.Turn.To = d.p.Turn.From; d.sliderCrank(d.num(30), d.num(100), 130) }},
		{"no step", func(d *draft) { d.p.Turn.Step = 0; d.sliderCrank(d.num(30), d.num(100), 130) }},
		{"band upside down", func(d *draft) {
			s := d.sliderCrank(d.num(30), d.num(100), 130)
			d.profile(s.rod, "p", d.num(5), d.num(4), d.disc(d.num(0), d.num(0), d.num(5)))
		}},
		{"no outline", func(d *draft) {
			s := d.sliderCrank(d.num(30), d.num(100), 130)
			d.profile(s.rod, "p", d.num(4), d.num(5), d.disc(d.num(0), d.num(0), d.num(-5)))
		}},
		{"limit without a value", func(d *draft) {
			s := d.sliderCrank(d.num(30), d.num(100), 130)
			d.keep(d.g.X(s.crosspin), d.g.Unary(expr.Sqrt, d.dim("less", -1)), expr.None)
		}},
		{"too many settings", func(d *draft) {
			d.sliderCrank(d.num(30), d.num(100), 130)
			var many []float64
			for k := range 200 {
				many = append(many, float64(k))
			}
			d.travel("a", 0, false, many...)
			d.travel("b", 0, false, many...)
		}},
	}
	for _, c := range tests {
		d := newDraft(0, 360, 5)
		c.do(d)
		_, err := study(t.Context(), d.p, d.drawn(), Options{})
		var faults linkage.Faults
		if !errors.As(err, &faults) || len(faults) == 0 || faults[0].Msg == "" {
			t.Errorf("%s: got %v, want faults", c.name, err)
		}
	}
}

func TestMargin(t *testing.T) {
	d := newDraft(0, 360, 5)
	s := d.sliderCrank(d.num(20), d.num(100), 120)
	d.keep(d.g.X(s.crosspin), d.num(70), expr.None)    // holds by 10
	d.keep(d.g.Y(s.crankpin), d.num(-21), expr.None)   // holds by 1
	d.keep(d.g.Y(s.crankpin), expr.None, d.num(19))    // falls short by 1
	d.keep(d.g.Y(s.crankpin), d.num(-23), d.num(20.5)) // holds by 3 and by 0.5
	res := d.study(t, d.drawn())
	for i, want := range []float64{10, 1, -1, 0.5} {
		if m := d.p.Judge(&res.Findings[i]).Margin; !(math.Abs(m-want) <= 1e-9) {
			t.Errorf("check %d: margin %v, want %v", i, m, want)
		}
	}
}

// Travels at which the parts do not reach, over part of the turn or all of it, are said to be broken, and the rest is
// answered: nothing is claimed of what does not assemble.
func TestTravelOutOfReach(t *testing.T) {
	for _, c := range []struct {
		name     string
		ranged   bool
		settings []float64
		broken   int
	}{
		{"a range that ends beyond reach", true, []float64{0, 3, 6}, 1},
		{"a setting beyond reach over part of the turn", false, []float64{0, 6}, 1},
		{"a setting beyond reach altogether", false, []float64{0, 60}, 1},
	} {
		d := newDraft(0, 360, 5)
		axle := d.travel("axle", 0, c.ranged, c.settings...)
		o, pin, cross := d.at("shaft", d.num(0), axle), d.found("pin"), d.near("cross", 45, 0)
		d.crank(o, pin, d.num(20))
		d.length(pin, cross, d.num(25))
		d.slide(cross, d.line("bore", d.fixed("", 0, 0), 0))
		rod := d.part("rod", pin, cross)
		z := d.num(0)
		eye := d.profile(rod, "eye", z, d.num(3), d.disc(z, z, d.num(8)))
		post := d.profile(0, "post", z, d.num(3), d.disc(d.num(-35), z, d.num(8)))
		d.clear(eye, post, d.num(1))
		d.keep(d.g.X(cross), d.num(-100), d.num(100))
		for _, o := range []Options{{}, {Sampled: true}} {
			res, err := study(t.Context(), d.p, d.drawn(), o)
			if err != nil {
				t.Fatalf("%s: %v", c.name, err)
			}
			if len(res.Broken) < c.broken || res.OK() {
				t.Errorf("%s: broken %v, ok %v", c.name, res.Broken, res.OK())
			}
			f := res.Findings[0]
			if !f.OK || !(math.Abs(f.Least-7) <= 0.2) || !res.Findings[1].OK {
				t.Errorf("%s: got %+v\n%+v", c.name, f, res.Findings[1])
			}
			if c.ranged && !o.Sampled && f.Sure == solver.Proved && len(f.Unproved) == 0 {
				t.Errorf("%s: proved without reserve: %+v", c.name, f)
			}
		}
	}
}

// Two turns in one, begun on the way: everything happens twice, and the second end is the first start.
func TestTwoTurns(t *testing.T) {
	d := newDraft(-90, 630, 10)
	s := d.sliderCrank(d.num(20), d.num(80), 78)
	z := d.num(0)
	pin := d.profile(s.crank, "pin", z, d.num(3), d.disc(d.num(20), z, d.num(6)))
	post := d.profile(0, "post", z, d.num(3), d.disc(z, d.num(-26), d.num(5)))
	d.clear(pin, post, d.num(1))
	d.mark("mid", d.g.Y(s.crankpin), solver.RisesPast, z)
	d.mark("out", d.g.X(s.crosspin), solver.IsGreatest, expr.None)
	d.keep(d.heading(s.shaft, s.crankpin), d.num(-math.Pi/2), d.num(3.5*math.Pi))
	for _, o := range []Options{{}, {Sampled: true}} {
		res, err := study(t.Context(), d.p, d.drawn(), o)
		if err != nil {
			t.Fatal(err)
		}
		f := res.Findings[0]
		within := math.Acos((20*20 + 26*26 - 6.5*6.5) / (2 * 20 * 26))
		if f.OK || len(f.Fouls) != 2 {
			t.Fatalf("got %+v, want short twice", f)
		}
		compareFigures(t, []figured{
			{"least", f.Least, 0.5, 1e-9}, {"at", f.At.Turn / deg, -90, 1e-6},
			{"first", f.Fouls[0].From, 1.5*math.Pi - within, 1e-8}, {"to", f.Fouls[0].To, 1.5*math.Pi + within, 1e-8},
			{"second", f.Fouls[1].From, 3.5*math.Pi - within, 1e-8}, {"to", f.Fouls[1].To, 3.5*math.Pi + within, 1e-8},
		})
		if h := res.Findings[1]; !h.OK {
			t.Errorf("heading: %+v", h)
		}
		var at [2][]float64
		for _, e := range res.Events {
			at[e.Mark] = append(at[e.Mark], math.Round(e.At.Turn/deg*1e6)/1e6)
		}
		if diff := cmp.Diff([2][]float64{{0, 360}, {0, 360}}, at); diff != "" {
			t.Errorf("events: %s", diff)
		}
	}
}
