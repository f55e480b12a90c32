package linkage

import (
	"context"
	"errors"
	"math"
	"testing"

	"barover/solver/expr"
	"barover/solver/plane"
)

// A crank that the rocker cannot follow all the way round: where it breaks, which statement, and by how much, against the
// triangle that lies flat there.
func TestBroken(t *testing.T) {
	const a, b, c, d = 60.0, 55.0, 40.0, 100.0
	s, _, q := fourBar(a, b, c, d, 90, 40)
	mo := s.motion(t, 0, 360, 1)
	// Stretched when the crank pin is b + c from the rocker's pivot.
	end := math.Acos((a*a + d*d - (b+c)*(b+c)) / (2 * a * d))
	got := mo.Broken()
	if len(got) != 1 {
		t.Fatalf("broken: %v, want once", got)
	}
	wantNumber(t, "from", got[0].From, end, 1e-6)
	wantNumber(t, "to", got[0].To, 2*math.Pi-end, 1e-6)
	wantNumber(t, "miss", got[0].Miss, a+d-b-c, 1e-6)
	if want := s.Equations[len(s.Equations)-1].Stmt; got[0].Stmt != want && got[0].Stmt != s.Equations[2].Stmt {
		t.Errorf("statement %d, want that of a length of coupler or rocker", got[0].Stmt)
	}
	if spans := mo.Spans(); len(spans) != 2 || spans[0][0] != 0 || spans[1][1] != 2*math.Pi {
		t.Errorf("spans %v", spans)
	}
	var p Pose
	if got := mo.At(math.Pi, &p); got != NoAssembly {
		t.Errorf("in the gap: %v", got)
	}
	// Behind the gap the rocker pin lies on the same side of the line from the crank pin to the rocker's pivot.
	pivot := plane.Vec{X: d}
	pin := plane.Polar(40 * deg).Scale(a)
	side := math.Copysign(1, pivot.Sub(pin).Cross(pose(t, mo, 40).Point[q].Sub(pin)))
	w := circles(plane.Polar(320*deg).Scale(a), b, pivot, c, side)
	wantPlace(t, "behind the gap", pose(t, mo, 320).Point[q], w.X, w.Y, 1e-7)
}

// What the parts cannot reach at one travel setting they may reach at another; and a setting that cannot be reached at
// the first turn may be at a later one.
func TestBrokenByTravel(t *testing.T) {
	s := newDraft()
	rise := s.travel()
	o := s.fixed("o", 0, 0)
	c := s.found("c")
	s.crank(o, c, 20)
	base := s.at("base", s.num(0), rise)
	x := s.near("x", 70, 0)
	s.length(c, x, s.num(60))
	s.slide(x, s.line("bore", base, s.num(0)))
	l := s.assemble(t, 0, 0)
	for _, w := range []struct {
		rise  float64
		spans int
	}{{0, 1}, {39, 1}, {50, 2}, {-50, 2}, {90, 0}} {
		mo, err := l.Follow(t.Context(), []float64{w.rise}, 0, 2*math.Pi, deg)
		if err != nil {
			t.Fatal(err)
		}
		if got := len(mo.Spans()); got != w.spans {
			t.Errorf("at %g: spans %v, want %d", w.rise, mo.Spans(), w.spans)
		}
		for _, b := range mo.Broken() {
			// The rod lies square to the bore where it just reaches: 20 sin θ = rise ± 60.
			worst := math.Abs(w.rise) + 20 - 60
			wantNumber(t, "miss", b.Miss, worst, 1e-3)
			if b.Travel[0] != w.rise {
				t.Errorf("travel %v", b.Travel)
			}
		}
	}
}

// A length that the turn drives below zero cannot be met, though its square can.
func TestDrivenLengthBelowNought(t *testing.T) {
	s := newDraft()
	o := s.fixed("o", 0, 0)
	p := s.found("p")
	s.length(o, p, s.g.Mul(s.num(30), s.g.Unary(expr.Cos, s.turn())))
	s.heading(o, p, s.num(0.3))
	x := s.near("x", 90, 10)
	s.length(p, x, s.g.Add(s.num(40), s.g.Mul(s.num(30), s.g.Unary(expr.Cos, s.turn()))))
	s.slide(x, s.line("l", o, s.num(0)))
	mo := s.motion(t, 0, 360, 1)
	got := mo.Broken()
	if len(got) != 1 {
		t.Fatalf("broken %v", got)
	}
	wantNumber(t, "from", got[0].From, 90*deg, 1e-6)
	wantNumber(t, "to", got[0].To, 270*deg, 1e-6)
	wantNumber(t, "miss", got[0].Miss, 60, 1e-3)
}

// No range, no step, no travel: no motion, and no hanging.
func TestFollowRefuses(t *testing.T) {
	l := sliderCrank().assemble(t, 0)
	nan := math.NaN()
	for _, c := range [][3]float64{{1, 0, 0.1}, {0, 1, 0}, {0, 1, -1}, {0, 1, nan}, {nan, 1, 0.1}, {0, nan, 0.1}, {0, 1, 1e-12}, {0, math.Inf(1), 1}} {
		if mo, err := l.Follow(t.Context(), nil, c[0], c[1], c[2]); err == nil {
			t.Errorf("from %g to %g by %g: %d positions", c[0], c[1], c[2], len(mo.turn))
		}
	}
	if _, err := l.Follow(t.Context(), []float64{1}, 0, 1, 0.1); err == nil {
		t.Error("a travel too many")
	}
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if _, err := l.Follow(ctx, nil, 0, 1, 0.1); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped, and came to %v", err)
	}
	mo, err := l.Follow(t.Context(), nil, 1, 1, 0.1)
	if err != nil || len(mo.Spans()) != 1 {
		t.Errorf("one position: %v, %v", mo.Spans(), err)
	}
	var p Pose
	if s := mo.At(nan, &p); s != NoAssembly {
		t.Errorf("at no number: %v", s)
	}
}

// A kink in what drives is no break; a jump is, where it jumps, and the motion goes on behind it.
func TestKinkAndJump(t *testing.T) {
	turned := func(angle func(s *draft) expr.ID) *Motion {
		s, _, _ := fourBar(40, 120, 80, 100, 140, 60)
		s.Equations[1].V = angle(s)
		return s.motion(t, 10, 170, 1)
	}
	mo := turned(func(s *draft) expr.ID { // to and fro about 90.3°
		return s.g.Add(s.num(30*deg), s.g.Unary(expr.Abs, s.g.Sub(s.turn(), s.num(90.3*deg))))
	})
	if len(mo.Spans()) != 1 || len(mo.Broken()) != 0 {
		t.Errorf("kink: spans %v, broken %v", mo.Spans(), mo.Broken())
	}
	mo = turned(func(s *draft) expr.ID { return s.g.Binary(expr.Round, s.turn(), s.num(20*deg)) })
	var p Pose
	for k := 11.5; k < 170; k++ {
		if got := mo.At(k*deg, &p); got != Solved {
			t.Errorf("jumps: %v at %g°", got, k)
		}
	}
}
