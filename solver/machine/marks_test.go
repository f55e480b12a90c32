package machine

import (
	"math"
	"slices"
	"testing"

	"barover/solver"
	"barover/solver/expr"
)

// turnsOf is where the marks of a draft happen, in degrees within one turn, in order.
func turnsOf(t *testing.T, d *draft, i int) (out []float64) {
	t.Helper()
	r := wheelRun(t, d, wheel{r: 10, l: 40, n: 1, spans: wholeTurn(d)})
	for _, e := range r.Happens(i) {
		v := math.Mod(math.Round(e.At.Turn/deg*1e6)/1e6+720, 360)
		out = append(out, v)
	}
	slices.Sort(out)
	return out
}

// TestFlatMarks: marks on figures that stay at a value for a while, against the same by hand. Where the turn begins makes
// no difference to where they happen.
func TestFlatMarks(t *testing.T) {
	for _, from := range []float64{0, -180, 200, 17.3, -90, 180, 179.9, 197.5} {
		d := newDraft(from, from+360, 5)
		g := d.g
		y := g.Y(1) // 10 times the sine of the crank
		clip := g.Binary(expr.Max, y, d.num(0))
		under := g.Binary(expr.Min, y, d.num(0))
		floor := g.Binary(expr.Max, y, d.num(-3))
		touch := g.Mul(g.Sub(y, d.num(10)), g.Sub(y, d.num(10)))
		h := d.heading(0, 1)
		for i, c := range []struct {
			name string
			sum  expr.ID
			when solver.MarkWhen
			past expr.ID
			want []float64
		}{
			{"opens", clip, solver.RisesPast, d.num(0), []float64{0}},
			{"shuts", clip, solver.FallsPast, d.num(0), []float64{180}},
			{"comes up to zero from below", under, solver.RisesPast, d.num(0), []float64{0}},
			{"leaves zero downward", under, solver.FallsPast, d.num(0), []float64{180}},
			{"touches zero at once", touch, solver.FallsPast, d.num(0), nil},
			{"is least on a floor", floor, solver.IsLeast, expr.None, []float64{180 + math.Asin(0.3)/deg}},
			{"is least at rest", clip, solver.IsLeast, expr.None, []float64{180}},
			{"is greatest once", clip, solver.IsGreatest, expr.None, []float64{90}},
			{"heading at zero", h, solver.RisesPast, d.num(0), []float64{0}},
			{"heading at half a turn", h, solver.RisesPast, d.num(math.Pi), []float64{180}},
			{"heading at 200°", h, solver.RisesPast, d.num(200 * deg), []float64{200}},
			{"heading never falls", h, solver.FallsPast, d.num(0), nil},
		} {
			d.mark(c.name, c.sum, c.when, c.past)
			got := turnsOf(t, d, i)
			same := len(got) == len(c.want)
			for k := range got {
				same = same && math.Abs(got[k]-c.want[k]) < 2e-6
			}
			if !same {
				t.Errorf("from %v°, %s: at %v, want %v", from, c.name, got, c.want)
			}
		}
	}
}
