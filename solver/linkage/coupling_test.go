package linkage

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/schedule"
	"barover/solver/trial/draws"
)

// axle is one of several coupled axles: where it stands, the throws of its two cranks, and by how much the second lies
// beside a quarter turn ahead of the first.
type axle struct {
	at      plane.Vec
	throw   [2]float64
	quarter float64 // rad
}

// train is axles in a row, the first driven. rods[i] couple axle i to i + 1 on either side.
type train struct {
	axles []axle
	rods  [][2]float64
	play  [][2]float64
}

// straight is a train of axles spaced, rod length the spacing, throws 1, quartered.
func straight(spaced float64, axles int) *train {
	t := &train{}
	for i := range axles {
		t.axles = append(t.axles, axle{at: plane.Vec{X: float64(i) * spaced}, throw: [2]float64{1, 1}})
		if i > 0 {
			t.rods = append(t.rods, [2]float64{spaced, spaced})
			t.play = append(t.play, [2]float64{0.01, 0.01})
		}
	}
	return t
}

// pin is where a crankpin stands with its axle turned by phi.
func (a *axle) pin(side int, phi float64) plane.Vec {
	return a.at.Add(plane.Polar(phi + float64(side)*(math.Pi/2+a.quarter)).Scale(a.throw[side]))
}

// draft makes the train's sketch, with every figure a dimension. It returns the first pin of each axle.
func (t *train) draft() (s *draft, pins []int) {
	s = newDraft()
	var last [2]int
	for i := range t.axles {
		a := &t.axles[i]
		o := s.at(fmt.Sprint("o", i), s.dim(a.at.X), s.dim(a.at.Y))
		var now [2]int
		if i == 0 {
			now[0] = s.found("p0")
			s.heading(o, now[0], s.turn())
		} else {
			p := a.pin(0, 20*deg)
			now[0] = s.near(fmt.Sprint("p", i), p.X, p.Y)
		}
		s.length(o, now[0], s.dim(a.throw[0]))
		now[1] = s.onPart(fmt.Sprint("q", i), s.rod(fmt.Sprint("w", i), o, now[0]),
			s.dim(-a.throw[1]*math.Sin(a.quarter)), s.dim(a.throw[1]*math.Cos(a.quarter)))
		if i > 0 {
			for k := range 2 {
				s.equation(schedule.Equation{Kind: schedule.Length, P: last[k], Q: now[k], R: -1, On: -1, Loose: true,
					V: s.dim(t.rods[i-1][k]), Play: s.dim(t.play[i-1][k])})
			}
		}
		last = now
		pins = append(pins, now[0])
	}
	return s, pins
}

// shares are the misses of the rods as shares of their plays, with each axle turned so far.
func (t *train) shares(phi []float64) (out []float64) {
	for i, r := range t.rods {
		for k := range 2 {
			d := t.axles[i+1].pin(k, phi[i+1]).Sub(t.axles[i].pin(k, phi[i])).Len()
			out = append(out, (d-r[k])/t.play[i][k])
		}
	}
	return out
}

// brute finds the smallest worst share of axles from the i-th on by golden section within golden section: the worst is
// convex in their angles, as near as they are to the first's.
func (t *train) brute(phi []float64, i int) float64 {
	if i == len(phi) {
		worst := 0.0
		for _, v := range t.shares(phi) {
			worst = max(worst, math.Abs(v))
		}
		return worst
	}
	g := (math.Sqrt(5) - 1) / 2
	a, b := phi[0]-0.06, phi[0]+0.06
	at := func(x float64) float64 { phi[i] = x; return t.brute(phi, i+1) }
	x, y := b-g*(b-a), a+g*(b-a)
	fx, fy := at(x), at(y)
	for b-a > 1e-13 {
		if fx < fy {
			b, y, fy = y, x, fx
			x = b - g*(b-a)
			fx = at(x)
		} else {
			a, x, fx = x, y, fy
			y = a + g*(b-a)
			fy = at(y)
		}
	}
	return at((a + b) / 2)
}

// turned is how far each axle is turned in a pose.
func (t *train) turned(z *Pose, pins []int) (phi []float64) {
	for i, p := range pins {
		d := z.Point[p].Sub(t.axles[i].at)
		phi = append(phi, math.Atan2(d.Y, d.X))
	}
	return phi
}

func worstOf(v []float64) (worst float64) {
	for _, x := range v {
		worst = max(worst, math.Abs(x))
	}
	return worst
}

// The figures that fitters go by, for a throw of 1 in and a wheelbase of 6 1/2 in. Computed, no source: with the second
// axle turned by φ beyond the first the rods miss by r·φ·sin θ and r·(φ + e)·cos θ, less by how much either is too long.
// The worst of the two is least where they are as great, and opposite.
func TestTightSpots(t *testing.T) {
	quarter := func(e float64) *train { t := straight(6.5, 2); t.axles[1].quarter = e * deg; return t }
	rods := func(near, far float64) *train {
		t := straight(6.5, 2)
		t.rods[0] = [2]float64{6.5 + near, 6.5 + far}
		return t
	}
	throw := straight(6.5, 2)
	throw.axles[1].throw = [2]float64{1.002, 1.002}
	both := rods(0.002, 0.002)
	both.axles[1].quarter = 0.25 * deg
	up := straight(6.5, 2)
	up.axles[1].at.Y = 0.125
	apart := straight(6.5, 2)
	apart.axles[0].at.Y, apart.axles[1].at.Y = 0.125, -0.1875
	for _, c := range []struct {
		name  string
		train *train
		at    map[float64]float64 // thou, by the turn in degrees
	}{
		// |φ·sin| = |(φ + e)·cos|: worst e·|sin·cos|/(|sin| + |cos|), at 45° e/2√2 = 0.3536·e. Least squares would make
		// 0.385·e of it, at 35.3°.
		{"quartering a quarter of a degree out", quarter(0.25), map[float64]float64{
			0: 0, 35.264: 1000 * 0.25 * deg * 0.3381, 45: 1.5427, 90: 0, 135: 1.5427, 225: 1.5427, 315: 1.5427}},
		{"quartering a degree out", quarter(1), map[float64]float64{45: 6.17, 225: 6.17}},
		// φ·sin = φ·cos = δ can be met on one diagonal only.
		{"both rods long alike", rods(0.002, 0.002), map[float64]float64{0: 2, 90: 2, 180: 2, 270: 2, 135: 2, 315: 2, 45: 0, 225: 0}},
		// 2·|cos|/(|sin| + |cos|)
		{"one rod long", rods(0.002, 0), map[float64]float64{0: 2, 180: 2, 45: 1, 135: 1, 225: 1, 315: 1, 90: 0, 270: 0}},
		// Cranks that are too long by δ miss by δ·cos and δ·sin.
		{"throw out on one axle", throw, map[float64]float64{0: 2, 90: 2, 180: 2, 270: 2, 135: 1.4142, 315: 1.4142}},
		// 1.54 and 2.0 add up on one diagonal and take from one another on the other.
		{"quartering and both rods", both, map[float64]float64{315: 3.54, 135: 0.46}},
		// √(6.5² + d²) − 6.5 on both sides alike, where the cranks point along the rods and are of no help.
		{"one axle an eighth up", up, map[float64]float64{0: 1.2, 180: 1.2}},
		{"one axle up and one down", apart, map[float64]float64{180 - 2.753: 7.5}},
	} {
		s, pins := c.train.draft()
		mo := s.motion(t, 20, 380, 5)
		for turn, want := range c.at {
			if turn < 20 {
				turn += 360
			}
			z := pose(t, mo, turn)
			phi := c.train.turned(z, pins)
			got := worstOf(c.train.shares(phi))
			wantNumber(t, fmt.Sprintf("%s: worst at %g°, thou", c.name, turn), got*10, want, 0.03)
			brute := c.train.brute(phi, 1)
			wantNumber(t, fmt.Sprintf("%s: share at %g°, tried out", c.name, turn), got, brute, 1e-10*max(1, brute)+1e-4*brute*at180(turn))
		}
	}
}

// at180 is 1 close to a dead centre, where there may be two poses of which one is the better by next to nothing.
func at180(turn float64) float64 {
	if f := math.Mod(turn+1, 90); f < 2 {
		return 1
	}
	return 0
}

// misbuilt is a train with errors of every kind. Its axles stand up to half of off beside their places.
func misbuilt(rnd *rand.Rand, axles int, off float64) *train {
	tr := straight(6.5, axles)
	for i := range tr.axles {
		a := &tr.axles[i]
		a.quarter = 0.01 * (rnd.Float64() - 0.5)
		if off > 0 {
			a.at = a.at.Add(plane.Vec{X: rnd.Float64() - 0.5, Y: rnd.Float64() - 0.5}.Scale(off))
		}
		for k := range 2 {
			a.throw[k] += 0.01 * (rnd.Float64() - 0.5)
		}
	}
	for i := range tr.rods {
		for k := range 2 {
			tr.rods[i][k] += 0.01 * (rnd.Float64() - 0.5)
			tr.play[i][k] = 0.002 + 0.01*rnd.Float64()
		}
	}
	return tr
}

// Trains with errors of every kind, against golden section.
func TestTrainsTriedOut(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 7))
	for n := range draws.Of(24) {
		tr := misbuilt(rnd, 2+n%2, 0.01)
		s, pins := tr.draft()
		mo := s.motion(t, 20, 380, 2)
		if len(mo.Spans()) != 1 {
			t.Fatalf("train %d: %v", n, mo.Spans())
		}
		for range 6 {
			turn := 20 + 360*rnd.Float64()
			if at180(turn) > 0 {
				continue
			}
			phi := tr.turned(pose(t, mo, turn), pins)
			got := worstOf(tr.shares(phi))
			want := tr.brute(phi, 1)
			wantNumber(t, fmt.Sprintf("train %d at %g°", n, turn), got, want, 1e-9*max(1, want))
		}
	}
}

// A train assembled again with other dimensions stands as one that is assembled anew. Small changes are assembled without a search, and large
// ones too where that is safe.
func TestTrainsAgain(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 11))
	moved := 0
	for n := range max(2, draws.Of(8)) { // of two axles and of three
		s, _ := misbuilt(rnd, 2+n%2, 0.01).draft()
		l := s.assemble(t, 20*deg)
		was := s.values()
		for _, by := range []float64{0.001, 0.03, 1} {
			change := map[int]float64{}
			for dim, id := range s.g.Dims {
				if v := was.At(id); v > 0.5 { // throws, spacing and rods
					change[dim] = v + by*(2*rnd.Float64()-1)
				}
			}
			v := was.With(change)
			got, gotErr := l.Again(v)
			want, wantErr := New(s.Model, v, 20*deg, 380*deg, nil)
			if (gotErr == nil) != (wantErr == nil) {
				t.Fatalf("train %d, changed by up to %g: again %v, anew %v", n, by, gotErr, wantErr)
			}
			if gotErr != nil {
				continue
			}
			for i, x := range want.start.X {
				if math.Abs(got.start.X[i]-x) > 1e-6 {
					t.Errorf("train %d, changed by up to %g: scalar %d is %g again, %g anew", n, by, i, got.start.X[i], x)
				}
			}
			moved++
		}
	}
	if moved == 0 {
		t.Error("no train was assembled")
	}
}

// Where the worst rods settle one axle only, the rest are served as well as can be, and not by squares. The first axle is
// driven. The first pair of rods misses by more than the second, which the third axle shares out in its own way: it stands
// where the second pair's worst is least with the second axle as it is.
func TestWorstAndNextWorst(t *testing.T) {
	tr := straight(6.5, 3)
	tr.axles[1].throw = [2]float64{1.02, 1.02}
	tr.axles[2].throw = tr.axles[1].throw
	tr.axles[2].quarter = 0.25 * deg
	s, pins := tr.draft()
	mo := s.motion(t, 20, 380, 2)
	for turn := 23.0; turn < 380; turn += 13 {
		if at180(turn) > 0 {
			continue
		}
		phi := tr.turned(pose(t, mo, turn), pins)
		got := tr.shares(phi)
		two := &train{axles: tr.axles[1:], rods: tr.rods[1:], play: tr.play[1:]}
		second := worstOf(two.shares(phi[1:]))
		wantNumber(t, fmt.Sprintf("worst at %g°", turn), worstOf(got[:2]), tr.brute([]float64{phi[0], 0, 0}, 1), 1e-9)
		wantNumber(t, fmt.Sprintf("next worst at %g°", turn), second, two.brute([]float64{phi[1], 0}, 1), 1e-9)
		if second > 0.9*worstOf(got[:2]) {
			t.Errorf("at %g° the second pair is no better off than the first: nothing is tried here", turn)
		}
	}
}

// Poses and their speeds and slopes by every dimension, against differences, in all the ways that rods can hold an axle. Each dimension is
// tried at a third of the places: a difference takes eight engines, each turned there from its start.
func TestTrainSlopes(t *testing.T) {
	tr := straight(6.5, 3)
	tr.rods[0] = [2]float64{6.52, 6.495}
	tr.rods[1] = [2]float64{6.5, 6.51}
	tr.axles[2].quarter = 0.002
	s, pins := tr.draft()
	l := s.assemble(t, 20*deg)
	where := func(l *Linkage, turn float64) *Pose {
		mo, err := l.Follow(t.Context(), nil, turn-deg, turn+deg, deg)
		p := new(Pose)
		if err != nil || mo.At(turn, p) != Solved {
			t.Fatalf("not solved at %g°", turn/deg)
		}
		return p
	}
	mo, err := l.Follow(t.Context(), nil, 20*deg, 380*deg, 2*deg)
	if err != nil {
		t.Fatal(err)
	}
	for i, at := range []float64{31, 52, 90, 93, 140, 187, 222, 275, 359.7, 360.2} {
		turn := at * deg
		p := where(l, turn)
		f := figure{make([]float64, len(s.Points)), make([]float64, len(s.Points))}
		f.x[pins[1]], f.y[pins[1]], f.x[pins[2]], f.y[pins[2]] = 1, -0.5, 0.3, 2
		seeds, ok := l.Adjoint(p, f.x, f.y)
		if !ok {
			t.Errorf("no derivative at %g°", at)
			continue
		}
		grad := expr.NewGradient(s.g, len(s.Points), 0)
		expr.NewEval(l.v).Backward(seeds, &expr.Context{Turn: p.Turn}, grad)
		const h = 1e-5
		for k, id := range s.g.Dims {
			if (i+k)%6 > 0 {
				continue
			}
			want := slope(func(d float64) float64 {
				o, err := l.With(expr.Resolve(s.g, map[int]float64{k: l.v.At(id) + d}))
				if err != nil {
					t.Fatal(err)
				}
				return f.of(where(o, turn))
			}, h)
			wantNumber(t, fmt.Sprint("at ", at, " dimension ", k), grad.Dim[k], want, 1e-4*max(1, math.Abs(want)))
		}
		want := slope(func(d float64) float64 { return f.of(where(l, turn+d)) }, h)
		wantNumber(t, fmt.Sprint("at ", at, " turn"), grad.Turn, want, 1e-4*max(1, math.Abs(want)))
		var r expr.Context
		mo.Rates(p, &r)
		got := r.DX[pins[1]] - 0.5*r.DY[pins[1]] + 0.3*r.DX[pins[2]] + 2*r.DY[pins[2]]
		wantNumber(t, fmt.Sprint("at ", at, " rate"), got, grad.Turn, 1e-7*max(1, math.Abs(got)))
	}
}
