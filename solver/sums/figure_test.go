package sums

import (
	"context"
	"math"
	"testing"

	"barover/solver/expr"
	"barover/solver/trial"
	"barover/solver/tube"
)

func TestMain(m *testing.M) { trial.Main(m) }

// enclosed is the motion of a sketch over the whole turn and a range of its one travel.
func enclosed(t *testing.T, s *trial.Sketch, from, to float64) *tube.Tube {
	t.Helper()
	over := tube.Range{To: 2 * math.Pi}
	l, err := s.Link(over.From, 0)
	if err != nil {
		t.Fatalf("not assembled: %v", err)
	}
	p, err := tube.NewPlan(l.Schedule(), l.Values())
	if err != nil {
		t.Fatal(err)
	}
	ctx := t.Context()
	ask := tube.Ask{Turn: over, Travel: []tube.Range{{From: from, To: to}}, Rest: []float64{0}, Size: 180, Tolerance: 1e-3}
	tb, err := tube.Enclose(ctx, p, tube.Following(ctx, l, over, nil), ask)
	if err != nil {
		t.Fatal(err)
	}
	return tb
}

// TestSums proves sums of a slider-crank against closed form: with the crosshead at h + r cos θ + √(l² - (h' + r sin θ)²).
func TestSums(t *testing.T) {
	const r, l = 22, 133.35
	s := trial.SliderCrank(1)
	g := s.Graph
	x := g.X(2)
	fast := g.Binary(expr.Heading, g.Sub(g.Y(2), g.Y(1)), g.Sub(x, g.X(1)))
	most, least, span := g.Unary(expr.Greatest, x), g.Unary(expr.Least, x), g.Unary(expr.Span, x)
	all := []struct {
		name         string
		sum          expr.ID
		rise         float64
		least, great float64
	}{
		{"crosshead", x, 0, l - r, l + r},
		{"heading of the rod", fast, 0, -math.Asin(r / l), math.Asin(r / l)},
		{"heading that starts at half a turn", g.Binary(expr.Heading, g.Sub(g.Y(1), g.Y(2)), g.Sub(g.X(1), x)), 0, math.Pi - math.Asin(r/l), math.Pi + math.Asin(r/l)},
		{"greatest", most, 0, l + r, l + r},
		{"span", span, 0, 2 * r, 2 * r},
		{"share of the stroke", g.Div(g.Sub(most, x), span), 0, 0, 1},
		{"crosshead, axle up and down", x, 3, math.Sqrt((l-r)*(l-r) - 9), l + r},
		{"greatest, axle up and down", most, 3, math.Sqrt((l+r)*(l+r) - 9), l + r},
		{"least, axle up and down", least, 3, math.Sqrt((l-r)*(l-r) - 9), l - r},
		{"share, axle up and down", g.Div(g.Sub(most, x), span), 3, 0, 1},
		{"the greater of two", g.Binary(expr.Max, g.Unary(expr.Sin, g.Turn()), g.Unary(expr.Cos, g.Turn())), 0, -math.Sqrt2 / 2, 1},
		{"rate of the turn's square", g.Unary(expr.Rate, g.Mul(g.Turn(), g.Turn())), 0, 0, 4 * math.Pi},
		{"speed of the crankpin upward", g.Unary(expr.Rate, g.Y(1)), 3, -r, r},
		{"speed of the crosshead", g.Unary(expr.Rate, x), 0, -fastest(r, l), fastest(r, l)},
		{"speed by place", g.Unary(expr.Rate, g.Binary(expr.Hypot, g.Sub(x, g.X(1)), g.Sub(g.Y(2), g.Y(1)))), 3, 0, 0},
		{"off a place", g.Unary(expr.Abs, g.Sub(x, g.Const(140))), 0, 0, 140 - (l - r)},
	}
	for _, c := range all {
		p := New([]*tube.Tube{enclosed(t, s, -c.rise, c.rise)}, 1e-3)
		f, err := p.Figure(context.Background(), c.sum)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		for _, e := range []struct {
			what string
			got  Answer
			want float64
		}{{"least", f.Least(context.Background(), 1e-4), c.least}, {"greatest", f.Greatest(context.Background(), 1e-4), c.great}} {
			if !e.got.Done || !(e.got.Lo <= e.want+1e-9) || !(e.got.Hi >= e.want-1e-9) || e.got.Hi-e.got.Lo > 3e-4 {
				t.Errorf("%s: %s in [%.9g, %.9g] after %d, want %.9g", c.name, e.what, e.got.Lo, e.got.Hi, e.got.Boxes, e.want)
			}
		}
	}
}

// fastest is the greatest speed of a crosshead by the turn, found on its closed form.
func fastest(r, l float64) float64 {
	most := 0.0
	for i := range 1000000 {
		t := math.Pi * float64(i) / 1000000
		s, c := math.Sincos(t)
		most = max(most, r*s+r*r*s*c/math.Sqrt(l*l-r*r*s*s))
	}
	return most
}

// A question that is given up leaves nothing behind for the next one about the same greatest, also where it stands within another.
func TestGivenUp(t *testing.T) {
	s := trial.SliderCrank(1)
	g := s.Graph
	high := g.Unary(expr.Greatest, g.X(2))
	twice := g.Unary(expr.Greatest, g.Mul(g.Const(2), high))
	p := New([]*tube.Tube{enclosed(t, s, 0, 0)}, 1e-3)
	ended, end := context.WithCancel(t.Context())
	end()
	for _, ctx := range []context.Context{ended, t.Context()} {
		f, err := p.Figure(ctx, twice)
		if err != nil {
			t.Fatal(err)
		}
		f.Greatest(ctx, 1e-4)
		outer := f.takes.all[0]
		for _, w := range []*wholeOf{outer, outer.f.takes.all[0]} {
			if kept := len(w.made) > 0; kept != (ctx.Err() == nil) || w.ctx != ctx {
				t.Errorf("context %v: kept %v", ctx.Err(), w.made)
			}
		}
	}
}
