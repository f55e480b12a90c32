package linkage

import "math"

// A change point is a place where two ways of assembly meet, as a parallelogram does when it lies flat: the linkage can
// go either way there. The motion goes straight on, as it would with the least weight in its parts.

// change is a change point that a walk went over. From one side to the other the scalars follow a cubic.
type change struct {
	from, to  footing
	turn      float64 // of from, rad
	dTurn     float64 // from there to `to`, rad
	at        float64 // of the change point: a turn, rad
	crossings []int   // the blocks whose determinant went through zero
}

// crossStep is how far before and behind a change point the walk looks at the motion, rad: far enough for the two ways to
// part, near enough for a parabola.
const crossStep = 2e-4

// cross goes over a change point that the walk has come to, and reports whether it was one. A dead centre beyond which
// the parts do not reach is none: the motion does not run up to it smoothly.
func (w *walker) cross() bool {
	a := w.before(crossStep)
	if a == nil {
		return false
	}
	b := w.before(3 * (w.at - a.at))
	if b == nil {
		return false
	}
	beyond := w.at - a.at
	far := w.at + beyond
	if far > w.r.length && w.r.dTurn == 0 {
		return false
	}
	e := w.e
	t := far - a.at
	speed := 0.0
	for i := range e.x {
		bend := (a.v[i] - b.v[i]) / (a.at - b.at)
		e.x[i] = a.x[i] + t*a.v[i] + t*t/2*bend
		speed = max(speed, math.Abs(a.v[i]))
	}
	w.set(far)
	copy(w.last.x, e.x)
	_, ok := e.solveUpTo(w.limit)
	c := w.crossed(a, far)
	if !ok || len(c.crossings) == 0 || !w.within(w.last.x, 0.02*t*speed) {
		w.retreat()
		return false
	}
	w.changes = append(w.changes, c)
	w.at = far
	w.pace = beyond
	w.forget()
	return true
}

// forget drops what lies behind: it leads nowhere from here.
func (w *walker) forget() {
	w.here.at = math.NaN()
	for i := range w.trail {
		w.trail[i].at = math.NaN()
	}
}

// before returns the last footing that lies at least so far behind.
func (w *walker) before(far float64) *footing {
	for i := range w.trail {
		if t := &w.trail[i]; w.at-t.at >= far {
			return t
		}
	}
	return nil
}

// within reports whether every scalar lies that near to a prediction.
func (w *walker) within(x []float64, allow float64) bool {
	for i := range w.e.x {
		if !(math.Abs(w.e.x[i]-x[i]) <= allow) {
			return false
		}
	}
	return true
}

// crossed describes the change point between footing a and the engine, which stands at far.
func (w *walker) crossed(a *footing, far float64) change {
	e := w.e
	c := change{from: newFooting(e), to: newFooting(e)}
	c.from.copy(a)
	scale := w.r.dTurn / w.r.length
	c.turn = w.r.turn + a.at*scale
	c.dTurn = (far - a.at) * scale
	c.at = w.r.turn + w.at*scale
	for k, d := range e.det[:w.limit] {
		if d*a.det[k] < 0 {
			c.crossings = append(c.crossings, k)
		}
	}
	e.complete()
	for i := range w.travel {
		w.travel[i] = w.r.d[i] / w.r.length
	}
	e.velocity(w.v, scale, w.travel, w.limit)
	c.to.at = far
	copy(c.to.x, e.x)
	copy(c.to.det, e.det)
	copy(c.to.v, w.v.x)
	return c
}

// covers reports whether a turn lies between the two sides of the change point.
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
