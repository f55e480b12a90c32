package machine

import (
	"flag"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/outline"
	"barover/solver/plane"
	"barover/solver/trial"
	"barover/solver/trial/draws"
	"barover/solver/tube"
)

var linkages = flag.Int("linkages", max(10, draws.Of(40)), "how many random linkages TestNoEngineBelowWithPlay draws; 1000 is the long form")

// randomPlayed draws a linkage, near toggles and change points too, with sizes and with play at some of its eyes. It is nil where it cannot
// be assembled.
func randomPlayed(rng *rand.Rand) (*Machine, []tube.Size) {
	d, err := trial.RandomSized(rng)
	if err != nil {
		return nil, nil
	}
	g := d.Graph
	p := &solver.Problem{Graph: g, Linkage: &d.Model, Turn: solver.Turn{Name: "crank", From: d.From, To: d.From + 2*math.Pi, Step: 5 * deg},
		Travels: []solver.Travel{{Name: "axle", Range: d.Rise > 0, From: -d.Rise, To: d.Rise, Settings: []float64{-d.Rise, 0, d.Rise}}}}
	if d.Rise == 0 {
		p.Travels[0].Settings = []float64{0}
	}
	for range d.Drawn {
		p.Dims = append(p.Dims, solver.Dim{})
	}
	for _, b := range d.Bodies {
		p.Profiles = append(p.Profiles, solver.Profile{Part: b.Part, Name: b.Name, From: g.Const(0), To: g.Const(1), Shapes: b.Shapes})
	}
	for _, q := range trial.Pairs(d.Bodies, 4) {
		p.Checks = append(p.Checks, solver.Check{Kind: solver.Clear, A: q[0], B: q[1], AtLeast: g.Const(0), AtMost: expr.None, Stmt: len(p.Checks)})
	}
	tol := math.Pow(10, -3+2*rng.Float64())
	eyes := p.Eyes()
	for _, k := range rng.Perm(len(eyes))[:min(len(eyes), rng.IntN(5))] {
		eye := eyes[k]
		eye.V = g.Const(2 * tol * rng.Float64())
		p.Plays = append(p.Plays, eye)
	}
	var sizes []tube.Size
	for _, k := range rng.Perm(len(d.Drawn))[:min(len(d.Drawn), 1+rng.IntN(8))] {
		sizes = append(sizes, tube.Size{Dim: k, Mid: d.Drawn[k], Half: tol * (0.3 + rng.Float64())})
	}
	m, err := New(p, expr.Resolve(g, nil))
	if err != nil {
		return nil, nil
	}
	return m, sizes
}

// TestNoEngineBelowWithPlay: random linkages with tolerances and play. No engine drawn, none at a corner and none with its eyes at their rims
// comes below what is proved; what is not proved has a reason and never passes.
func TestNoEngineBelowWithPlay(t *testing.T) {
	t.Logf("seed %d", *seed)
	drawn, bounds, engines, within, open := 0, 0, 0, 0, map[solver.Why]int{}
	var over []float64
	for n := range *linkages {
		rng := rand.New(rand.NewPCG(*seed, uint64(n))) // so that a linkage is the same whatever is done with the others
		m, sizes := randomPlayed(rng)
		if m == nil {
			continue
		}
		drawn++
		checks := make([]int, len(m.Problem.Checks))
		for i := range checks {
			checks[i] = i
		}
		e, err := m.Everywhere(t.Context(), Options{}, sizes, checks)
		if err != nil {
			t.Fatal(err)
		}
		known := map[int]Bound{}
		for i := range checks {
			b, err := e.Check(t.Context(), i, false)
			if err != nil {
				t.Fatal(err)
			}
			switch {
			case b.Known && !math.IsNaN(b.Worst):
				bounds++
				known[i] = b
				if loose, ok := e.looseOf(t, i, &b); ok {
					over = append(over, loose)
				}
			case b.Known || b.Why.Why == solver.NotTried || e.Holds(i, &b):
				t.Errorf("linkage %d, check %d: %+v", n, i, b)
			default:
				open[b.Why.Why]++
			}
		}
		if len(known) > 0 {
			engines += e.below(t, rng, n, known)
		}
		within += e.within(t, rng, n, m.Envelopes(t.Context(), sizes))
	}
	slices.Sort(over)
	t.Logf("%d linkages, %d bounds, %d engines, %d places within an envelope; without a bound, by reason: %v", drawn, bounds, engines, within, open)
	if k := len(over); k > 0 {
		t.Logf("of what sizes and play do the bound is %.3f %% too low in the middle, %.2f %% at nine in ten, %.1f %% at most, of %d", 100*over[k/2], 100*over[k*9/10], 100*over[k-1], k)
	}
	if bounds < *linkages/2 || engines < 4**linkages || within < 40**linkages {
		t.Errorf("too little is looked at: %d bounds, %d engines, %d places", bounds, engines, within)
	}
}

// looseOf is by how much a bound lies below the engine that it names, as a share of what the sizes and the play do there; false where they
// do less than a tenth of a mm, beside which the tolerance of the search counts.
func (e *Everywhere) looseOf(t *testing.T, check int, b *Bound) (float64, bool) {
	worst := e.solved(t.Context(), check, b)
	tight, _ := e.stands(t.Context(), check, make([]float64, len(e.sizes.List)), &b.At)
	if worst == nil || tight == nil || tight.v-worst.v < 0.1 {
		return 0, false
	}
	return (worst.v - b.Worst) / (tight.v - worst.v), true
}

// below draws engines and looks for one below its bound. It returns how many were solved.
func (e *Everywhere) below(t *testing.T, rng *rand.Rand, linkage int, known map[int]Bound) (looked int) {
	axle := e.m.Problem.Travels[0]
	for range 16 {
		at := e.drawnOff(rng)
		n, err := e.with(at)
		if err != nil {
			continue
		}
		looked++
		for k := range 24 {
			turn := e.m.Problem.Turn.From + 2*math.Pi*rng.Float64()
			travel := axle.From + (axle.To-axle.From)*rng.Float64()
			for i, b := range known {
				if k%3 == 0 {
					turn = b.At.Turn + 0.05*rng.NormFloat64()
				}
				if v, ok := n.apartAt(t, i, tube.Place{Turn: turn, Travel: []float64{travel}}); ok && v < b.Worst-1e-7 {
					t.Errorf("linkage %d, check %d: %.9g at %v° and %v with %v, proved nowhere below %.9g", linkage, i, v, turn/deg, travel, at, b.Worst)
				}
			}
		}
	}
	return looked
}

// within draws engines at one setting of the travels and looks for one outside the envelope of the first check, beside its gaps too. It returns
// at how many places it looked.
func (e *Everywhere) within(t *testing.T, rng *rand.Rand, linkage int, of *Envelopes) (looked int) {
	c, axle := &e.m.Problem.Checks[0], e.m.Problem.Travels[0]
	travel := []float64{axle.From + (axle.To-axle.From)*rng.Float64()}
	if !axle.Range {
		travel[0] = axle.Settings[0]
	}
	env, err := of.Of(t.Context(), c.A, c.B, travel, 1e4)
	if err != nil {
		t.Fatal(err)
	}
	if env.Why != solver.NotTried {
		return 0
	}
	for range 8 {
		at := e.drawnOff(rng)
		n, err := e.with(at)
		if err != nil {
			continue
		}
		for range 30 {
			turn := e.m.Problem.Turn.From + 2*math.Pi*rng.Float64()
			low, high := env.between(turn)
			v, ok := n.apartAt(t, 0, tube.Place{Turn: turn, Travel: travel})
			if !ok || math.IsNaN(low) && math.IsNaN(high) {
				continue
			}
			if looked++; v < low-1e-7 || v > high+1e-7 {
				t.Errorf("linkage %d: %.9g at %v° and %v with %v lies outside %.9g to %.9g", linkage, v, turn/deg, travel, at, low, high)
			}
		}
	}
	return looked
}

// drawnOff draws how far the sizes are off their middles: half of the time each at one end, and every eye at its rim.
func (e *Everywhere) drawnOff(rng *rand.Rand) []float64 {
	at := make([]float64, len(e.sizes.List))
	corner := rng.IntN(2) == 0
	for i := 0; i < len(at); i++ {
		if e.sizes.Disc[i] {
			u := plane.Polar(2 * math.Pi * rng.Float64())
			if !corner {
				u = u.Scale(math.Sqrt(rng.Float64()))
			}
			at[i], at[i+1] = u.X, u.Y
			i++
			continue
		}
		if at[i] = 2*rng.Float64() - 1; corner {
			at[i] = math.Copysign(1, at[i])
		}
	}
	return at
}

// apartAt is how far the two of a clear line are apart at a place; false where the engine cannot be assembled there.
func (m *Machine) apartAt(t *testing.T, check int, at tube.Place) (float64, bool) {
	p := m.Problem
	if at.Turn < p.Turn.From || at.Turn > p.Turn.To {
		return 0, false
	}
	pose, status, err := m.Pose(t.Context(), at.Turn, at.Travel)
	if err != nil {
		t.Fatal(err)
	}
	if status != 0 {
		return 0, false
	}
	c := &p.Checks[check]
	return outline.Distance(m.Regions[c.A], pose.Part[p.Profiles[c.A].Part], m.Regions[c.B], pose.Part[p.Profiles[c.B].Part]).D, true
}
