package clearance

import (
	"context"
	"math"
	"testing"

	"barover/solver/expr"
	"barover/solver/tube"
)

// TestSums proves sums of a slider-crank against closed form: with the crosshead at h + r cos θ + √(l² - (h' + r sin θ)²).
func TestSums(t *testing.T) {
	const r, l = 22, 133.35
	s := sliderCrank()
	g := s.Graph
	x := g.X(2)
	fast := g.Binary(expr.Heading, g.Sub(g.Y(2), g.Y(1)), g.Sub(x, g.X(1)))
	most, least, span := g.Unary(expr.Greatest, x), g.Unary(expr.Least, x), g.Unary(expr.Span, x)
	sums := []struct {
		name         string
		sum          expr.ID
		rise         float64
		least, great float64
	}{
		{"crosshead", x, 0, l - r, l + r},
		{"heading of the rod", fast, 0, -math.Asin(r / l), math.Asin(r / l)},
		{"greatest", most, 0, l + r, l + r},
		{"span", span, 0, 2 * r, 2 * r},
		{"share of the stroke", g.Div(g.Sub(most, x), span), 0, 0, 1},
		{"crosshead, axle up and down", x, 3, math.Sqrt((l-r)*(l-r) - 9), l + r},
		{"greatest, axle up and down", most, 3, math.Sqrt((l+r)*(l+r) - 9), l + r},
		{"least, axle up and down", least, 3, math.Sqrt((l-r)*(l-r) - 9), l - r},
		{"share, axle up and down", g.Div(g.Sub(most, x), span), 3, 0, 1},
		{"the greater of two", g.Binary(expr.Max, g.Unary(expr.Sin, g.Turn()), g.Unary(expr.Cos, g.Turn())), 0, -math.Sqrt2 / 2, 1},
		{"off a place", g.Unary(expr.Abs, g.Sub(x, g.Const(140))), 0, 0, 140 - (l - r)},
	}
	for _, c := range sums {
		rig := newRig(t, s, whole, []tube.Range{{From: -c.rise, To: c.rise}}, 0)
		p := New([]*tube.Tube{rig.tube}, 1e-3)
		f, err := p.Figure(context.Background(), c.sum)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		for _, e := range []struct {
			what string
			got  Extreme
			want float64
		}{{"least", f.Least(context.Background(), 1e-4), c.least}, {"greatest", f.Greatest(context.Background(), 1e-4), c.great}} {
			if !e.got.Done || !(e.got.Lo <= e.want+1e-9) || !(e.got.Hi >= e.want-1e-9) || e.got.Hi-e.got.Lo > 3e-4 {
				t.Errorf("%s: %s in [%.9g, %.9g] after %d, want %.9g", c.name, e.what, e.got.Lo, e.got.Hi, e.got.Boxes, e.want)
			}
		}
	}
}
