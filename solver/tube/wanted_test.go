package tube

import (
	"context"
	"math"
	"testing"

	"barover/solver/expr"
	"barover/solver/trial"
)

// A point that nobody asks about makes no box shorter, however fast it goes, and is not kept; where it may have no place the
// motion is not enclosed for that.
func TestUnwantedPoints(t *testing.T) {
	over := round(0)
	enclosed := func(add func(s *trial.Sketch) int, part bool) *Tube {
		t.Helper()
		s := trial.SliderCrank(1)
		point := add(s)
		l, err := s.Link(over.From, 0)
		if err != nil {
			t.Fatal(err)
		}
		p, err := NewPlan(l.Schedule(), l.Values())
		if part {
			p, err = NewPlanFor(l.Schedule(), l.Values(), []int{1}, nil)
		}
		if err != nil {
			t.Fatal(err)
		}
		ctx := context.Background()
		tube, err := Enclose(ctx, p, Following(ctx, l, over, nil), Ask{Turn: over, Travel: []Range{{0, 0}}, Size: 180, Tolerance: 1e-3})
		if err != nil {
			t.Fatal(err)
		}
		if part && point >= 0 && p.point(point).x != none {
			t.Error("a point that is not wanted is kept")
		}
		if !p.Encloses(1) {
			t.Error("a part that is wanted is not enclosed")
		}
		return tube
	}
	none := func(*trial.Sketch) int { return -1 }
	fast := func(s *trial.Sketch) int {
		a := s.Graph.Mul(s.Graph.Turn(), s.Num(500))
		return s.Driven(s.Graph.Unary(expr.Cos, a), s.Graph.Unary(expr.Sin, a))
	}
	lost := func(s *trial.Sketch) int { // where the turn is beyond 2
		return s.Driven(s.Graph.Unary(expr.Sqrt, s.Graph.Sub(s.Num(2), s.Graph.Turn())), s.Num(0))
	}
	plain, all := enclosed(none, false), enclosed(fast, false)
	some := enclosed(fast, true)
	if len(some.Boxes) != len(plain.Boxes) || len(all.Boxes) < 10*len(plain.Boxes) || !some.Whole() {
		t.Errorf("%d boxes beside a fast point, %d without it, %d where it counts", len(some.Boxes), len(plain.Boxes), len(all.Boxes))
	}
	gone := enclosed(lost, true)
	if gone.Whole() {
		t.Error("the motion is said to be enclosed where a point has no place")
	}
	for _, g := range gone.Gaps {
		if g.Turn.From > 2 || g.Turn.To < math.Nextafter(2, 0) {
			t.Errorf("gap %v, want one from 2 on", g.Turn)
		}
	}
}

// What is asked about is bounded as in a plan of everything: by the same boxes where nothing else is there.
func TestWantedIsTheWhole(t *testing.T) {
	for _, b := range benches(t) {
		l, err := b.s.Link(b.over.From, b.rest...)
		if err != nil {
			t.Fatal(err)
		}
		var parts, points []int
		for i := range b.s.Parts {
			parts = append(parts, i)
		}
		for i := range b.s.Points {
			points = append(points, i)
		}
		all, err := NewPlan(l.Schedule(), l.Values())
		if err != nil {
			t.Fatal(err)
		}
		some, err := NewPlanFor(l.Schedule(), l.Values(), parts, points)
		if err != nil {
			t.Fatal(err)
		}
		if len(some.keep) != len(all.keep) || len(some.steps) != len(all.steps) {
			t.Errorf("%s: %d places in %d steps, want %d in %d", b.name, len(some.keep), len(some.steps), len(all.keep), len(all.steps))
		}
	}
}
