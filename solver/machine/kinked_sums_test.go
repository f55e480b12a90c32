package machine

import (
	"math"
	"testing"

	"barover/solver"
	"barover/solver/expr"
)

// Sums with kinks, and with roots, powers and angles that come to their ends, over a crank of 20 mm and a rod of 70. What they
// come to is known in closed form.
func TestKinkedSums(t *testing.T) {
	const throw = 20.0
	d := newDraft(0, 360, 5)
	s := d.sliderCrank(d.num(throw), d.num(70), 90)
	g := d.g
	x, y := g.X(s.crankpin), g.Y(s.crankpin)
	one := func(op expr.Op, a expr.ID) expr.ID { return g.Unary(op, a) }
	two := func(op expr.Op, a, b expr.ID) expr.ID { return g.Binary(op, a, b) }
	share := g.Binary(expr.Div, x, d.num(throw))
	half := throw / math.Sqrt2
	ends := []float64{0, 180, 360} // x is ± throw there
	cases := []struct {
		name            string
		sum             expr.ID
		least, greatest float64
		open            []float64 // where it may have no value for all that is proved, degrees
	}{
		{"abs", one(expr.Abs, x), 0, throw, nil},
		{"min", two(expr.Min, x, y), -throw, half, nil},
		{"max", two(expr.Max, x, y), -half, throw, nil},
		{"round", two(expr.Round, x, d.num(3)), -21, 21, nil},
		{"round of the turn", two(expr.Round, g.Turn(), d.num(math.Pi/6)), 0, 2 * math.Pi, nil},
		{"root of abs", one(expr.Sqrt, one(expr.Abs, x)), 0, math.Sqrt(throw), nil},
		{"root of max", one(expr.Sqrt, two(expr.Max, d.num(0), x)), 0, math.Sqrt(throw), nil},
		{"power of abs", two(expr.Pow, one(expr.Abs, x), d.num(1.5)), 0, math.Pow(throw, 1.5), nil},
		{"touching root", one(expr.Sqrt, g.Sub(d.num(throw*throw), g.Mul(x, x))), 0, throw, ends},
		{"root down to zero", one(expr.Sqrt, g.Add(x, d.num(throw))), 0, math.Sqrt(2 * throw), []float64{180}},
		{"power down to zero", two(expr.Pow, g.Add(x, d.num(throw)), d.num(0.3)), 0, math.Pow(2*throw, 0.3), []float64{180}},
		{"arc sine", one(expr.Asin, share), -math.Pi / 2, math.Pi / 2, ends},
		{"arc cosine", one(expr.Acos, share), 0, math.Pi, ends},
		{"moving exponent", two(expr.Pow, d.num(2), share), 0.5, 2, nil},
		{"rate of abs", one(expr.Rate, one(expr.Abs, x)), -throw, throw, nil},
		{"rate of a distance that comes to zero", one(expr.Rate, two(expr.Hypot, g.Sub(x, d.num(throw)), y)), -throw, throw, []float64{0, 360}},
		{"both sides of kinks", g.Mul(two(expr.Min, one(expr.Abs, x), d.num(5)), two(expr.Max, y, d.num(-3))), -15, 5 * math.Sqrt(throw*throw-25), nil},
	}
	for _, c := range cases {
		d.check(solver.Check{Kind: solver.Keep, Sum: c.sum, AtLeast: d.num(c.least - 1), AtMost: d.num(c.greatest + 1), Number: true})
	}
	res := d.study(t, d.drawn())
	for i, c := range cases {
		f := res.Findings[i]
		sure := solver.Proved
		if len(c.open) > 0 {
			sure = solver.InPart
		}
		if lacks := c.name == "rate of a distance that comes to zero"; f.OK == lacks || f.Sure != sure && !lacks {
			t.Errorf("%s: %+v", c.name, f)
		}
		if !(math.Abs(f.Least-c.least) <= 1e-4) || !(math.Abs(f.Greatest-c.greatest) <= 1e-4) {
			t.Errorf("%s: from %v to %v, want %v to %v", c.name, f.Least, f.Greatest, c.least, c.greatest)
		}
		for _, u := range f.Unproved {
			near := false
			for _, at := range c.open {
				near = near || math.Abs(u.From/deg-at) < 0.01 && math.Abs(u.To/deg-at) < 0.01
			}
			if !near || u.Why != solver.NoValueThere {
				t.Errorf("%s: not proved from %v° to %v°: %v", c.name, u.From/deg, u.To/deg, u.Why)
			}
		}
		if len(c.open) > 0 && len(f.Unproved) == 0 {
			t.Errorf("%s: proved to have a value where it has one by rounding only", c.name)
		}
	}
}
