package tube

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/trial"
	"barover/solver/trial/draws"
)

// crossed is a linkage with change points, and where its points truly stand.
type crossed struct {
	bench
	at    []int
	truth []func(turn float64) plane.Vec
	rise  []float64 // of each of them, by how much it rises with the travel
}

// What the travel of axles moves: a slide hung on the last, all axles, or each more than the one before, the rods made longer to
// match, so that it moves the change points as well.
const (
	nothing = iota
	slide
	springs
	slope
)

// axles are some axles in line with throws alike, coupled in a chain or all to one before them.
func axles(rnd *rand.Rand, moves int) *crossed {
	ph := (rnd.Float64() - 0.5) * []float64{0, 1e-3, 6}[rnd.IntN(3)]
	throw, from := 5+15*rnd.Float64(), ph+0.1+5*rnd.Float64()
	c := &crossed{bench: bench{name: "axles", over: round(from)}}
	n := 0
	if moves != nothing {
		n = 1
		c.travel, c.rest = []Range{{-2, 2}}, []float64{0}
	}
	s := trial.New(n)
	pin := func(at plane.Vec) func(float64) plane.Vec {
		return func(t float64) plane.Vec { return at.Add(plane.Polar(t).Scale(throw)) }
	}
	at := []plane.Vec{{}}
	p := pin(at[0])(from)
	pins := []int{s.Found(p.X, p.Y)}
	rise := []float64{0}
	if moves == springs {
		rise[0] = 1
	}
	lifted := func(z plane.Vec, by float64) int {
		return s.Driven(s.Num(z.X), s.Graph.Add(s.Num(z.Y), risen(s, by)))
	}
	o := lifted(at[0], rise[0])
	s.Length(o, pins[0], s.Num(throw))
	s.Heading(o, pins[0], s.Graph.Turn())
	for k := 1; k < 2+rnd.IntN(3); k++ {
		z := plane.Polar(ph).Scale(at[k-1].Len() + 2*throw + 40*rnd.Float64())
		to := rnd.IntN(k)
		p := pin(z)(from)
		q := s.Found(p.X, p.Y)
		up := rise[0]
		if moves == slope {
			up = rise[to] + 0.3
		}
		s.Length(lifted(z, up), q, s.Num(throw))
		long := s.Num(z.Sub(at[to]).Len())
		if moves == slope {
			long = s.Graph.Binary(expr.Hypot, s.Num(z.X-at[to].X), s.Graph.Add(s.Num(z.Y-at[to].Y), risen(s, up-rise[to])))
		}
		s.Length(pins[to], q, long)
		if moves != slope {
			s.Part(pins[to], q)
		}
		rise, c.rise = append(rise, up), append(c.rise, up)
		at, pins = append(at, z), append(pins, q)
		c.at, c.truth = append(c.at, q), append(c.truth, pin(z))
	}
	if moves == slide {
		last := c.truth[len(c.truth)-1](from)
		x := s.Found(last.X+200, 0)
		s.Length(pins[len(pins)-1], x, s.Num(math.Hypot(200, last.Y)))
		s.Slide(x, s.Line(s.Driven(s.Num(0), s.Graph.Travel(0)), s.Num(0)))
	}
	c.s = s
	return c
}

// risen is the share of the travel that something rises by; nothing of a sketch without one.
func risen(s *trial.Sketch, share float64) expr.ID {
	if share == 0 {
		return s.Num(0)
	}
	return s.Graph.Binary(expr.Mul, s.Num(share), s.Graph.Travel(0))
}

// mirroredFourBar is an antiparallelogram, or a kite.
func mirroredFourBar(rnd *rand.Rand, kite bool) *crossed {
	ph := 6 * rnd.Float64()
	throw, ground := 10+20*rnd.Float64(), 50+50*rnd.Float64()
	b := plane.Polar(ph).Scale(ground)
	from := ph + 0.2 + 5*rnd.Float64()
	rod, rocker := b.Len(), throw
	crank := func(t float64) plane.Vec { return plane.Polar(t).Scale(throw) }
	truth := func(t float64) plane.Vec { return mirrored(crank(t).Add(b), crank(t), b) }
	if kite {
		rod, rocker = throw, b.Len()
		truth = func(t float64) plane.Vec { return mirrored(plane.Vec{}, crank(t), b) }
	}
	s := trial.New(0)
	o, e := s.Fixed(0, 0), s.Fixed(b.X, b.Y)
	p := s.Found(crank(from).X, crank(from).Y)
	q := s.Found(truth(from).X, truth(from).Y)
	s.Length(o, p, s.Num(throw))
	s.Heading(o, p, s.Graph.Turn())
	s.Length(p, q, s.Num(rod))
	s.Length(e, q, s.Num(rocker))
	s.Part(p, q)
	return &crossed{bench: bench{name: fmt.Sprint("kite ", kite), s: s, over: round(from)}, at: []int{q}, truth: []func(float64) plane.Vec{truth}, rise: []float64{0}}
}

// mirrored is p on the other side of the line through a and b.
func mirrored(p, a, b plane.Vec) plane.Vec {
	u := b.Sub(a).Unit()
	q := p.Sub(a)
	return a.Add(u.Scale(2 * q.Dot(u))).Sub(q)
}

// Change points are enclosed with a rod that gives, so that the whole turn is proved to be on one branch: the true one, by
// closed forms, near the change points and far from them. What the rod gives is as good as nothing.
func TestAcrossChangePoints(t *testing.T) {
	const seed = 3
	rnd := rand.New(rand.NewPCG(seed, 3))
	for i := range draws.Of(120) {
		var c *crossed
		switch i % 6 {
		case 0:
			c = mirroredFourBar(rnd, false)
		case 1:
			c = mirroredFourBar(rnd, true)
		default:
			c = axles(rnd, i%6-2)
		}
		tube, _ := c.enclose(t)
		if !tube.Whole() || len(tube.Gives) == 0 {
			t.Errorf("seed %d, case %d, %s: gaps %v, one branch %v, gives %v", seed, i, c.name, tube.Gaps, tube.OneBranch, tube.Gives)
			continue
		}
		for _, g := range tube.Gives {
			if !(g.Most <= 1e-8) || g.Turn.To-g.Turn.From > 6*degree {
				t.Errorf("seed %d, case %d, %s: gives %v", seed, i, c.name, g)
			}
		}
		for range 400 {
			turn := tube.Turn.From + rnd.Float64()*(tube.Turn.To-tube.Turn.From)
			if g := &tube.Gives[rnd.IntN(len(tube.Gives))]; rnd.IntN(2) == 0 {
				turn = g.Turn.From + rnd.Float64()*(g.Turn.To-g.Turn.From)
			}
			var travel []float64
			for _, r := range c.travel {
				travel = append(travel, r.From+rnd.Float64()*(r.To-r.From))
			}
			b := tube.find(turn, travel)
			tau := tube.local(b, turn, travel)
			for k, at := range c.at {
				z := tube.Plan.point(at)
				want := c.truth[k](turn)
				if len(travel) > 0 {
					want.Y += c.rise[k] * travel[0]
				}
				x, y := tube.Plan.kept[z.x], tube.Plan.kept[z.y]
				off := math.Hypot(tube.value(b, x, &tau)-want.X, tube.value(b, y, &tau)-want.Y)
				if off > b.rad[x]+b.rad[y]+1e-6 {
					t.Fatalf("seed %d, case %d, %s: at %g° point %d is off by %g, radius %g", seed, i, c.name, turn/degree, k, off, b.rad[x])
				}
			}
		}
	}
}

// turning leads over a change point to the crossed way.
type turning struct{ Guide }

func (g turning) Position(turn float64, travel, scalars []float64) bool {
	for _, s := range g.Stretches(easeHalf, travel) {
		if mid := (s.From + s.To) / 2; turn > mid && turn <= s.To {
			turn = s.From + s.To - turn // back where it came from, as a parallelogram on its crossed way nearly does
		}
	}
	return g.Guide.Position(turn, travel, scalars)
}

// A way that turns at a change point is not taken for one that goes on: what the rod would have to give tells.
func TestCrossedWayIsNotProved(t *testing.T) {
	from := 30 * degree
	b := bench{"parallelogram", fourBar(100, 40, 100, 40, from, 1), round(from), nil, nil}
	l, err := b.s.Link(from)
	if err != nil {
		t.Fatal(err)
	}
	p, err := NewPlan(l.Schedule(), l.Values())
	if err != nil {
		t.Fatal(err)
	}
	ctx := context.Background()
	tube, err := Enclose(ctx, p, turning{Following(ctx, l, b.over, nil)}, Ask{Turn: b.over, Size: 180, Tolerance: 1e-3})
	if err != nil {
		t.Fatal(err)
	}
	if len(tube.Gives) > 0 || len(tube.Gaps) != 2 {
		t.Errorf("gives %v, gaps %v", tube.Gives, tube.Gaps)
	}
}
