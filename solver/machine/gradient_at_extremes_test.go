package machine

import (
	"math"
	"testing"

	"barover/solver"
	"barover/solver/expr"
)

// perUnit is what a dimension does to a finding.
func (d *draft) perUnit(f *solver.Finding, name string) float64 {
	for _, l := range f.Levers {
		if d.p.Dims[l.Dim].Name == name {
			return l.PerUnit
		}
	}
	return 0
}

// A boss that rides up and down with its axle is deepest within a bar half way through: there it could leave by either face,
// and each face counts half.
func TestKinkWithinRange(t *testing.T) {
	d := newDraft(0, 360, 5)
	axle := d.travel("axle", 0, true, -6, 0, 6)
	o, pin := d.at("shaft", d.num(0), axle), d.found("pin")
	d.crank(o, pin, d.num(20))
	z := d.num(0)
	boss := d.profile(d.part("crank", o, pin), "boss", z, d.num(3), d.disc(z, z, d.dim("boss", 4)))
	bar := d.profile(0, "bar", z, d.num(3), d.box(d.num(-50), d.dim("bottom", -3), d.num(50), d.dim("top", 5)))
	d.clear(boss, bar, d.num(0))
	res, err := study(t.Context(), d.p, d.drawn(), Options{Levers: AllLevers})
	if err != nil {
		t.Fatal(err)
	}
	f := &res.Findings[0]
	compareFigures(t, []figured{
		{"depth", f.Least, -6, 1e-3}, {"at axle", f.At.Travel[0], 1, 1e-3},
		{"top", d.perUnit(f, "top"), -0.5, 1e-6}, {"bottom", d.perUnit(f, "bottom"), 0.5, 1e-6},
		{"boss", d.perUnit(f, "boss"), -0.5, 1e-6},
	})
}

// What a dimension does to a rate is found by solving with a little more and a little less of it. The greatest speed of a
// piston against central differences of the closed form.
func TestLeversOfRate(t *testing.T) {
	d := newDraft(0, 360, 5)
	s := d.sliderCrank(d.dim("throw", 8), d.dim("rod", 24.5), 32.5)
	d.keep(d.g.Unary(expr.Neg, d.g.Unary(expr.Rate, d.g.X(s.crosspin))), expr.None, d.num(8))
	res, err := study(t.Context(), d.p, d.drawn(), Options{Levers: AllLevers})
	if err != nil {
		t.Fatal(err)
	}
	f := &res.Findings[0]
	fastest := func(r, l float64) float64 {
		best := 0.0
		for k := range 360000 {
			s, c := math.Sincos(float64(k) * 1e-3 * deg)
			best = math.Max(best, r*s+r*r*s*c/math.Sqrt(l*l-r*r*s*s))
		}
		return best
	}
	compareFigures(t, []figured{
		{"fastest", f.Greatest, fastest(8, 24.5), 1e-8},
		{"throw", d.perUnit(f, "throw"), (fastest(8.001, 24.5) - fastest(7.999, 24.5)) / 0.002, 1e-5},
		{"rod", d.perUnit(f, "rod"), (fastest(8, 24.501) - fastest(8, 24.499)) / 0.002, 1e-5},
	})
}

// On the dead centre at which a motion ends its places have no slopes, since they change there as a square root: what depends on
// them has no levers, and what does not has its own. A block on a bore is driven by a rod whose other end rises square to the bore.
func TestNoLeversOnDeadCentre(t *testing.T) {
	for _, rod := range []float64{10, 57.946644, 90.177264} {
		d := newDraft(0, 90, 5)
		rise := d.g.Mul(d.dim("rod", rod), d.g.Div(d.g.Turn(), d.num(math.Pi/2)))
		p, q := d.at("p", d.num(0), rise), d.near("q", rod, 0)
		d.length(p, q, d.num(rod))
		d.slide(q, d.line("bore", d.fixed("o", 0, 0), 0))
		d.keep(d.g.X(q), d.num(1), expr.None)
		d.keep(d.g.Y(p), expr.None, d.num(rod-1))
		res, err := study(t.Context(), d.p, d.drawn(), Options{Levers: AllLevers})
		if err != nil {
			t.Fatal(err)
		}
		if f := &res.Findings[0]; math.Abs(f.Least) > 1e-6 || len(f.Levers) > 0 {
			t.Errorf("rod %v: least %v, levers %+v", rod, f.Least, f.Levers)
		}
		if v := d.perUnit(&res.Findings[1], "rod"); math.Abs(v-1) > 1e-9 {
			t.Errorf("rod %v: the driver rises %v for one of its dimension", rod, v)
		}
	}
}
