package sheet

import (
	"math"
	"strings"
	"testing"

	"barover/render/drawing"
	"barover/solver"
	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// looseMill is the mill with a loose length from the shaft to the crosspin: 133.35, as it is at about 80°, within ± 10.
func looseMill(t *testing.T) *Engine {
	e := mill(t)
	g, p := e.Problem.Graph, e.Problem
	play := g.Const(10)
	p.Linkage.Equations = append(p.Linkage.Equations, schedule.Equation{Kind: schedule.Length, P: 0, Q: 2, R: -1, On: -1,
		V: g.Const(133.35), Loose: true, Play: play})
	p.Checks = append(p.Checks, solver.Check{Kind: solver.Loose, Stmt: 30, Equation: 1, Sum: expr.None, AtLeast: expr.None, AtMost: play})
	e.Values = expr.Resolve(g, nil)
	e.Result.Findings = append(e.Result.Findings, solver.Finding{Check: 4, AtLeast: math.NaN(), AtMost: 10, Least: -22, Greatest: 22,
		Fouls: []solver.Interval{{From: 2.2, To: 4.1}, {From: 5.2, To: 7.4}}})
	return e
}

// A loose length has a chart of its miss, with the lines of its play, on a further sheet.
func TestMissChart(t *testing.T) {
	e := looseMill(t)
	o := options()
	s := lay(e, &o)
	charts := 0
	for _, d := range NewBook(e, o).Sheets() {
		if has(texts(d)["charts"], "too long (+), too short (-)") {
			charts++
		}
	}
	if charts != 1 {
		t.Errorf("its chart stands on %d sheets, want 1", charts)
	}
	v := &view{scene: s, o: &o, w: o.Words, d: drawing.New("", 297, 210)}
	for _, a := range s.answers() {
		if a.Check.Kind != solver.Loose {
			continue
		}
		v.say(&a, v.w)
		c := v.missChart(&a)
		if len(c.Levels) != 3 || c.Levels[1].Y != 10 || c.Levels[2].Y != -10 || !(c.Y.To > 22) || !(c.Y.From < -22) {
			t.Errorf("levels %v, axis from %g to %g", c.Levels, c.Y.From, c.Y.To)
		}
		if len(c.Bands) != 6 {
			t.Errorf("got %d bands, want each of 2 stretches a whole turn before and behind too", len(c.Bands))
		}
		for _, p := range c.Curves[0].Points {
			sin, cos := math.Sincos(p.X)
			want := 22*cos + math.Sqrt(133.35*133.35-22*22*sin*sin) - 133.35
			if !(math.Abs(p.Y-want) <= 1e-9) {
				t.Fatalf("at %g: got a miss of %g, want %g", p.X, p.Y, want)
			}
		}
		return
	}
	t.Error("no answer for the loose length")
}

// A miss that is the same all round has no one place.
func TestLevelMiss(t *testing.T) {
	e := looseMill(t)
	o := options()
	for _, c := range []struct {
		least, greatest float64
		want            string
	}{{-22, 22, "22 at 0°"}, {3, 3, "3 everywhere"}} {
		f := &e.Result.Findings[len(e.Result.Findings)-1]
		f.Least, f.Greatest = c.least, c.greatest
		s := lay(e, &o)
		v := &view{scene: s, o: &o, w: o.Words}
		for _, a := range s.answers() {
			if a.Check.Kind != solver.Loose {
				continue
			}
			v.say(&a, v.w)
			if m := v.missChart(&a).Marks; len(m) != 1 || strings.TrimPrefix(m[0].Name, "-") != c.want {
				t.Errorf("from %v to %v: %v", c.least, c.greatest, m)
			}
		}
	}
	v := &view{w: plain}
	for _, c := range []struct {
		points []plane.Vec
		want   bool
	}{{nil, false}, {[]plane.Vec{{Y: 1}, {X: 1, Y: 1.001}}, true}, {[]plane.Vec{{Y: 1}, {X: 1, Y: 1.2}}, false}, {[]plane.Vec{{Y: math.NaN()}}, false}} {
		if got := v.level(c.points); got != c.want {
			t.Errorf("%v: %v", c.points, got)
		}
	}
}
