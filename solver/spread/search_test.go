package spread

import (
	"context"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/machine"
	"barover/solver/trial/draws"
	"barover/solver/trial/engine"
)

var searchSeed = flag.Uint64("search-seed", 11, "seed of the random tests of the search")

// sums is an engine that asks nothing but that sums of some dimensions of its own be not below zero.
type sums struct {
	*engine.Engine
	g    *expr.Graph
	tols []Tolerance
}

func newSums() *sums {
	e := engine.New()
	e.Problem.Checks = nil
	return &sums{Engine: e, g: e.Problem.Graph}
}

// part adds a dimension with a tolerance.
func (s *sums) part(value, lower, upper float64) expr.ID {
	name := fmt.Sprint("part", len(s.tols))
	id := s.Dim(name, s.g.Const(value))
	s.tols = append(s.tols, Tolerance{Dim: s.Number(name), Value: value, Lower: lower, Upper: upper})
	return id
}

func (s *sums) num(v float64) expr.ID { return s.g.Const(v) }

// keep asks that a sum be not below zero.
func (s *sums) keep(sum expr.ID) {
	s.Problem.Checks = append(s.Problem.Checks, solver.Check{Kind: solver.Keep, Stmt: len(s.Problem.Checks), Sum: sum, AtLeast: s.num(0), AtMost: expr.None})
}

// off is |a − at|.
func (s *sums) off(a expr.ID, at float64) expr.ID { return s.g.Unary(expr.Abs, s.g.Sub(a, s.num(at))) }

// started is the search with every dimension at its value looked at.
func (s *sums) started(t *testing.T, samples int, law Law) *spread {
	t.Helper()
	w := &spread{q: Ask{Problem: s.Problem, Vary: s.Vary(), Tolerances: s.tols, Samples: samples, Seed: *searchSeed, Law: law, Inflate: 1}}
	if err := w.stand(t.Context()); err != nil {
		t.Fatal(err)
	}
	return w
}

func must(t *testing.T, steps ...func(context.Context) error) {
	t.Helper()
	for _, do := range steps {
		if err := do(t.Context()); err != nil {
			t.Fatal(err)
		}
	}
}

// The slopes at a corner may point to another: x + x·y/2 at x = 0.2 is worst with x at its lower limit, where y is worst at its
// upper one and not, as before, at its lower.
func TestASecondCorner(t *testing.T) {
	s := newSums()
	x, y := s.part(0.2, -1, 1), s.part(0, -1, 1)
	s.keep(s.g.Add(x, s.g.Mul(s.num(0.5), s.g.Mul(x, y))))
	w := s.started(t, 10, Even)
	must(t, w.seek)
	if got := w.sides[0].worst.room; !(math.Abs(got-(-1.2)) <= 1e-12) {
		t.Errorf("the corners leave %v, want −1.2 with x = −0.8 and y = 1", got)
	}
}

// A pit that no slope reports: away from it the sum is level. Only engines drawn may fall into it, and the worst is then the
// worst of them, by name.
func TestDrawnIsWorse(t *testing.T) {
	s := newSums()
	x, y := s.part(0, -1, 1), s.part(0, -1, 1)
	g := s.g
	away := g.Binary(expr.Hypot, g.Sub(x, s.num(0.2)), g.Sub(y, s.num(-0.6)))
	s.keep(g.Binary(expr.Min, away, s.num(0.25)))
	w := s.started(t, 100, Even)
	must(t, w.seek)
	if d := &w.sides[0]; d.worst.room != 0.25 {
		t.Fatalf("the search leaves %v without an engine drawn; the pit is out of its reach", d.worst.room)
	}
	must(t, w.draw)
	least := math.Inf(1)
	for n := range 100 {
		at := w.sizes(n)
		least = math.Min(least, math.Min(0.25, math.Hypot(at[0]-0.2, at[1]+0.6)))
	}
	if d := &w.sides[0]; !d.worst.drawn || !(math.Abs(d.worst.room-least) <= 1e-12) {
		t.Errorf("worst %v, drawn %v; the worst engine drawn leaves %v", d.worst.room, d.worst.drawn, least)
	}
	must(t, w.seekOn)
	if d := &w.sides[0]; !(d.worst.room < least/2) || d.worst.drawn {
		t.Errorf("gone on from there: %v; want it much nearer to the bottom, which is 0", d.worst.room)
	}
}

// Where a figure has a kink, is flat, or turns round on the way to a limit, its slopes tell nothing: by hand.
func TestInDoubt(t *testing.T) {
	type want struct{ worst, rss float64 }
	tests := map[string]struct {
		make func(s *sums)
		want
	}{
		"three kinks": {func(s *sums) {
			a, b, c := s.part(10, -1, 1), s.part(5, -0.5, 0.5), s.part(3, -0.2, 0.2)
			s.keep(s.g.Sub(s.g.Add(s.off(a, 10), s.off(b, 5)), s.off(c, 3)))
		}, want{-0.2, -0.2}},
		"a square between its limits": {func(s *sums) {
			a := s.g.Sub(s.part(10, -1, 1), s.num(10.2))
			s.keep(s.g.Mul(a, a))
		}, want{0, 0}},
		"flat at its value": {func(s *sums) {
			a := s.g.Sub(s.part(10, -1, 0.5), s.num(10))
			s.keep(s.g.Sub(s.num(5), s.g.Mul(a, a)))
		}, want{4, 4}},
		"a kink between": {func(s *sums) { s.keep(s.off(s.part(10, -1, 1), 10.3)) }, want{0, 0}},
		"two that are flat": {func(s *sums) {
			a, b := s.part(10, -3, 3), s.part(5, -4, 4)
			s.keep(s.g.Sub(s.num(20), s.g.Add(s.off(a, 10), s.off(b, 5))))
		}, want{13, 15}}, // 3, 4, 5
		"worse together": {func(s *sums) {
			a, b := s.part(10, -1, 1), s.part(10, -1, 1)
			d := s.g.Sub(a, b)
			s.keep(s.g.Sub(s.num(5), s.g.Mul(d, d)))
		}, want{1, 5 - math.Sqrt2}},
		"only together": {func(s *sums) {
			a, b := s.g.Sub(s.part(10, -1, 1), s.num(10)), s.g.Sub(s.part(5, -2, 2), s.num(5))
			s.keep(s.g.Add(s.num(3), s.g.Mul(a, b)))
		}, want{1, 1}},
		"one that slopes, one with a kink": {func(s *sums) {
			a, b := s.part(10, -0.3, 0.1), s.part(5, -0.4, 0.4)
			s.keep(s.g.Add(s.num(-8), s.g.Sub(a, s.off(b, 5))))
		}, want{1.3, 1.9 - math.Hypot(0.2, 0.4)}},
		"the limits leave the value out": {func(s *sums) { s.keep(s.off(s.part(10, 0.1, 0.5), 10.3)) }, want{0, 0}},
	}
	for name, c := range tests {
		t.Run(name, func(t *testing.T) {
			s := newSums()
			c.make(s)
			a, err := Spread(t.Context(), Ask{Problem: s.Problem, Vary: s.Vary(), Tolerances: s.tols, Samples: 20, Seed: *searchSeed}, machine.Options{})
			if err != nil {
				t.Fatal(err)
			}
			k := a.Checks[0]
			if !(math.Abs(k.Worst-c.worst) <= 1e-7) || !(math.Abs(k.RSS-c.rss) <= 1e-7) || k.OK != (c.worst >= 0) {
				t.Errorf("worst %v, rss %v, ok %v; want %v and %v", k.Worst, k.RSS, k.OK, c.worst, c.rss)
			}
		})
	}
}

// Sums of a term for each part, with kinks, vertices and bends within the limits or without: the worst is the sum of the worst
// of each, which is known.
func TestSumsOfKinks(t *testing.T) {
	t.Logf("seed %d", *searchSeed)
	rng := rand.New(rand.NewPCG(*searchSeed, 4))
	for range draws.Of(60) {
		s := newSums()
		want := 0.0
		var sum expr.ID
		for i := range 1 + rng.IntN(5) {
			value, half := 10*rng.Float64(), 0.1+rng.Float64()
			centre, weight := value+half*(3*rng.Float64()-1.5), 4*rng.Float64()-2
			id := s.part(value, -half, half)
			term, of := s.off(id, centre), math.Abs
			if rng.IntN(2) == 0 {
				d := s.g.Sub(id, s.num(centre))
				term, of = s.g.Mul(d, d), func(x float64) float64 { return x * x }
			}
			term = s.g.Mul(s.num(weight), term)
			nearest := math.Max(value-half, math.Min(value+half, centre))
			want += math.Min(weight*of(nearest-centre), weight*math.Max(of(value-half-centre), of(value+half-centre)))
			if sum = s.g.Add(s.num(0), term); i > 0 {
				sum = s.g.Add(s.Problem.Checks[0].Sum, term)
				s.Problem.Checks = nil
			}
			s.keep(sum)
		}
		a, err := Spread(t.Context(), Ask{Problem: s.Problem, Vary: s.Vary(), Tolerances: s.tols, Samples: 10, Seed: *searchSeed}, machine.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if c := a.Checks[0]; !(math.Abs(c.Worst-want) <= 1e-6) {
			t.Errorf("worst %v, want %v: now %v, with %v of %v", c.Worst, want, c.Figure, c.Corner, s.tols)
		}
	}
}

// The worst is never better than any engine drawn, and as many fall short as do, in sums with pits, ridges and products of
// parts that no search is sure of.
func TestNoEngineDrawnIsWorse(t *testing.T) {
	t.Logf("seed %d", *searchSeed)
	rng := rand.New(rand.NewPCG(*searchSeed, 5))
	worse := 0
	for round := range draws.Of(40) {
		s := newSums()
		g := s.g
		var parts []expr.ID
		for range 2 + rng.IntN(3) {
			parts = append(parts, s.part(10*rng.Float64(), -rng.Float64(), rng.Float64()))
		}
		sum := s.num(rng.Float64() - 0.3)
		for range 6 {
			i, j := rng.IntN(len(parts)), rng.IntN(len(parts))
			a, b := s.off(parts[i], s.tols[i].Value+rng.Float64()-0.5), s.off(parts[j], s.tols[j].Value+rng.Float64()-0.5)
			op := []expr.Op{expr.Min, expr.Max, expr.Mul, expr.Hypot}[rng.IntN(4)]
			sum = g.Add(sum, g.Mul(s.num(3*rng.Float64()-1.5), g.Unary(expr.Sin, g.Mul(s.num(4), g.Binary(op, a, b)))))
		}
		s.keep(sum)
		w := s.started(t, 100, Even)
		must(t, w.seek)
		before := w.sides[0].worst.room
		must(t, w.draw, w.seekOn)
		c, short := w.answer().Checks[0], 0
		for n := range 100 {
			m, err := w.machine(w.sizes(n))
			if err != nil {
				t.Fatal(err)
			}
			room := m.Values.At(sum)
			if room < c.Room-1e-9 {
				t.Errorf("round %d: engine %d leaves %v, the worst %v", round, n, room, c.Room)
			}
			if room < -1e-4 {
				short++
			}
			if room < before-1e-6 {
				worse++
			}
		}
		if c.Short != short || (short > 0 && c.OK) {
			t.Errorf("round %d: %d fall short, ok %v; %d do", round, c.Short, c.OK, short)
		}
	}
	if worse == 0 {
		t.Error("no engine drawn was worse than what the search found before: this tests nothing")
	}
}
