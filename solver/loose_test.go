package solver

import (
	"math"
	"testing"

	"barover/solver/expr"
	"barover/solver/linkage"
)

// coupled is two axles, in inches made mm, whose wheels have pins at a quarter turn on either side, coupled by a rod on
// each side that may be missed by a play. The second axle's quarter is out by an angle.
func coupled(left, right, quarter, play float64) (d *draft, checks [2]int) {
	d = newDraft(0, 360, 5)
	throw := d.dim("throw", 1*in)
	o1, o2 := d.at("front", d.dim("base", 6.5*in), d.num(0)), d.fixed("back", 0, 0)
	p1, p2 := d.found("right_front"), d.found("left_front")
	q1 := d.near("right_back", 1*in, 0)
	d.crank(o1, p1, throw)
	d.arm(o1, p2, throw, d.g.Add(d.g.Turn(), d.num(math.Pi/2)))
	d.length(o2, q1, throw)
	wheel := d.part("wheel", o2, q1)
	s, c := math.Sincos(math.Pi/2 + quarter)
	q2 := d.onPart("left_back", wheel, d.num(1*in*c), d.num(1*in*s))
	var misses [2]expr.ID
	for i, rod := range [2]struct {
		p, q   int
		length expr.ID
	}{{p1, q1, d.dim("right", right*in)}, {p2, q2, d.dim("left", left*in)}} {
		e := d.hold(linkage.Equation{Kind: linkage.Length, P: rod.p, Q: rod.q, R: -1, V: rod.length, On: -1,
			Loose: true, Play: d.num(play * in)})
		misses[i] = d.g.Unary(expr.Abs, d.g.Sub(d.dist(rod.p, rod.q), rod.length))
		checks[i] = d.check(Check{Kind: Loose, Equation: e, AtLeast: -1, AtMost: -1})
	}
	miss := d.measure("miss", d.g.Binary(expr.Max, misses[0], misses[1]))
	d.mark("quarter", d.g.Turn(), RisesPast, d.num(90*deg), miss)
	d.mark("between", d.g.Turn(), RisesPast, d.num(45*deg), miss)
	return d, checks
}

// Where coupled axles bind and by how much, as the trade's rules of thumb have it, worked out apart from this program: a
// quarter out by e asks for 0.354·r·e at 45° and nothing on the dead centres; rods both too long bind on all four by all
// of the error; one rod too long on its own dead centres, by half at 45°.
func TestCoupledAxles(t *testing.T) {
	const thou = 0.001
	tests := []struct {
		name            string
		left, right     float64
		quarter         float64
		worst           float64 // in
		at              float64 // deg, counted within a quarter turn
		atQuarter, at45 float64 // in: the worst of both rods there
		play            float64
		ok              bool
	}{
		{"quarter out by 1°", 6.5, 6.5, 1 * deg, 0.0062, 45, 0, 0.0062, 0.005, false},
		{"the same, with room", 6.5, 6.5, 1 * deg, 0.0062, 45, 0, 0.0062, 0.007, true},
		{"both rods 2 thou long", 6.502, 6.502, 0, 2 * thou, 0, 2 * thou, 0, 0.003, true},
		{"one rod 2 thou long", 6.5, 6.502, 0, 2 * thou, 0, 0, 1 * thou, 0.001, false},
	}
	for _, c := range tests {
		d, checks := coupled(c.left, c.right, c.quarter, c.play)
		res, err := Study(t.Context(), d.p, d.drawn(), Options{})
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		worst, at := 0.0, math.NaN()
		for _, k := range checks {
			f := res.Findings[k]
			if f.Sure != Sampled || !(math.Abs(f.AtMost-c.play*in) <= 1e-12) {
				t.Errorf("%s: got %+v", c.name, f)
			}
			if m := math.Max(f.Greatest, -f.Least); m > worst {
				worst, at = m, f.At.Turn/deg
			}
			if f.OK != (len(f.Fouls) == 0) {
				t.Errorf("%s: ok %v, fouls %v", c.name, f.OK, f.Fouls)
			}
		}
		ok := res.Findings[checks[0]].OK && res.Findings[checks[1]].OK
		if ok != c.ok {
			t.Errorf("%s: holds %v, want %v", c.name, ok, c.ok)
		}
		off := math.Mod(at, 90)
		compareFigures(t, []figured{{c.name + " at 90°", only(t, res, 0).Shows[0] / in, c.atQuarter, 0.0002},
			{c.name + " at 45°", only(t, res, 1).Shows[0] / in, c.at45, 0.0001}})
		compareFigures(t, []figured{{c.name, worst / in, c.worst, 0.0001}, {c.name + " at", math.Min(off, 90-off), c.at, 0.5}})
	}
}

// What a dimension does to the worst miss, against differences: the pose of the smallest worst miss moves with it.
func TestLeversOfLoose(t *testing.T) {
	d, checks := coupled(6.501, 6.5025, 0.3*deg, 0.005)
	res, err := Study(t.Context(), d.p, d.drawn(), Options{Levers: AllLevers})
	if err != nil {
		t.Fatal(err)
	}
	f := &res.Findings[checks[0]]
	for _, name := range []string{"base", "left"} {
		const h = 1e-4
		v := d.drawn().At(d.dims[name])
		less, more := d.study(t, d.with(name, v-h)).Findings[checks[0]], d.study(t, d.with(name, v+h)).Findings[checks[0]]
		want := (more.Least - less.Least) / (2 * h)
		if -f.Least < f.Greatest {
			t.Fatalf("the worst is not where a rod is too short: %+v", f)
		}
		compareFigures(t, []figured{{name, d.perUnit(f, name), want, 1e-5}})
	}
}
