package machine

import (
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/expr"
	"barover/solver/trial/draws"
)

// Beside a bar a check is told as Some tells it wherever its figures go beyond the bar, and within the bar otherwise; whether it
// holds is told the same always. Sampled, in engines of random dimensions with a range of travel, with bars about where the
// figures are.
func TestSomeBeside(t *testing.T) {
	t.Logf("seed %d", *seed)
	rng := rand.New(rand.NewPCG(*seed, 6))
	o := Options{Sampled: true, Workers: 1}
	beyond, within := 0, 0
	engines := draws.Of(12)
	for range engines {
		d := leverEngine(rng)
		axle := d.travel("axle", 0, true, -3, -1, 1, 3)
		d.p.Linkage.Points[0].V = axle // the shaft rides on it
		m, err := New(d.p, d.drawn())
		if err != nil {
			t.Fatal(err)
		}
		all := engine.Everything(m.Problem).Checks
		exact, err := m.Some(t.Context(), o, all)
		if err != nil {
			t.Fatal(err)
		}
		for range 4 {
			bars := make([]engine.Bar, len(all))
			for i := range bars {
				f := &exact.Findings[i]
				scale := 0.02 * math.Max(1, math.Abs(f.Least))
				bars[i] = engine.Bar{Least: f.Least + scale*rng.NormFloat64(), Greatest: solver.OrNumber(f.Greatest, f.Least) + scale*rng.NormFloat64()}
			}
			rough, err := m.SomeBeside(t.Context(), o, all, bars)
			if err != nil {
				t.Fatal(err)
			}
			for i := range all {
				f, g, b := &exact.Findings[i], &rough.Findings[i], bars[i]
				if f.OK != g.OK || f.Apart != g.Apart {
					t.Errorf("check %d: ok %v, apart %v; exactly %v, %v", i, g.OK, g.Apart, f.OK, f.Apart)
				}
				if f.Apart {
					continue
				}
				if f.Least < b.Least {
					beyond++
					if !(math.Abs(g.Least-f.Least) <= 1e-9) {
						t.Errorf("check %d: least %v, exactly %v, beyond %v", i, g.Least, f.Least, b.Least)
					}
				} else if within++; !(g.Least >= b.Least-1e-9) {
					t.Errorf("check %d: least %v, exactly %v, within %v", i, g.Least, f.Least, b.Least)
				}
				if d.p.Checks[i].Kind == solver.Keep && f.Greatest > b.Greatest && !(math.Abs(g.Greatest-f.Greatest) <= 1e-9) {
					t.Errorf("check %d: greatest %v, exactly %v, beyond %v", i, g.Greatest, f.Greatest, b.Greatest)
				}
			}
		}
	}
	if beyond < 14*engines || within < 14*engines {
		t.Errorf("%d beyond their bars and %d within: too few to tell", beyond, within)
	}
}

// What lies between the positions looked at, or between the steps of a range, is sought where it may pass a limit, however far
// out the bar is. Both squares are zero there and well above what is asked at the positions and steps.
func TestBesideALimit(t *testing.T) {
	d := newDraft(0, 360, 5)
	axle := d.travel("axle", 1, true, -3, -1, 1, 3)
	d.fixed("shaft", 0, 0)
	square := func(a expr.ID, at, by float64) expr.ID {
		off := d.g.Sub(a, d.num(at))
		return d.g.Mul(d.num(by), d.g.Mul(off, off))
	}
	d.keep(square(d.g.Turn(), 100.5*deg, 1e4), d.num(0.2), expr.None)
	d.keep(square(axle, 0.1, 1), d.num(0.2), expr.None)
	d.keep(d.g.Unary(expr.Neg, square(d.g.Turn(), 100.5*deg, 1e4)), expr.None, d.num(-0.2))
	d.keep(d.g.Unary(expr.Neg, square(axle, 0.1, 1)), expr.None, d.num(-0.2))
	m, err := New(d.p, d.drawn())
	if err != nil {
		t.Fatal(err)
	}
	far := engine.Bar{Least: math.Inf(-1), Greatest: math.Inf(1)}
	res, err := m.SomeBeside(t.Context(), Options{Sampled: true}, engine.Everything(m.Problem).Checks, []engine.Bar{far, far, far, far})
	if err != nil {
		t.Fatal(err)
	}
	for i, f := range res.Findings {
		if f.OK {
			t.Errorf("check %d is said to hold: from %v to %v", i, f.Least, f.Greatest)
		}
	}
}
