package machine

import (
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/linkage"
)

// both answers a draft by proof and by sampling.
func (d *draft) both(t *testing.T) (byProof, bySample *solver.Result) {
	t.Helper()
	bySample, err := study(t.Context(), d.p, d.drawn(), Options{Sampled: true})
	if err != nil {
		t.Fatal(err)
	}
	return d.study(t, d.drawn()), bySample
}

// A rivet on the rim of a wheel passes a bracket between two positions that are looked at: only the proof sees it.
func TestRivet(t *testing.T) {
	d := newDraft(0, 360, 5)
	o, rim := d.fixed("shaft", 0, 0), d.found("rim")
	d.crank(o, rim, d.num(150))
	wheel := d.part("wheel", o, rim)
	s, c := math.Sincos(0.497 * deg)
	z := d.num(0)
	rivet := d.profile(wheel, "rim", z, d.num(3), d.disc(z, z, d.num(300)), d.disc(d.num(150.2*c), d.num(-150.2*s), d.num(0.4)))
	bracket := d.profile(0, "bracket", z, d.num(3), d.box(d.num(-152), d.num(-0.1), d.num(-151.2), d.num(0.1)))
	d.clear(rivet, bracket, d.num(1))
	byProof, bySample := d.both(t)
	f, g := byProof.Findings[0], bySample.Findings[0]
	if !g.OK || g.Sure != solver.Sampled || !(math.Abs(g.Least-1.2) <= 0.01) {
		t.Errorf("sampled: got %+v, want the rivet missed", g)
	}
	if f.OK || f.Sure != solver.Proved || len(f.Fouls) != 1 {
		t.Errorf("proved: got %+v, want a foul", f)
	}
	compareFigures(t, []figured{{"least", f.Least, 0.8, 1e-6}, {"at", f.At.Turn / deg, 180.497, 0.05}})
}

// A four-bar so near its toggle that the rocker whips over between two positions: coupler 60.001 and rocker 80 against
// 140 of ground and crank.
func TestNearToggle(t *testing.T) {
	d := newDraft(0, 360, 5)
	f := d.fourBar(d.num(100), d.num(40), d.num(60.001), d.num(80), 75, 76)
	coupler := d.part("coupler", f.b, f.c)
	z := d.num(0)
	arm := d.profile(coupler, "arm", z, d.num(3), d.strip(d.num(60.001), d.num(4), d.num(4), true))
	post := d.profile(0, "post", z, d.num(3), d.disc(d.num(10), d.num(-6), d.num(4)))
	d.clear(arm, post, d.num(0.5))
	res := d.study(t, d.drawn())
	g := res.Findings[0]
	m, err := New(d.p, d.drawn())
	if err != nil {
		t.Fatal(err)
	}
	r, err := m.RunWith(t.Context(), nil, nil, m.EverySum())
	if err != nil {
		t.Fatal(err)
	}
	fig, s, least := m.PairFigure(arm, post), m.NewStation(), math.Inf(1)
	for turn := 0.0; turn < 360; turn += 0.002 {
		if r.Stand(turn*deg, s) {
			least = math.Min(least, fig.Value(s))
		}
	}
	if g.Sure != solver.Proved || g.Least > least || g.Least < least-1e-3 {
		t.Errorf("got %+v, looked every 0.002°: %v", g, least)
	}
}

// A motion through change points is proved with a rod that gives next to nothing, and that is said.
func TestChangePoint(t *testing.T) {
	d := newDraft(30, 390, 5)
	f := d.fourBar(d.num(100), d.num(40), d.num(100), d.num(40), 134, 20)
	coupler := d.part("coupler", f.b, f.c)
	z := d.num(0)
	arm := d.profile(coupler, "arm", z, d.num(3), d.strip(d.num(100), d.num(4), d.num(4), true))
	post := d.profile(0, "post", z, d.num(3), d.disc(d.num(50), d.num(60), d.num(10)))
	d.clear(arm, post, d.num(0.5))
	res := d.study(t, d.drawn())
	g := res.Findings[0]
	if g.Sure != solver.Proved || len(g.Unproved) > 0 || len(res.Passes) != 2 {
		t.Fatalf("a motion through two change points: %+v, passes %+v", g, res.Passes)
	}
	for i, p := range res.Passes {
		if math.Abs(p.Turn/deg-[]float64{180, 360}[i]) > 1e-6 || p.Way != linkage.Straight || !(p.Gives < 1e-9) {
			t.Errorf("passes %+v", p)
		}
	}
	compareFigures(t, []figured{{"least", g.Least, 13, 1e-6}, {"at", g.At.Turn / deg, 90, 0.01}})
}

// Every value of a range counts, not only its steps.
func TestBetweenSteps(t *testing.T) {
	d := newDraft(0, 360, 5)
	axle := d.travel("axle", 0, true, -6, 0, 6)
	o, pin := d.at("shaft", d.num(0), axle), d.found("pin")
	d.crank(o, pin, d.num(20))
	z := d.num(0)
	crank := d.profile(d.part("crank", o, pin), "pin", z, d.num(3), d.disc(d.num(20), z, d.num(6)))
	post := d.profile(0, "post", z, d.num(3), d.disc(d.num(-26), d.num(2.5), d.num(6)))
	d.clear(crank, post, d.num(1))
	off := d.g.Sub(d.g.Y(o), d.num(2.5))
	d.measure("off", d.g.Mul(off, off))
	d.keep(d.g.Mul(off, off), d.num(0.01), expr.None)
	res := d.study(t, d.drawn())
	f, k, e := res.Findings[0], res.Findings[1], res.Extremes[0]
	if f.OK || k.OK || f.Sure != solver.Proved || k.Sure != solver.Proved || e.Sure != solver.Proved {
		t.Errorf("got %+v\n%+v\n%+v", f, k, e)
	}
	compareFigures(t, []figured{
		{"clear", f.Least, 0, 1e-3}, {"at axle", f.At.Travel[0], 2.5, 0.2},
		{"keep", k.Least, 0, 1e-4}, {"at axle", k.At.Travel[0], 2.5, 0.02},
		{"measure", e.Least, 0, 1e-4}, {"measure", e.Greatest, 8.5 * 8.5, 1e-9},
	})
}

// Sampling looks between the steps of a range too.
func TestSampledBetweenSteps(t *testing.T) {
	d := newDraft(0, 360, 5)
	axle := d.travel("axle", 0, true, -6, 0, 6)
	o, pin := d.at("shaft", d.num(0), axle), d.found("pin")
	d.crank(o, pin, d.num(20))
	off := d.g.Sub(axle, d.num(2.5))
	d.measure("off", d.g.Add(d.g.Mul(off, off), d.g.Unary(expr.Rate, d.g.Y(pin))))
	d.keep(d.g.Mul(off, off), d.num(0.01), expr.None)
	d.keep(d.g.Y(pin), d.num(-27), expr.None) // worst at the end of the range
	res, err := study(t.Context(), d.p, d.drawn(), Options{Sampled: true})
	if err != nil {
		t.Fatal(err)
	}
	k, e := res.Findings[0], res.Extremes[0]
	compareFigures(t, []figured{
		{"keep", k.Least, 0, 1e-9}, {"at axle", k.At.Travel[0], 2.5, 1e-4}, {"short at", k.FoulsAt[0], 2.5, 1e-4},
		{"measure", e.Least, -20, 1e-9}, {"measure", e.Greatest, 20 + 8.5*8.5, 1e-9},
		{"worst at the end", res.Findings[1].At.Travel[0], -6, 0},
	})
	if k.OK || len(k.Fouls) != 1 {
		t.Errorf("got %+v", k)
	}
}

// What is drawn as exactly what is asked holds, and proved; a hair less does not.
func TestExactlyAsAsked(t *testing.T) {
	for _, c := range []struct {
		by float64
		ok bool
	}{{5, true}, {5.001, false}, {4.9999, true}} {
		d, a, b := twoDiscs(35, 0)
		d.clear(a, b, d.num(c.by))
		x := d.g.Add(d.g.X(1), d.num(25))
		d.keep(x, d.num(c.by), expr.None)
		for _, f := range d.study(t, d.drawn()).Findings {
			if f.OK != c.ok || f.Sure != solver.Proved {
				t.Errorf("by %v: got %+v", c.by, f)
			}
		}
	}
}

// Proof and sampling agree where sampling sees well: engines of random dimensions.
func TestProofAgainstSamples(t *testing.T) {
	t.Logf("seed %d", *seed)
	rng := rand.New(rand.NewPCG(*seed, 3))
	proofs := 0
	for range 12 {
		d := leverEngine(rng)
		byProof, bySample := d.both(t)
		for i := range byProof.Findings {
			f, g := &byProof.Findings[i], &bySample.Findings[i]
			if f.Sure == solver.Proved {
				proofs++
			}
			if f.OK != g.OK || f.Apart != g.Apart || !(math.Abs(f.Least-g.Least) <= 1e-3) && !math.IsNaN(f.Least) {
				t.Errorf("check %d: proved %+v\nsampled %+v", i, f, g)
			}
			if len(f.Fouls) != len(g.Fouls) {
				t.Errorf("check %d: fouls %v proved, %v sampled", i, f.Fouls, g.Fouls)
				continue
			}
			for k := range f.Fouls {
				if off := math.Max(math.Abs(f.Fouls[k].From-g.Fouls[k].From), math.Abs(f.Fouls[k].To-g.Fouls[k].To)); !(off <= 0.001*deg) {
					t.Errorf("check %d: fouls %v proved, %v sampled", i, f.Fouls[k], g.Fouls[k])
				}
			}
		}
	}
	if proofs < 100 {
		t.Errorf("only %d proved", proofs)
	}
}
