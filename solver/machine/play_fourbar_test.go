package machine

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/plane"
)

// playedBars is a four-bar linkage with play at four eyes, a disc on its coupler and one that stands still. Where the coupler stands is
// computed here from two triangles, without the solver.
type playedBars struct {
	throw, coupler, rocker, ground float64
	play                           [4]float64 // of crank at o, coupler at p, coupler at q, rocker at r, on the diameter
	on, still                      plane.Vec  // the discs, in the coupler's axes and in the frame
	dia                            [2]float64
}

func (c *playedBars) draft(least, most float64) *draft {
	d := newDraft(0, 360, 5)
	o, r := d.fixed("o", 0, 0), d.fixed("r", c.ground, 0)
	p := d.found("p")
	at, _ := c.pin(0, [4]plane.Vec{})
	q := d.near("q", at.X, at.Y)
	d.crank(o, p, d.num(c.throw))
	d.length(p, q, d.num(c.coupler))
	d.length(r, q, d.num(c.rocker))
	crank, coup, rock := d.part("crank", o, p), d.part("coup", p, q), d.part("rock", r, q)
	a := d.profile(coup, "a", d.num(0), d.num(2), d.disc(d.num(c.on.X), d.num(c.on.Y), d.num(c.dia[0])))
	b := d.profile(0, "b", d.num(0), d.num(2), d.disc(d.num(c.still.X), d.num(c.still.Y), d.num(c.dia[1])))
	upper := expr.None
	if !math.IsNaN(most) {
		upper = d.num(most)
	}
	d.check(solver.Check{Kind: solver.Clear, A: a, B: b, AtLeast: d.num(least), AtMost: upper})
	for i, e := range [4][2]int{{crank, o}, {coup, p}, {coup, q}, {rock, r}} {
		d.p.Plays = append(d.p.Plays, solver.Play{Stmt: d.next(), Part: e[0], Point: e[1], Line: -1, V: d.num(c.play[i]), Named: true})
	}
	return d
}

// pin is q with the eyes off their pins, and whether the linkage can be assembled.
func (c *playedBars) pin(turn float64, off [4]plane.Vec) (plane.Vec, bool) {
	a := off[0].Add(plane.Polar(turn).Scale(c.throw)).Add(off[1]).Sub(off[2])
	way := plane.Vec{X: c.ground}.Add(off[3]).Sub(a)
	l := way.Len()
	u := (l*l + c.coupler*c.coupler - c.rocker*c.rocker) / (2 * l)
	h := c.coupler*c.coupler - u*u
	return a.Add(way.Scale(u / l)).Add(way.Turned().Scale(math.Sqrt(h) / l)), h > 0
}

// apart is how far the discs are apart with the eyes at the rims of their play, at such angles.
func (c *playedBars) apart(turn float64, angle [4]float64) float64 {
	var off [4]plane.Vec
	for i, a := range angle {
		off[i] = plane.Polar(a).Scale(c.play[i] / 2)
	}
	q, _ := c.pin(turn, off)
	from := off[0].Add(plane.Polar(turn).Scale(c.throw)).Add(off[1])
	dir := q.Add(off[2]).Sub(from).Unit()
	return plane.Placement{Origin: from, Dir: dir}.Out(c.on).Sub(c.still).Len() - (c.dia[0]+c.dia[1])/2
}

// extreme is the least of sign times the distance, with that sign.
func (c *playedBars) extreme(sign float64) float64 {
	return sign * leastOfAll(4, func(turn float64, angle []float64) float64 { return sign * c.apart(turn, [4]float64(angle)) })
}

// leastOfAll seeks the least of a figure over a turn and so many eyes at the rims of their play: every half degree with each eye in turn
// where the figure is least, then from the best of those by ever smaller steps. No number is no engine.
func leastOfAll(eyes int, figure func(turn float64, angle []float64) float64) float64 {
	best, at := math.Inf(1), make([]float64, 1+eyes)
	look := func(x []float64) bool {
		if v := figure(x[0], x[1:]); v < best {
			best, at = v, slices.Clone(x)
			return true
		}
		return false
	}
	for k := range 720 {
		x := make([]float64, 1+eyes)
		x[0] = 2 * math.Pi * float64(k) / 720
		for range 3 {
			for i := 1; i <= eyes; i++ {
				y := slices.Clone(x)
				low := math.Inf(1)
				for j := range 16 {
					y[i] = 2 * math.Pi * float64(j) / 16
					if v := figure(y[0], y[1:]); v < low {
						low, x[i] = v, y[i]
					}
				}
			}
		}
		look(x)
	}
	for step := 0.2; step > 1e-7; {
		better := false
		for i := range at {
			for _, by := range [2]float64{-step, step} {
				x := slices.Clone(at)
				x[i] += by
				better = look(x) || better
			}
		}
		if !better {
			step /= 2
		}
	}
	return best
}

// The least and the greatest of a four-bar with play against every place of its eyes: the figure told is the truth to 0.001 mm, and what
// is told as proved lies beyond it.
func TestPlayOfFourBar(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	c := &playedBars{throw: 11.74, coupler: 50, rocker: 49.84, ground: 48, play: [4]float64{0.24, 0.28, 0.22, 0.28},
		on: plane.Vec{X: 11.5, Y: 5.2}, still: plane.Vec{X: 3.717, Y: 11.609}, dia: [2]float64{4, 6}}
	for range 8 {
		least, most := c.extreme(1), c.extreme(-1)
		d := c.draft(0, most+1)
		f := d.study(t, d.drawn()).Findings[0]
		if f.Play == nil || math.IsNaN(f.Play.Least) || math.IsNaN(f.Play.Greatest) {
			t.Fatalf("nothing is proved of %+v: %+v", c, f)
		}
		if math.Abs(f.Least-least) > 1e-3 || math.Abs(f.Greatest-most) > 1e-3 {
			t.Errorf("%v to %v; every place has %v to %v", f.Least, f.Greatest, least, most)
		}
		if f.Play.Least > least+1e-9 || f.Play.Greatest < most-1e-9 {
			t.Errorf("proved %v to %v; every place has %v to %v", f.Play.Least, f.Play.Greatest, least, most)
		}
		if lost := f.Play.Tight - f.Least; least-f.Play.Least > 1e-3+0.05*lost {
			t.Errorf("proved %v, the least is %v; play takes %v", f.Play.Least, least, lost)
		}
		c = &playedBars{throw: 8 + 6*rng.Float64(), coupler: 48 + 8*rng.Float64(), rocker: 46 + 6*rng.Float64(), ground: 44 + 6*rng.Float64(),
			on: plane.Vec{X: 10 + 20*rng.Float64(), Y: 8 * rng.NormFloat64()}, still: plane.Vec{X: 60 * rng.Float64(), Y: -20 - 20*rng.Float64()}, dia: [2]float64{4, 6}}
		for i := range c.play {
			c.play[i] = 0.3 * rng.Float64()
		}
	}
}

// A clear line with play holds where its bound suffices, falls short where an engine that is solved does, and between the two nothing is
// claimed. The truth of this linkage is 1.0293.
func TestPlayIsToldInThreeWays(t *testing.T) {
	c := &playedBars{throw: 11.74, coupler: 50, rocker: 49.84, ground: 48, play: [4]float64{0.24, 0.28, 0.22, 0.28},
		on: plane.Vec{X: 11.5, Y: 5.2}, still: plane.Vec{X: 3.717, Y: 11.609}, dia: [2]float64{4, 6}}
	least := c.extreme(1)
	for _, by := range []float64{-0.1, -0.004, -0.002, -0.0005, 0.0005, 0.002, 0.1} {
		d := c.draft(least+by, math.NaN())
		f := d.study(t, d.drawn()).Findings[0]
		switch {
		case f.OK && f.Sure == solver.Proved && by > solver.MeetsLength:
			t.Errorf("%v is proved to hold where %v is asked", least, least+by)
		case !f.OK && by < 0:
			t.Errorf("%v falls short where %v is asked", least, least+by)
		case by <= -0.1 && f.Sure != solver.Proved, by >= 0.002 && f.OK:
			t.Errorf("with %v of room it is ok %v, %v", -by, f.OK, f.Sure)
		}
	}
}
