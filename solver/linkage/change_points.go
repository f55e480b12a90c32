package linkage

import (
	"math"
	"slices"
)

// change is a stretch of a walk that went over change points. From one side to the other the scalars follow a cubic.
type change struct {
	from, to  footing
	turn      float64 // of from, rad
	dTurn     float64 // from there to `to`, rad
	at        float64 // of the first change point: a turn, rad
	crossings []int   // the blocks whose determinant went through zero
	passed    []Pass
}

// forget drops the footings behind: they lead nowhere from here.
func (w *walker) forget() {
	w.here.at = math.NaN()
	for i := range w.trail {
		w.trail[i].at = math.NaN()
	}
}

// crossed describes the change between footing a and the engine, which is at far.
func (w *walker) crossed(a *footing, far float64) change {
	e := w.e
	c := change{from: newFooting(e), to: newFooting(e)}
	c.from.copy(a)
	scale := w.r.dTurn / w.r.length
	c.turn = w.r.turn + a.at*scale
	c.dTurn = (far - a.at) * scale
	for k, d := range e.Det[:w.limit] {
		if d*a.det[k] < 0 {
			c.crossings = append(c.crossings, k)
		}
	}
	w.note(&c.to, far)
	return c
}

// slack reports whether the play of loose lengths takes the engine over one of its change points.
func (c *change) slack() bool {
	return slices.ContainsFunc(c.passed, func(p Pass) bool { return p.Play > 0 })
}

// covers reports whether a turn is between the two sides of the change.
func (c *change) covers(turn float64) bool {
	f := (turn - c.turn) / c.dTurn
	return f >= 0 && f <= 1
}

// place puts the scalars at a turn between the two sides into x.
func (c *change) place(turn float64, x []float64) {
	f := (turn - c.turn) / c.dTurn
	h := c.to.at - c.from.at
	for i := range x {
		x[i] = hermite(f, h, c.from.x[i], c.from.v[i], c.to.x[i], c.to.v[i])
	}
}

// hermite is the cubic from p with slope u at f = 0 to q with slope v at f = 1, h apart.
func hermite(f, h, p, u, q, v float64) float64 {
	g := 1 - f
	return g*g*(1+2*f)*p + f*f*(1+2*g)*q + h*f*g*(g*u-f*v)
}
