package machine

import (
	"flag"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/trial/draws"
)

var seed = flag.Uint64("seed", 7, "seed of the random tests")

// leverEngine is a trunk engine with every dimension free to be another, and a check of each kind.
func leverEngine(rng *rand.Rand) *draft {
	d := newDraft(0, 360, 5)
	vary := func(name string, v, by float64) expr.ID { return d.dim(name, v+by*(2*rng.Float64()-1)) }
	zero, five := d.num(0), d.num(5)
	throw, rod := vary("throw", 22, 3), vary("rod", 120, 15)
	rise := vary("rise", 0, 4)
	s := sliderCrank{shaft: d.fixed("shaft", 0, 0), crankpin: d.found("crankpin"), crosspin: d.near("crosspin", 140, 0)}
	s.bore = d.line("bore", d.at("", zero, rise), 0)
	d.crank(s.shaft, s.crankpin, throw)
	d.length(s.crankpin, s.crosspin, rod)
	d.slide(s.crosspin, s.bore)
	s.rod, s.slipper = d.part("conrod", s.crankpin, s.crosspin), d.partAlong("crosshead", s.crosspin, s.bore)
	s.crank = d.part("crank", s.shaft, s.crankpin)
	wide, narrow := vary("wide", 13, 2), vary("narrow", 9, 2)
	shank := d.profile(s.rod, "shank", zero, five, d.strip(rod, wide, narrow, false))
	eye := d.profile(s.rod, "eye", zero, five, d.disc(rod, zero, vary("eye", 14, 3)))
	web := d.profile(s.crank, "web", zero, five, d.disc(zero, zero, vary("web", 30, 4)), d.disc(throw, zero, vary("boss", 20, 3)))
	shoe := d.box(d.num(-12), d.num(-6), d.num(12), vary("shoe_top", 6, 1))
	slipper := d.profile(s.slipper, "shoe", vary("shoe_from", 4, 0.5), d.num(9), shoe)
	lip := d.g.Add(rise, vary("half", 15, 3))
	from := vary("bar_from", 88, 8)
	bar := d.profile(0, "bar", zero, five, d.box(from, lip, d.num(170), d.g.Add(lip, d.num(5))))
	post := d.profile(0, "post", zero, five, d.disc(vary("post_x", 60, 8), vary("post_y", 34, 6), vary("post", 8, 2)))
	limit := d.num(3)
	d.clear(shank, bar, limit)
	d.clear(shank, post, limit)
	d.clear(eye, bar, limit)
	d.clear(web, post, limit)
	d.clear(slipper, post, limit)
	d.gap(shank, slipper, expr.None, expr.None)
	x := d.g.X(s.crosspin)
	d.keep(d.heading(s.crosspin, s.crankpin), expr.None, d.num(3.2))
	d.keep(d.g.Div(d.g.Sub(x, throw), d.g.Unary(expr.Span, x)), d.num(1.5), expr.None)
	d.keep(d.dist(s.shaft, s.crosspin), d.num(105), expr.None)
	return d
}

// What each dimension does to each finding, against central differences of the finding itself, in engines of random
// dimensions.
func TestLeversAgainstDifferences(t *testing.T) {
	t.Logf("seed %d", *seed)
	rng := rand.New(rand.NewPCG(*seed, 1))
	compared, kinds := 0, make(map[solver.CheckKind]int)
	for range draws.Of(14) {
		d := leverEngine(rng)
		m, err := New(d.p, d.drawn())
		if err != nil {
			t.Fatal(err)
		}
		res, err := m.Study(t.Context(), Options{Levers: AllLevers})
		if err != nil {
			t.Fatal(err)
		}
		for dim := range d.p.Dims {
			const h = 1e-3
			v := m.dimension(dim)
			less, more := d.study(t, m.Values.With(map[int]float64{dim: v - h})), d.study(t, m.Values.With(map[int]float64{dim: v + h}))
			for i := range res.Findings {
				f := &res.Findings[i]
				want := (worst(d.p, &more.Findings[i]) - worst(d.p, &less.Findings[i])) / (2 * h)
				got := 0.0
				for _, l := range f.Levers {
					if l.Dim == dim {
						got = l.PerUnit
					}
				}
				if math.IsNaN(want) || jumps(f, &less.Findings[i], &more.Findings[i]) {
					continue
				}
				compared++
				kinds[d.p.Checks[f.Check].Kind]++
				if !(math.Abs(got-want) <= 2e-3*math.Max(1, math.Abs(want))) {
					t.Errorf("check %d by %s: got %v, differences give %v (at %v°)", i, d.p.Dims[dim].Name, got, want, f.At.Turn/deg)
				}
			}
		}
	}
	t.Logf("compared %d, %v", compared, kinds)
	if compared < draws.Of(1500) || kinds[solver.Clear] == 0 || kinds[solver.Gap] == 0 || kinds[solver.Keep] == 0 {
		t.Errorf("compared %d, %v", compared, kinds)
	}
}

// worst is the figure that a lever moves: the one that is nearest to its limit.
func worst(p *solver.Problem, f *solver.Finding) float64 {
	if !math.IsNaN(f.AtMost) && !(f.Least-f.AtLeast <= f.AtMost-f.Greatest) && p.Checks[f.Check].Kind == solver.Keep {
		return f.Greatest
	}
	return f.Least
}

// jumps reports whether the worst stands elsewhere for the lesser or the greater value, so that it has no one derivative.
func jumps(f, less, more *solver.Finding) bool {
	return math.Abs(less.At.Turn-more.At.Turn) > 1*deg || math.Abs(less.Least+more.Least-2*f.Least) > 1e-4
}

// The value of a dimension with which a check would just hold: a study with it says that it holds, and not by much. What
// else that breaks is told, and what is made already is not to be changed.
func TestToHold(t *testing.T) {
	e := newTrunkEngine()
	e.clear(0, 4, e.num(0)) // the shank against the pit holds whatever the bore
	narrow := e.keep(e.dims["half_bore"], expr.None, e.num(0.59*in))
	v := e.with("half_bore", 0.58*in)
	made := e.g.Nodes[e.dims["throw"]].Ref
	e.p.Dims[made].Made = true
	res, err := study(t.Context(), e.p, v, Options{Levers: ShortLevers})
	if err != nil {
		t.Fatal(err)
	}
	lip := res.Findings[e.lip]
	if lip.OK || len(lip.Levers) < 3 {
		t.Fatalf("lip: %+v", lip)
	}
	if bed := res.Findings[e.bed]; !bed.OK || bed.Levers != nil {
		t.Errorf("levers of what holds, unasked: %+v", bed)
	}
	offered := 0
	for _, l := range lip.Levers {
		if math.IsNaN(l.ToHold) {
			continue
		}
		offered++
		if e.p.Dims[l.Dim].Made {
			t.Errorf("a change is offered for %s, which is made", e.p.Dims[l.Dim].Name)
		}
		again := e.study(t, e.fix(v, l.Dim, l.ToHold))
		f := again.Findings[e.lip]
		if margin := e.p.Judge(&f).Margin; !f.OK || f.Sure != solver.Proved || !(margin < 0.01) {
			t.Errorf("%s = %v: %+v", e.p.Dims[l.Dim].Name, l.ToHold, f)
		}
		for i := range again.Findings {
			breaks := res.Findings[i].OK && !again.Findings[i].OK
			if got := slices.Contains(l.Breaks, i); got != breaks {
				t.Errorf("%s: breaks %v, but check %d: %v", e.p.Dims[l.Dim].Name, l.Breaks, i, breaks)
			}
		}
		if e.p.Dims[l.Dim].Name == "half_bore" && !slices.Contains(l.Breaks, narrow) {
			t.Errorf("the wider bore breaks %v, want %d among them", l.Breaks, narrow)
		}
	}
	if offered == 0 {
		t.Error("nothing offered")
	}
}

// fix is the dimensions v except for one.
func (d *draft) fix(v *expr.Values, dim int, value float64) *expr.Values {
	fixed := maps.Clone(v.Fixed)
	fixed[dim] = value
	return expr.Resolve(d.g, fixed)
}

// A change of more than a tenth is offered where no small one serves, however the figure bends on the way there, and none
// beyond the reach.
func TestLargeChangeToHold(t *testing.T) {
	const a0, b0 = 2.0, 5.0
	for _, c := range []struct {
		asked, a, b float64 // of a²+b/4: the least; with which a, and which b, it holds
	}{
		{5.65, 2.097618, math.NaN()}, // a by little, and then b is not looked for, which would serve too
		{7.15, 2.428992, math.NaN()}, // a by a fifth; b would have to be more than twice itself
		{8.25, 2.645751, math.NaN()}, // a by a third
		{9.25, math.NaN(), math.NaN()},
	} {
		d := newDraft(0, 360, 5)
		a, b := d.dim("a", a0), d.dim("b", b0)
		o, pin := d.fixed("shaft", 0, 0), d.found("pin")
		d.crank(o, pin, d.num(10))
		d.keep(d.g.Add(d.g.Mul(a, a), d.g.Div(b, d.num(4))), d.num(c.asked), expr.None)
		res, err := study(t.Context(), d.p, d.drawn(), Options{Levers: ShortLevers})
		if err != nil {
			t.Fatal(err)
		}
		got := map[string]float64{"a": math.NaN(), "b": math.NaN()}
		for _, l := range res.Findings[0].Levers {
			got[d.p.Dims[l.Dim].Name] = l.ToHold
		}
		for name, want := range map[string]float64{"a": c.a, "b": c.b} {
			if g := got[name]; math.IsNaN(g) != math.IsNaN(want) || math.Abs(g-want) > 0.01 {
				t.Errorf("asked %v: %s to hold: got %v, want %v", c.asked, name, g, want)
			}
		}
	}
}

// A range that ends where a dimension says: the dimension moves the worst, and is offered as a remedy where the study is
// told how to make the range again.
func TestLeverOfRange(t *testing.T) {
	d := newDraft(0, 360, 5)
	bump := d.dim("bump", 3)
	axle := d.travel("axle", 0, true, -3, 0, 3)
	d.p.Travels[0].Sums = []expr.ID{d.num(-3), bump}
	o, pin := d.at("shaft", d.num(0), axle), d.found("pin")
	d.crank(o, pin, d.dim("throw", 20))
	d.keep(d.g.Y(pin), expr.None, d.num(22.9))
	vary := func(change map[int]float64) (*solver.Problem, *expr.Values, error) {
		v := expr.Resolve(d.g, change)
		p := *d.p
		p.Travels = slices.Clone(p.Travels)
		p.Travels[0].To = v.At(bump)
		p.Travels[0].Settings = []float64{-3, 0, v.At(bump)}
		return &p, v, nil
	}
	for _, c := range []struct {
		vary Vary
		hold float64
	}{{vary, 2.9}, {nil, math.NaN()}} {
		res, err := study(t.Context(), d.p, d.drawn(), Options{Levers: ShortLevers, Vary: c.vary})
		if err != nil {
			t.Fatal(err)
		}
		levers := res.Findings[0].Levers
		if len(levers) != 2 || !(math.Abs(levers[0].PerUnit-1) <= 1e-9) || !(math.Abs(levers[1].PerUnit-1) <= 1e-9) {
			t.Fatalf("got %+v, want bump and throw, one for one", levers)
		}
		if got := levers[0].ToHold; !(math.Abs(got-c.hold) <= 0.005) && !math.IsNaN(c.hold) || math.IsNaN(got) != math.IsNaN(c.hold) {
			t.Errorf("bump to hold: got %v, want %v", got, c.hold)
		}
		if got := levers[1].ToHold; !(math.Abs(got-19.9) <= 0.005) {
			t.Errorf("throw to hold: got %v, want 19.9", got)
		}
	}
}
