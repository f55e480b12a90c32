package spread_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/machine"
	"barover/solver/spread"
	"barover/solver/trial/draws"
	"barover/solver/trial/engine"
)

// wholes adds keep lines of a stroke and of the place where it ends to an engine; they return their numbers.
func wholes(e *engine.Engine) (stroke, end int) {
	p := e.Problem
	g, x := p.Graph, p.Graph.X(2)
	p.Checks = append(p.Checks, solver.Check{Kind: solver.Keep, Sum: g.Unary(expr.Span, x), AtLeast: g.Const(50), AtMost: expr.None},
		solver.Check{Kind: solver.Keep, Sum: g.Unary(expr.Greatest, x), AtLeast: expr.None, AtMost: g.Const(160)})
	stroke, end = len(p.Checks)-2, len(p.Checks)-1
	for at := -20.0; at <= 20; at += 4 { // places that the sizes move, some over where boxes of the turn meet
		for _, op := range [2]expr.Op{expr.Rises, expr.Falls} {
			place := g.Place(op, g.Sub(g.Y(1), g.Const(at)))
			p.Checks = append(p.Checks, solver.Check{Kind: solver.Keep, Sum: g.AtPlace(x, place), AtLeast: g.Const(50), AtMost: expr.None})
		}
	}
	return stroke, end
}

// What is proved of every engine lies beyond none that was solved, and near the worst that can be found: engines of random
// dimensions with random tolerances, solved at corners and between them.
func TestNoEngineBeyondTheProved(t *testing.T) {
	t.Logf("seed %d", *seed)
	rng := rand.New(rand.NewPCG(*seed, 21))
	proved := 0
	for range draws.Of(12) {
		e := engine.New().Set("half_bore", 14.8+rng.Float64()).Set("throw", 22+4*rng.Float64())
		wholes(e)
		var tols []spread.Tolerance
		for _, dim := range []string{"throw", "rod", "rod_deep", "half_bore", "mouth", "rod_out", "bearing_thick"} {
			if rng.IntN(3) > 0 {
				tols = append(tols, within(e, dim, -0.2*rng.Float64(), 0.01+0.2*rng.Float64()))
			}
		}
		if len(tols) == 0 {
			continue
		}
		a := carried(t, e, machine.Options{}, 30, tols...)
		for range 12 {
			at := map[int]float64{}
			corner := rng.IntN(2) == 0
			for _, q := range tols {
				x := rng.Float64()
				if corner {
					x = math.Round(x)
				}
				at[q.Dim] = q.Value + q.Lower + x*(q.Upper-q.Lower)
			}
			m, err := e.Vary().Machine(at)
			if err != nil {
				t.Fatal(err)
			}
			res, err := m.Study(t.Context(), machine.Options{})
			if err != nil {
				t.Fatal(err)
			}
			for i := range a.Checks {
				c := &a.Checks[i]
				if math.IsNaN(c.Proved) {
					continue
				}
				proved++
				f := &res.Findings[i]
				v, beyond := f.Least, c.Proved-f.Least
				if c.Upper {
					v = solver.OrNumber(f.Greatest, f.Least)
					beyond = v - c.Proved
				}
				if i == engine.End { // its limit follows from the crank and the rod
					beyond += c.Finding.AtMost - f.AtMost
				}
				if beyond > 1e-6 {
					t.Errorf("check %d: an engine has %v, beyond the proved %v (worst found %v, now %v)", i, v, c.Proved, c.Worst, c.Figure)
				}
				if c.Holds && !f.OK {
					t.Errorf("check %d is proved to hold and does not", i)
				}
			}
		}
		for i := range a.Checks {
			c := &a.Checks[i]
			if over := math.Abs(c.Proved - c.Worst); i != engine.End && over > 0.003+0.05*math.Abs(c.Worst-c.Figure) {
				t.Errorf("check %d: proved %v, found %v, now %v", i, c.Proved, c.Worst, c.Figure)
			}
		}
	}
	if proved < 500 {
		t.Errorf("only %d figures were proved", proved)
	}
}

// Where some sizes bring the linkage to its dead centre nothing is proved of what moves, and the reason is told; what lies across
// is proved even so.
func TestDeadCentreWithinTolerances(t *testing.T) {
	e := engine.New().Set("rod", 25.45)
	a := carried(t, e, machine.Options{}, 20, within(e, "rod", -0.2, 0.2), within(e, "rod_out", -0.1, 0.1))
	if c := a.Checks[engine.Lip]; !math.IsNaN(c.Proved) || c.Holds || c.Why.Why == solver.NotTried {
		t.Errorf("the lip is proved to keep %v (holds %v, %v); with a rod below the throw it cannot go round", c.Proved, c.Holds, c.Why)
	}
	if c := a.Checks[engine.Beside]; !(math.Abs(c.Proved-(3.5-0.1)) < 1e-9) {
		t.Errorf("the gap is proved to be %v, want 3.4", c.Proved)
	}
}
