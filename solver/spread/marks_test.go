package spread_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/machine"
	"barover/solver/spread"
	"barover/solver/trial"
	"barover/solver/trial/draws"
	"barover/solver/trial/engine"
)

// slideValve is a cylinder and its slide valve, mm and rad: each driven by a rod from its own pin on one shaft.
type slideValve struct {
	problem *solver.Problem
	dims    []float64
	turns   float64                     // a range turns the eccentric by so much either way
	figures []func(d []float64) float64 // of each check, by closed form
}

// The dimensions of a slideValve: throws and rods of crank and eccentric, the angle of the eccentric ahead of the crank, and the laps.
const (
	valveThrow = iota
	valveRod
	valveEccentric
	valveEccRod
	valveAhead
	valveLap
	valveExhaust
)

// newSlideValve asks for what a valve setter reads. With the eccentric at φ the valve is e·cos φ + √(L² − e²·sin²φ) from the shaft. That is D
// where cos φ = (D² + e² − L²)/(2·D·e).
func newSlideValve(rng *rand.Rand, turns float64) *slideValve {
	ranges := 0
	if turns > 0 {
		ranges = 1
	}
	s := trial.New(ranges)
	g := s.Graph
	v := &slideValve{problem: &solver.Problem{Graph: g, Linkage: &s.Model, Turn: solver.Turn{Name: "crank", From: 0, To: 2 * math.Pi, Step: math.Pi / 36}},
		turns: turns, dims: []float64{25, 90 + 40*rng.Float64(), 10, 60 + 60*rng.Float64(), 1.9 + 0.3*rng.Float64(), 4 + 2*rng.Float64(), rng.Float64() - 0.5}}
	var dim []expr.ID
	for i, x := range v.dims {
		v.problem.Dims = append(v.problem.Dims, solver.Dim{Name: string(rune('a' + i))})
		dim = append(dim, g.Dim(s.Num(x)))
	}
	shaft := s.Fixed(0, 0)
	line := s.Line(shaft, s.Num(0))
	slider := func(throw, rod, heading expr.ID, far float64) (pin int, x expr.ID) {
		pin = s.Found(0, 0)
		end := s.Found(far, 0)
		s.Length(shaft, pin, throw)
		s.Heading(shaft, pin, heading)
		s.Length(pin, end, rod)
		s.Slide(end, line)
		return pin, g.X(end)
	}
	crankpin, piston := slider(dim[valveThrow], dim[valveRod], g.Turn(), v.dims[valveRod])
	ahead := g.Add(g.Turn(), dim[valveAhead])
	if turns > 0 {
		ahead = g.Add(ahead, g.Travel(0))
		v.problem.Travels = []solver.Travel{{Name: "notch", Angle: true, Range: true, From: -turns, To: turns, Settings: []float64{-turns, 0, turns}}}
	}
	_, valve := slider(dim[valveEccentric], dim[valveEccRod], ahead, v.dims[valveEccRod])
	shift := g.Sub(valve, dim[valveEccRod])
	front, exhaust := g.Sub(shift, dim[valveLap]), g.Add(shift, dim[valveExhaust])
	back := g.Sub(g.Unary(expr.Neg, shift), dim[valveLap])
	cutOff, cutOffBack := g.Place(expr.Falls, front), g.Place(expr.Falls, back)
	release, widest := g.Place(expr.Falls, exhaust), g.Place(expr.Lowest, valve)

	at := func(throw, rod, turn float64) float64 {
		return throw*math.Cos(turn) + math.Sqrt(rod*rod-math.Pow(throw*math.Sin(turn), 2))
	}
	piston1 := func(d []float64, turn float64) float64 { return at(d[valveThrow], d[valveRod], turn) }
	shift1 := func(d []float64, turn float64) float64 {
		return at(d[valveEccentric], d[valveEccRod], turn+d[valveAhead]) - d[valveEccRod]
	}
	reaches := func(d []float64, far, sign float64) float64 { // the turn at which the valve goes through a place, on the way down (sign 1) or up
		e, l := d[valveEccentric], d[valveEccRod]
		far += l
		return sign*math.Acos((far*far+e*e-l*l)/(2*far*e)) - d[valveAhead]
	}
	v.ask(g.AtPlace(front, s.Num(0)), func(d []float64) float64 { return shift1(d, 0) - d[valveLap] })
	v.ask(g.Add(g.AtPlace(front, s.Num(0)), g.AtPlace(back, s.Num(math.Pi))), func(d []float64) float64 { return shift1(d, 0) - shift1(d, math.Pi) - 2*d[valveLap] })
	v.ask(g.AtPlace(piston, cutOff), func(d []float64) float64 { return piston1(d, reaches(d, d[valveLap], 1)) })
	v.ask(g.AtPlace(piston, cutOffBack), func(d []float64) float64 { return piston1(d, reaches(d, -d[valveLap], -1)) })
	v.ask(g.Add(g.AtPlace(piston, cutOff), g.AtPlace(piston, cutOffBack)), func(d []float64) float64 {
		return piston1(d, reaches(d, d[valveLap], 1)) + piston1(d, reaches(d, -d[valveLap], -1))
	})
	v.ask(g.Sub(cutOffBack, cutOff), func(d []float64) float64 {
		round := func(turn float64) float64 { return turn - 2*math.Pi*math.Floor(turn/(2*math.Pi)) }
		return round(reaches(d, -d[valveLap], -1)) - round(reaches(d, d[valveLap], 1))
	})
	v.ask(g.AtPlace(piston, release), func(d []float64) float64 { return piston1(d, reaches(d, -d[valveExhaust], 1)) })
	// Some open over the start of the turn: before it with some sizes, after it with others.
	v.ask(g.AtPlace(g.Y(crankpin), g.Place(expr.Rises, back)), func(d []float64) float64 { return d[valveThrow] * math.Sin(reaches(d, -d[valveLap], 1)) })
	v.ask(g.AtPlace(piston, widest), func(d []float64) float64 { return piston1(d, math.Pi-d[valveAhead]) })
	v.ask(g.AtPlace(back, widest), func(d []float64) float64 { return d[valveEccentric] - d[valveLap] })
	return v
}

// ask adds a keep line of a sum on each side.
func (v *slideValve) ask(sum expr.ID, figure func(d []float64) float64) {
	g := v.problem.Graph
	v.problem.Checks = append(v.problem.Checks, solver.Check{Kind: solver.Keep, Sum: sum, AtLeast: g.Const(-1000), AtMost: expr.None},
		solver.Check{Kind: solver.Keep, Sum: sum, AtLeast: expr.None, AtMost: g.Const(1000)})
	v.figures = append(v.figures, figure, func(d []float64) float64 { return -figure(d) })
}

// places is at how many places on either side of the middle a range is looked at.
const places = 8

// The bound of what is read at marks lies beyond the figure of no engine. It is at most 5 % of the worst-case change off the worst, 10 % over a
// range: slide valves of random dimensions and tolerances, by closed form at every corner of the tolerances and between them. Half of the valves
// have a range that turns the eccentric.
func TestMarksBoundIsNear(t *testing.T) {
	t.Logf("seed %d", *seed)
	rng := rand.New(rand.NewPCG(*seed, 31))
	var off []float64
	jumps := 0
	for n := range max(3, draws.Of(12)) {
		v := newSlideValve(rng, float64(n&1)*(0.3+0.3*rng.Float64()))
		var tols []spread.Tolerance
		for i, x := range v.dims {
			half := 0.01 + 0.2*rng.Float64()
			if i == valveAhead {
				half /= 20
			}
			tols = append(tols, spread.Tolerance{Dim: i, Value: x, Lower: -half, Upper: half * rng.Float64()})
		}
		values := expr.Resolve(v.problem.Graph, nil)
		a, err := spread.Spread(t.Context(), spread.Ask{Problem: v.problem, Vary: engine.Varied(v.problem, values), Tolerances: tols, Samples: 1}, machine.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for i, figure := range v.figures {
			least := func(d []float64) float64 { // over the range
				low := math.Inf(1)
				for n := range 2*places + 1 {
					notched := slices.Clone(d)
					notched[valveAhead] += v.turns * float64(n-places) / places
					low = min(low, figure(notched))
				}
				return low
			}
			now, worst := least(v.dims), math.Inf(1)
			for n := range 1<<len(tols) + 300 {
				d := slices.Clone(v.dims)
				for k, q := range tols {
					x := rng.Float64()
					if n < 1<<len(tols) {
						x = float64(n >> k & 1)
					}
					d[k] += q.Lower + x*(q.Upper-q.Lower)
				}
				worst = min(worst, least(d))
			}
			proved := a.Checks[i].Proved
			if i&1 == 1 {
				proved = -proved
			}
			if v.turns > 0 && math.IsNaN(proved) { // a place that the range takes over the start of the turn jumps
				jumps++
				continue
			}
			share := (worst - proved) / (now - worst)
			if !(proved <= worst+1e-7) || !(share <= 0.05*(1+math.Ceil(v.turns))) {
				t.Errorf("%v: check %d: proved %v, worst %v, now %v: off by %.2f %% of the change", v.dims, i, proved, worst, now, 100*share)
			}
			off = append(off, share)
		}
	}
	if jumps*20 > len(off) {
		t.Errorf("%d of %d bounds are not proved", jumps, jumps+len(off))
	}
	slices.Sort(off)
	if median := off[len(off)/2]; !(median < 0.005) {
		t.Errorf("the bounds are off by %.2f %% of the worst-case change in the middle, want 0.5 %%", 100*median)
	}
	t.Logf("middle %.3f %%, most %.3f %%", 100*off[len(off)/2], 100*off[len(off)-1])
}

// A pin on a crank of throw r goes round. How far it is off a level at c, within the circle, is least 0, less the throw -r. Its height y plus |a + b|,
// plus (a - b)/2 for two sizes a and b about zero, is greatest r plus the tolerances of a and b where these are the same. Both are proved nearly
// exactly: neither side of a kink counts in all engines, and halving sizes one by one would not do.
func TestKinkBoundIsNear(t *testing.T) {
	t.Logf("seed %d", *seed)
	rng := rand.New(rand.NewPCG(*seed, 32))
	for range draws.Of(20) {
		s := trial.New(0)
		g := s.Graph
		p := &solver.Problem{Graph: g, Linkage: &s.Model, Turn: solver.Turn{Name: "crank", From: 0, To: 2 * math.Pi, Step: math.Pi / 36}}
		throw, level := 20+5*rng.Float64(), 30*rng.Float64()-15
		p.Dims = []solver.Dim{{Name: "throw"}, {Name: "level"}, {Name: "a"}, {Name: "b"}}
		shaft, pin := s.Fixed(0, 0), s.Found(0, 0)
		r, c, a, b := g.Dim(s.Num(throw)), g.Dim(s.Num(level)), g.Dim(s.Num(0)), g.Dim(s.Num(0))
		s.Length(shaft, pin, r)
		s.Heading(shaft, pin, g.Turn())
		y := g.Y(pin)
		below := func(sum expr.ID) {
			p.Checks = append(p.Checks, solver.Check{Kind: solver.Keep, Sum: sum, AtLeast: expr.None, AtMost: g.Const(1000)})
		}
		off := g.Unary(expr.Abs, g.Sub(y, c))
		above := g.Binary(expr.Max, g.Sub(y, c), g.Sub(c, y))
		within := g.Binary(expr.Min, g.Sub(c, y), g.Sub(y, c))
		half := g.Mul(g.Sub(a, b), g.Const(0.5))
		below(g.Sub(r, off))
		below(g.Sub(r, above))
		below(g.Add(r, within))
		below(g.Add(g.Add(y, g.Unary(expr.Abs, g.Add(a, b))), half))
		below(g.Add(g.Binary(expr.Max, g.Add(g.Add(y, a), b), g.Sub(g.Sub(y, a), b)), half))
		throws, two := 0.01+0.1*rng.Float64(), 0.01+0.1*rng.Float64()
		tols := []spread.Tolerance{{Dim: 0, Value: throw, Lower: -0.1, Upper: throws}, {Dim: 1, Value: level, Lower: -0.01, Upper: 0.05 * rng.Float64()},
			{Dim: 2, Lower: -two, Upper: two}, {Dim: 3, Lower: -two, Upper: two}}
		values := expr.Resolve(g, nil)
		carried, err := spread.Spread(t.Context(), spread.Ask{Problem: p, Vary: engine.Varied(p, values), Tolerances: tols, Samples: 1}, machine.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for i, k := range carried.Checks {
			want := throw + throws
			if i > 2 {
				want += 2 * two
			}
			if moves := want - throw; !(k.Proved >= want-1e-9 && k.Proved <= want+0.005*moves+1e-4) {
				t.Errorf("throw %v, level %v: check %d: proved %v, the greatest is %v, the tolerances move it by %v", throw, level, i, k.Proved, want, moves)
			}
		}
	}
}
