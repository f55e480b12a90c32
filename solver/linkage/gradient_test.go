package linkage

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver/expr"
	"barover/solver/schedule"
)

// figure is a sum of coordinates with random weights.
type figure struct{ x, y []float64 }

func newFigure(rnd *rand.Rand, points int) figure {
	f := figure{make([]float64, points), make([]float64, points)}
	for i := range f.x {
		f.x[i], f.y[i] = rnd.Float64()-0.5, rnd.Float64()-0.5
	}
	return f
}

func (f figure) of(p *Pose) (sum float64) {
	for i, z := range p.Point {
		sum += f.x[i]*z.X + f.y[i]*z.Y
	}
	return sum
}

// slope is df/dp at 0 by central differences to the fourth order, at two steps. It is no number where f is not, or where
// the two tell differently, as they do next to a dead centre.
func slope(f func(d float64) float64, h float64) float64 {
	twice, once, half := f(2*h)-f(-2*h), f(h)-f(-h), f(h/2)-f(-h/2)
	a, b := (8*once-twice)/(12*h), (8*half-once)/(6*h)
	if !(math.Abs(a-b) <= 1e-7*max(1, math.Abs(b))) {
		return math.NaN()
	}
	return b
}

// wantSlope checks a derivative against differences: relative to the greatest in hand, for roundoff follows that.
func wantSlope(t *testing.T, what string, got, want, scale, tol float64) {
	t.Helper()
	if math.IsNaN(want) {
		return
	}
	if !(math.Abs(got-want) <= tol*max(1, scale)) {
		t.Errorf("%s: got %.9g, differences say %.9g", what, got, want)
	}
}

// The derivative of random figures by every dimension, the turn and the travel, against central differences of
// positions that are solved again; with a count that proves that every kind of statement was tried.
func TestAdjointAgainstDifferences(t *testing.T) {
	tried := make(map[string]int)
	randomMachines(t, 23, 120, func(name string, m *machine, l *Linkage) {
		const at = 2.3 * deg
		turn := m.turn + at
		setting := []float64{1.5}
		where := func(l *Linkage, turn, travel float64) *Pose {
			mo, err := l.Follow(t.Context(), []float64{travel}, m.turn, m.turn+3*deg, deg)
			p := new(Pose)
			if err != nil || mo.At(turn, p) != Solved {
				return nil
			}
			return p
		}
		p := where(l, turn, setting[0])
		if p == nil {
			return
		}
		f := newFigure(m.rnd, len(m.Points))
		seeds, ok := l.Adjoint(p, f.x, f.y)
		if !ok {
			t.Errorf("%s: no derivative", name)
			return
		}
		grad := expr.NewGradient(m.g, len(m.Points), 1)
		if !expr.NewEval(l.v).Backward(seeds, &expr.Context{Turn: p.Turn, Travel: p.Travel}, grad) {
			t.Fatalf("%s: Backward refused", name)
		}
		scale := 0.0
		for _, g := range grad.Dim {
			scale = max(scale, math.Abs(g))
		}
		if scale > 1e3 {
			return // next to a dead centre differences are of no use
		}
		value := func(p *Pose) float64 {
			if p == nil {
				return math.NaN()
			}
			return f.of(p)
		}
		for k, id := range m.g.Dims {
			want := slope(func(d float64) float64 {
				o, err := l.With(expr.Resolve(m.g, map[int]float64{k: l.v.At(id) + d}))
				if err != nil {
					return math.NaN()
				}
				return value(where(o, turn, setting[0]))
			}, 1e-4)
			wantSlope(t, fmt.Sprintf("%s, dimension %d", name, k), grad.Dim[k], want, scale, 1e-6)
		}
		wantSlope(t, name+", turn", grad.Turn, slope(func(d float64) float64 { return value(where(l, turn+d, setting[0])) }, 1e-4), scale, 1e-6)
		wantSlope(t, name+", travel", grad.Travel[0], slope(func(d float64) float64 { return value(where(l, turn, setting[0]+d)) }, 1e-3), scale, 1e-6)
		countKinds(tried, m.Model, l.s)
	})
	wantAllKinds(t, tried)
}

// countKinds counts what a machine was made of.
func countKinds(n map[string]int, m *schedule.Model, s *schedule.Schedule) {
	for _, p := range m.Points {
		n[fmt.Sprint("point ", p.Kind)]++
	}
	for _, p := range m.Parts {
		n[fmt.Sprint("part ", p.Kind)]++
		if p.Heading != expr.None {
			n["part with a heading"]++
		}
	}
	for _, l := range m.Lines {
		if l.Q >= 0 {
			n["line from to"]++
		} else {
			n["line with a heading"]++
		}
	}
	for _, e := range m.Equations {
		n[fmt.Sprint("equation ", e.Kind)]++
		if e.V != expr.None && m.Graph.Uses(e.V)&expr.UsesTurn != 0 {
			n[fmt.Sprint("equation moved by the turn ", e.Kind)]++
		}
		if e.V != expr.None && m.Graph.Uses(e.V)&expr.UsesTravel != 0 {
			n[fmt.Sprint("equation moved by the travel ", e.Kind)]++
		}
	}
	for _, step := range s.Steps {
		for _, op := range step.Ops {
			n[fmt.Sprint("op ", op.Kind)]++
			if op.Back {
				n[fmt.Sprint("op back ", op.Kind)]++
			}
		}
		for _, r := range step.Rows {
			n[fmt.Sprint("row ", r.Kind)]++
		}
	}
}

// countRare counts what a machine was made of, and reports whether some of it was in fewer than three machines so far.
func countRare(n map[string]int, m *schedule.Model, s *schedule.Schedule) (rare bool) {
	made := make(map[string]int)
	countKinds(made, m, s)
	for k := range made {
		rare = rare || n[k] < 3
		n[k]++
	}
	return rare
}

// wantAllKinds fails for a kind that was never tried.
func wantAllKinds(t *testing.T, n map[string]int) {
	t.Helper()
	want := []string{"part with a heading", "line from to", "line with a heading",
		fmt.Sprint("op back ", schedule.OpHeading), fmt.Sprint("op back ", schedule.OpPolar), fmt.Sprint("op back ", schedule.OpSpun)}
	add := func(what string, first, last int) {
		for k := first; k <= last; k++ {
			want = append(want, fmt.Sprint(what, " ", k))
		}
	}
	add("point", int(schedule.Driven), int(schedule.OnPart))
	add("part", int(schedule.Frame), int(schedule.AtHeading))
	add("equation", int(schedule.Length), int(schedule.OnArc))
	add("equation moved by the turn", int(schedule.Length), int(schedule.Angle))
	add("equation moved by the travel", int(schedule.Length), int(schedule.Angle))
	add("op", int(schedule.OpAt), int(schedule.OpFree))
	add("row", int(schedule.RowLength), int(schedule.RowUnit))
	for _, k := range want {
		if n[k] == 0 {
			t.Errorf("no machine had: %s", k)
		}
	}
}

// Speeds and accelerations of every point, against central differences.
func TestRatesAgainstDifferences(t *testing.T) {
	tried := make(map[string]int)
	randomMachines(t, 31, 120, func(name string, m *machine, l *Linkage) {
		mo, err := l.Follow(t.Context(), []float64{0}, m.turn-3*deg, m.turn+3*deg, deg)
		if err != nil {
			t.Fatal(err)
		}
		turn := m.turn + 0.4*deg
		var p Pose
		if mo.At(turn, &p) != Solved {
			return
		}
		var r expr.Context
		mo.Rates(&p, &r)
		for i := range m.Points {
			speed, bend := math.Hypot(r.DX[i], r.DY[i]), math.Hypot(r.DDX[i], r.DDY[i])
			if speed > 3e3 || bend > 3e4 {
				return // next to a dead centre
			}
			at := func(d float64) (x, y float64) {
				var p Pose
				if mo.At(turn+d, &p) != Solved {
					return math.NaN(), math.NaN()
				}
				return p.Point[i].X, p.Point[i].Y
			}
			what := fmt.Sprintf("%s, point %d", name, i)
			wantSlope(t, what+" dx", r.DX[i], slope(func(d float64) float64 { x, _ := at(d); return x }, 1e-3), speed+bend/100, 1e-6)
			wantSlope(t, what+" dy", r.DY[i], slope(func(d float64) float64 { _, y := at(d); return y }, 1e-3), speed+bend/100, 1e-6)
			rate := func(d float64, y bool) float64 {
				var p Pose
				var c expr.Context
				if mo.At(turn+d, &p) != Solved {
					return math.NaN()
				}
				mo.Rates(&p, &c)
				if y {
					return c.DY[i]
				}
				return c.DX[i]
			}
			wantSlope(t, what+" ddx", r.DDX[i], slope(func(d float64) float64 { return rate(d, false) }, 1e-3), bend+speed, 1e-5)
			wantSlope(t, what+" ddy", r.DDY[i], slope(func(d float64) float64 { return rate(d, true) }, 1e-3), bend+speed, 1e-5)
		}
		countKinds(tried, m.Model, l.s)
	})
	wantAllKinds(t, tried)
}
