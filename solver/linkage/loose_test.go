package linkage

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// coupled are two axles 100 apart with cranks of 20, coupled by a rod on either side, a quarter turn apart. Nothing but
// the rods turns the second axle. The rods are 100 + a and 100 + b long.
func coupled(a, b, play float64) (s *draft, driven, other int) {
	s = newDraft()
	o, q := s.fixed("o", 0, 0), s.fixed("q", 100, 0)
	p1, p2 := s.found("left"), s.near("left2", 118, 9)
	s.crank(o, p1, 20)
	s.length(q, p2, s.num(20))
	w1, w2 := s.rod("axle", o, p1), s.rod("axle2", q, p2)
	r1 := s.onPart("right", w1, s.num(0), s.num(20))
	r2 := s.onPart("right2", w2, s.num(0), s.num(20))
	s.loose(p1, p2, 100+a, play)
	s.loose(r1, r2, 100+b, play)
	return s, p1, p2
}

// Rods of equal length at the wheelbase carry the second axle round exactly, over the dead centres of both.
func TestCoupledAxlesWithoutError(t *testing.T) {
	s, p, q := coupled(0, 0, 0.1)
	mo := s.motion(t, 20, 380, 1)
	if b := mo.Broken(); len(b) > 0 {
		t.Fatalf("broken: %v", b)
	}
	for turn := 20.0; turn <= 380; turn += 2.5 {
		z := pose(t, mo, turn)
		w := z.Point[p].Add(plane.Vec{X: 100})
		wantPlace(t, "second crank", z.Point[q], w.X, w.Y, 1e-7)
	}
}

// With rods that do not fit, the second axle stands where the worse of the two is missed least. Looked for here by
// trying angles, finer and finer.
func TestCoupledAxlesSmallestWorst(t *testing.T) {
	const a, b = 0.05, -0.02
	s, _, q := coupled(a, b, 0.1)
	mo := s.motion(t, 20, 380, 1)
	miss := func(turn, phi float64) float64 {
		d := plane.Vec{X: 100}.Add(plane.Polar(phi).Scale(20)).Sub(plane.Polar(turn).Scale(20)).Len() - 100 - a
		e := plane.Vec{X: 100}.Add(plane.Polar(phi).Turned().Scale(20)).Sub(plane.Polar(turn).Turned().Scale(20)).Len() - 100 - b
		return max(math.Abs(d), math.Abs(e))
	}
	for turn := 20.0; turn <= 380; turn += 1.25 {
		best, step := turn*deg, 0.02
		for step > 1e-12 {
			switch at := miss(turn*deg, best); {
			case miss(turn*deg, best+step) < at:
				best += step
			case miss(turn*deg, best-step) < at:
				best -= step
			default:
				step /= 2
			}
		}
		z := pose(t, mo, turn)
		d := z.Point[q].Sub(plane.Vec{X: 100})
		got := miss(turn*deg, math.Atan2(d.Y, d.X))
		wantNumber(t, "worst miss", got, miss(turn*deg, best), 1e-9)
	}
}

// What a loose line brings about has derivatives too: of the pose by every dimension, turn and travel, against
// differences, while the same lines are the worst.
func TestLooseGradient(t *testing.T) {
	s := newDraft()
	o, q := s.at("o", s.dim(0), s.dim(0)), s.at("q", s.dim(100), s.dim(0.3))
	p1, p2 := s.found("left"), s.near("left2", 118, 9)
	s.length(o, p1, s.dim(20))
	s.heading(o, p1, s.turn())
	s.length(q, p2, s.dim(20.01))
	w1, w2 := s.rod("axle", o, p1), s.rod("axle2", q, p2)
	r1 := s.onPart("right", w1, s.dim(0), s.dim(20))
	r2 := s.onPart("right2", w2, s.dim(0.01), s.dim(20))
	loose := func(a, b int, v, play float64) {
		s.equation(schedule.Equation{Kind: schedule.Length, P: a, Q: b, R: -1, V: s.dim(v), On: -1, Loose: true, Play: s.dim(play)})
	}
	loose(p1, p2, 100.05, 0.1)
	loose(r1, r2, 99.98, 0.15)
	end := s.near("end", 160, 40)
	s.length(p2, end, s.dim(50))
	s.length(r2, end, s.dim(45))
	l := s.assemble(t, 20*deg)
	where := func(l *Linkage, turn float64) *Pose {
		mo, err := l.Follow(t.Context(), nil, 20*deg, 80*deg, deg)
		p := new(Pose)
		if err != nil || mo.At(turn, p) != Solved {
			t.Fatalf("not solved at %g°", turn/deg)
		}
		return p
	}
	const turn = 50 * deg
	p := where(l, turn)
	f := figure{make([]float64, len(s.Points)), make([]float64, len(s.Points))}
	f.x[p2], f.y[p2], f.x[end], f.y[end] = 1, -0.5, 0.3, 2
	seeds, ok := l.Adjoint(p, f.x, f.y)
	if !ok {
		t.Fatal("no derivative")
	}
	grad := expr.NewGradient(s.g, len(s.Points), 0)
	expr.NewEval(l.v).Backward(seeds, &expr.Context{Turn: p.Turn}, grad)
	for k, id := range s.g.Dims {
		want := slope(func(d float64) float64 {
			o, err := l.With(expr.Resolve(s.g, map[int]float64{k: l.v.At(id) + d}))
			if err != nil {
				t.Fatal(err)
			}
			return f.of(where(o, turn))
		}, 1e-4)
		wantNumber(t, fmt.Sprint("dimension ", k), grad.Dim[k], want, 1e-5)
	}
	wantNumber(t, "turn", grad.Turn, slope(func(d float64) float64 { return f.of(where(l, turn+d)) }, 1e-4), 1e-5)
	mo, _ := l.Follow(t.Context(), nil, 20*deg, 80*deg, deg)
	var r expr.Context
	mo.Rates(p, &r)
	wantNumber(t, "rate", r.DX[p2]-0.5*r.DY[p2]+0.3*r.DX[end]+2*r.DY[end], grad.Turn, 1e-9)
	rate := func(d float64) float64 {
		var r expr.Context
		mo.Rates(where(l, turn+d), &r)
		return r.DX[end]
	}
	wantNumber(t, "rate of the rate", r.DDX[end], slope(rate, 1e-4), 1e-4)
}

// Loose lines that leave a freedom hold too little; a loose line beside enough others holds nothing.
func TestLooseTooFewOrIdle(t *testing.T) {
	s := newDraft()
	o, q := s.fixed("o", 0, 0), s.fixed("q", 100, 0)
	p := s.found("p")
	s.crank(o, p, 20)
	a, b := s.near("a", 80, 30), s.near("b", 120, 50)
	s.length(q, a, s.num(36))
	s.length(a, b, s.num(45))
	s.loose(p, b, 100, 0.1)
	if _, err := New(s.Model, s.values(), 0, 2*math.Pi, nil); err == nil {
		t.Error("one loose line held two freedoms")
	}
	s = newDraft()
	o, q = s.fixed("o", 0, 0), s.fixed("q", 100, 0)
	p, r := s.found("p"), s.near("r", 130, 60)
	s.crank(o, p, 40)
	s.length(p, r, s.num(120))
	s.length(q, r, s.num(80))
	s.loose(o, r, 10, 0.1)
	l := s.assemble(t, 0)
	for _, step := range l.Schedule().Steps {
		if len(step.Loose) > 0 {
			t.Error("an idle loose line came into a block")
		}
	}
}

// As many loose lines as freedoms are met exactly; and the second axle's speed is right where but one rod counts, next to
// that rod's dead centre.
func TestLooseSpeeds(t *testing.T) {
	s := newDraft()
	o, q := s.fixed("o", 0, 0), s.fixed("q", 100, 0)
	p, r := s.found("p"), s.near("r", 130, 60)
	s.crank(o, p, 40)
	s.loose(p, r, 120, 0.1)
	s.length(q, r, s.num(80))
	mo := s.motion(t, 0, 360, 1)
	for turn := 0.0; turn <= 360; turn += 7.5 {
		z := pose(t, mo, turn)
		wantNumber(t, "loose line", z.Point[p].Sub(z.Point[r]).Len(), 120, 1e-8)
	}
	s, _, other := coupled(0.05, -0.02, 0.1)
	mo = s.motion(t, 20, 380, 1)
	for turn := 175.0; turn <= 185; turn += 0.25 {
		z := pose(t, mo, turn)
		var c expr.Context
		mo.Rates(z, &c)
		const h = 1e-4
		a, b := pose(t, mo, turn-h/deg), pose(t, mo, turn+h/deg)
		// A kink between the two makes differences mean of both sides.
		wantNumber(t, "speed", c.DX[other], (b.Point[other].X-a.Point[other].X)/(2*h), 0.05)
		wantNumber(t, "speed", c.DY[other], (b.Point[other].Y-a.Point[other].Y)/(2*h), 0.05)
	}
}

// Three axles have two freedoms and four rods. Exact rods carry both round exactly; where one pair does not fit, the axle
// that could still fit does.
func TestThreeCoupledAxles(t *testing.T) {
	for _, off := range []float64{0, 0.04} {
		s := newDraft()
		var left, right [3]int
		for k := range 3 {
			axle := s.fixed(fmt.Sprint("axle", k), 100*float64(k), 0)
			if k == 0 {
				left[k] = s.found("pin0")
				s.crank(axle, left[k], 20)
			} else {
				left[k] = s.near(fmt.Sprint("pin", k), 100*float64(k)+18, 9)
				s.length(axle, left[k], s.num(20))
			}
			right[k] = s.onPart(fmt.Sprint("right", k), s.rod(fmt.Sprint("wheel", k), axle, left[k]), s.num(0), s.num(20))
		}
		for k := range 2 {
			l := 100.0
			if k == 0 {
				l += off
			}
			s.loose(left[k], left[k+1], l, 0.1)
			s.loose(right[k], right[k+1], l, 0.1)
		}
		mo := s.motion(t, 20, 380, 2)
		for turn := 20.0; turn <= 380; turn += 5 {
			z := pose(t, mo, turn)
			length := func(a, b int) float64 { return z.Point[a].Sub(z.Point[b]).Len() }
			if off == 0 {
				w := z.Point[left[0]].Add(plane.Vec{X: 200})
				wantPlace(t, "third crank", z.Point[left[2]], w.X, w.Y, 1e-6)
				continue
			}
			first := max(math.Abs(length(left[0], left[1])-100-off), math.Abs(length(right[0], right[1])-100-off))
			second := max(math.Abs(length(left[1], left[2])-100), math.Abs(length(right[1], right[2])-100))
			if !(first <= off+1e-6) || !(second <= 1e-4) {
				t.Errorf("at %g°: the rods miss by %g and %g", turn, first, second)
			}
		}
	}
}

// One rod alone leaves the way open near the dead centres, as far as its play covers both ways; there the axle goes straight on,
// and nowhere backward, whatever the step. How far is tried out: the two angles at which the rod misses by nothing, on either
// side of the change point, are joined by angles at which it misses by no more than its play.
func TestOneRodAlone(t *testing.T) {
	const ground, throw, play = 60.0, 12.0, 0.1
	for _, rod := range []float64{60.01, 59.99, 60, 60.05, 59.95} {
		miss := func(turn, lag float64) float64 {
			return plane.Vec{X: ground}.Add(plane.Polar(turn+lag).Scale(throw)).Sub(plane.Polar(turn).Scale(throw)).Len() - rod
		}
		open := func(at float64) (far float64) {
			for far = 0; far < 0.3; far += 1e-4 { // from the parallel way to the crossed one
				for f := 0.0; f <= 1; f += 0.02 {
					if math.Abs(miss(at-far, f*2*far)) > play {
						return far
					}
				}
			}
			return far
		}
		for _, step := range []float64{0.5, 1, 5, 15} {
			s := newDraft()
			a, b := s.fixed("A", 0, 0), s.fixed("B", ground, 0)
			p := s.found("P")
			s.crank(a, p, throw)
			q := s.near("Q", ground+throw*math.Cos(45*deg), throw*math.Sin(45*deg))
			s.length(b, q, s.num(throw))
			s.loose(p, q, rod, play)
			mo := s.motion(t, 45, 405, step)
			for turn := 45.0; turn <= 405; turn += 0.7 {
				z := pose(t, mo, turn)
				d := z.Point[q].Sub(plane.Vec{X: ground})
				lag := math.Remainder(math.Atan2(d.Y, d.X)-turn*deg, 2*math.Pi)
				// On the straight way the rod's error is made good by the least lag, or, next to a dead centre, not at all.
				most := 1.001*math.Sqrt(2*math.Abs(rod-ground)*ground/(throw*(ground-throw))) + 1e-6
				if math.Abs(lag) > most || math.Abs(miss(turn*deg, lag)) > math.Abs(rod-ground)+1e-6 {
					t.Errorf("rod %g, step %g, at %g°: lags by %g°, misses by %g", rod, step, turn, lag/deg, miss(turn*deg, lag))
				}
			}
			passes := mo.Passes()
			if len(passes) != 2 {
				t.Fatalf("rod %g, step %g: passes %+v", rod, step, passes)
			}
			for i, at := range []float64{180, 360} {
				wantNumber(t, "passes at", passes[i].Turn/deg, at, 1e-6)
				wantNumber(t, "misses by", passes[i].Miss, rod-ground, 1e-6)
				if rod == 60 || rod == 60.01 {
					wantNumber(t, "open within", passes[i].Open, open(at*deg), 0.06*passes[i].Open)
				}
			}
		}
	}
}

// Next to a dead centre the worst share has a smallest place on either side of it; the least of all is found. Three axles,
// against a grid over both angles that is made finer about its least.
func TestThreeAxlesPastDeadCentres(t *testing.T) {
	const seed = 8
	rnd := rand.New(rand.NewPCG(seed, 7))
	for n := range 4 {
		tr := misbuilt(rnd, 3, 0)
		s, pins := tr.draft()
		mo := s.motion(t, 20, 380, 2)
		for turn := 89.5; turn < 362; turn += 0.25 {
			if math.Abs(math.Remainder(turn, 90)) > 0.6 {
				continue
			}
			z := new(Pose)
			if st := mo.At(turn*deg, z); st != Solved && st != DeadCentre {
				t.Fatalf("seed %d, train %d: %v at %g°", seed, n, st, turn)
			}
			phi := tr.turned(z, pins)
			got, want := worstOf(tr.shares(phi)), tr.overGrid(phi[0])
			if got > want*(1+1e-4) {
				t.Errorf("seed %d, train %d at %g°: share %g, tried out %g", seed, n, turn, got, want)
			}
		}
	}
}

// overGrid is the smallest worst share of three axles with the first turned so far.
func (t *train) overGrid(first float64) float64 {
	worst := func(x, y float64) float64 { return worstOf(t.shares([]float64{first, first + x, first + y})) }
	best, a, b := math.Inf(1), 0.0, 0.0
	for x := -0.3; x < 0.3; x += 0.01 {
		for y := -0.3; y < 0.3; y += 0.01 {
			if v := worst(x, y); v < best {
				best, a, b = v, x, y
			}
		}
	}
	for h := 0.01; h > 1e-9; h *= 0.7 {
		for k := range 24 {
			d := plane.Polar(float64(k) * math.Pi / 12).Scale(h)
			if v := worst(a+d.X, b+d.Y); v < best {
				best, a, b = v, a+d.X, b+d.Y
			}
		}
	}
	return best
}
