package spread_test

import (
	"context"
	"flag"
	"math"
	"math/rand/v2"
	"runtime"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"barover/solver/machine"
	"barover/solver/spread"
	"barover/solver/trial/engine"
)

var seed = flag.Uint64("seed", 7, "seed of the random tests")

// within is a tolerance of a dimension of an engine.
func within(e *engine.Engine, dim string, lower, upper float64) spread.Tolerance {
	return spread.Tolerance{Dim: e.Number(dim), Value: e.Value(dim), Lower: lower, Upper: upper}
}

func carried(t *testing.T, e *engine.Engine, o machine.Options, samples int, tols ...spread.Tolerance) *spread.Answer {
	t.Helper()
	a, err := spread.Spread(context.Background(), spread.Ask{Problem: e.Problem, Vary: e.Vary(), Tolerances: tols, Samples: samples, Seed: *seed}, o)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// A gap across is a plain sum: worst case and root sum square by hand. The rod's place counts whole, each thickness half.
func TestGapBesideARod(t *testing.T) {
	e := engine.New()
	a := carried(t, e, machine.Options{}, 400, within(e, "rod_out", -0.2, 0.2), within(e, "rod_thick", -0.1, 0), within(e, "bearing_thick", -0.05, 0.05))
	c := a.Checks[engine.Beside]
	figure := 12.0 - 4.0/2 - 4.0 - 5.0/2
	rows := []struct {
		name      string
		got, want float64
	}{
		{"figure", c.Figure, figure},
		{"worst", c.Worst, figure - 0.2 - 0.025},
		{"rss", c.RSS, figure + 0.025 - math.Sqrt(0.2*0.2+0.025*0.025+0.025*0.025)},
		{"scale", c.Scale, (figure - 1) / (0.2 + 0.025)},
		{"share of the first", c.Stack.Share(0), 0.04 / (0.04 + 2*0.025*0.025)},
	}
	for _, r := range rows {
		if !(math.Abs(r.got-r.want) <= 1e-9) {
			t.Errorf("%s: got %v, want %v", r.name, r.got, r.want)
		}
	}
	if c.Stack[0].Dim != e.Number("rod_out") || c.Upper || !c.OK || c.Short != 0 {
		t.Errorf("got %+v; want the rod's place to matter most, at the lower limit, and the gap to hold", c)
	}
	if untouched := a.Checks[engine.Travels]; untouched.Samples != 0 || untouched.Worst != untouched.Figure {
		t.Errorf("the crosspin got %+v; nothing across has to do with it", untouched)
	}
}

// Half of a normal law lies below its middle, and so does half of an even one.
func TestHalfFallsShort(t *testing.T) {
	e := engine.New().Set("pin_length", 7.5)
	for _, law := range []spread.Law{spread.Normal, spread.Even} {
		a, err := spread.Spread(t.Context(), spread.Ask{Problem: e.Problem, Vary: e.Vary(), Samples: 2000, Seed: *seed, Law: law,
			Tolerances: []spread.Tolerance{within(e, "pin_length", -0.1, 0.1)}}, machine.Options{})
		if err != nil {
			t.Fatal(err)
		}
		c := a.Checks[engine.Pin]
		if !(c.Low < 0.5 && 0.5 < c.High) || c.High-c.Low > 0.05 || c.OK || !(math.Abs(c.Worst-(-0.6)) <= 1e-9) {
			t.Errorf("%v: short in %v, between %v and %v, worst %v; want about a half, and −0.6", law, c.Share, c.Low, c.High, c.Worst)
		}
	}
}

// What was found until a spread is broken off is its answer: here the worst by closed form, and the first engines drawn.
func TestStopped(t *testing.T) {
	e := engine.New().Set("pin_length", 7.5)
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	o := machine.Options{Sampled: true, Progress: func(_ string, n, _ int) { // nothing is proved, so that each engine is solved
		if n == 150 {
			stop()
		}
	}}
	a, err := spread.Spread(ctx, spread.Ask{Problem: e.Problem, Vary: e.Vary(), Samples: 2000, Seed: *seed,
		Tolerances: []spread.Tolerance{within(e, "pin_length", -0.1, 0.1)}}, o)
	if err != nil {
		t.Fatal(err)
	}
	if c := a.Checks[engine.Pin]; !a.Stopped || c.Samples != 100 || !(math.Abs(c.Worst-(-0.6)) <= 1e-9) {
		t.Errorf("stopped %v, %d engines drawn, worst %v; want true, 100 and −0.6", a.Stopped, c.Samples, c.Worst)
	}
}

// The same seed gives the same answer on one core and on two, and another seed another.
func TestSameOnAnyCores(t *testing.T) {
	e := engine.New().Set("half_bore", 14.95)
	tols := []spread.Tolerance{within(e, "half_bore", -0.1, 0.1), within(e, "rod", -0.2, 0.2), within(e, "rod_deep", -0.1, 0.1), within(e, "pin_length", -0.6, 0.6)}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one := carried(t, e, machine.Options{}, 150, tols...)
	runtime.GOMAXPROCS(2)
	two := carried(t, e, machine.Options{}, 150, tols...)
	if diff := cmp.Diff(one, two, cmpopts.EquateNaNs()); diff != "" {
		t.Errorf("one core against two:\n%s", diff)
	}
	if s := one.Checks[engine.Pin]; s.Short == 0 || s.Short == s.Samples {
		t.Errorf("the pin falls short in %d of %d; want some", s.Short, s.Samples)
	}
}

// The worst case is never better than any engine within the limits: against hundreds solved one by one, at corners and
// between them, in engines of random dimensions.
func TestWorstIsWorst(t *testing.T) {
	t.Logf("seed %d", *seed)
	rng := rand.New(rand.NewPCG(*seed, 2))
	names := []string{"throw", "rod", "half_bore", "mouth", "rod_deep", "rod_shallow", "rod_out", "rod_thick", "lip_room"}
	for range 3 {
		e := engine.New()
		var tols []spread.Tolerance
		for _, n := range names {
			e.Set(n, e.Value(n)*(1+0.05*(rng.Float64()-0.5)))
			tols = append(tols, within(e, n, -0.3*rng.Float64(), 0.3*rng.Float64()))
		}
		a := carried(t, e, machine.Options{}, 40, tols...)
		for range 100 {
			change := make(map[int]float64)
			for _, tol := range tols {
				u := rng.Float64()
				if rng.IntN(2) == 0 {
					u = math.Round(u)
				}
				change[tol.Dim] = tol.Value + tol.Lower + u*(tol.Upper-tol.Lower)
			}
			m, err := e.Vary().Machine(change)
			if err != nil {
				t.Fatal(err)
			}
			res, err := m.Study(t.Context(), machine.Options{Workers: 1})
			if err != nil {
				t.Fatal(err)
			}
			for i := range a.Checks {
				c := &a.Checks[i]
				if room := e.Problem.Judge(&res.Findings[i]).Margin; room < c.Room-1e-6 {
					t.Errorf("check %d: an engine leaves %v, the worst case %v", i, room, c.Room)
				}
				if c.OK && !res.Findings[i].OK {
					t.Errorf("check %d holds in the worst case, and falls short in an engine", i)
				}
			}
		}
	}
}

// A tolerance with which the rod may not reach round is told.
func TestCannotBeAssembled(t *testing.T) {
	e := engine.New().Set("rod", 25.5)
	a := carried(t, e, machine.Options{}, 60, within(e, "rod", -0.3, 0.3))
	if a.Unmade == 0 || a.Unmade == a.Samples {
		t.Errorf("%d of %d engines cannot be assembled; want some", a.Unmade, a.Samples)
	}
	if c := a.Checks[engine.Travels]; c.OK || !c.Unmade {
		t.Errorf("got %+v; want it not to hold, for it cannot be assembled", c)
	}
}

// Without tolerances nothing is drawn, and every check stands where it stands.
func TestNoTolerance(t *testing.T) {
	a := carried(t, engine.New().Set("pin_length", 20), machine.Options{}, 10)
	for _, c := range a.Checks {
		if c.Samples != 0 || c.Worst != c.Figure || c.OK != (c.Check != engine.Pin) {
			t.Errorf("got %+v", c)
		}
	}
}
