package machine

import (
	"math"
	"testing"

	"barover/solver"
	"barover/solver/expr"
)

// The acceleration of a crosshead whose line a range lifts, against the closed form of a crank and a rod of given lengths: by the turn
// x″ = -r·cos - (u′² + u·u″)/s - u²·u′²/s³ with u = r·sin - h, s = √(l² - u²).
func TestAccelerationIsProved(t *testing.T) {
	const r, l, high = 22.0, 133.0, 6.0
	d := newDraft(0, 360, 5)
	h := d.travel("lift", 0, true, -high, 0, high)
	shaft, pin := d.fixed("shaft", 0, 0), d.found("pin")
	d.crank(shaft, pin, d.num(r))
	cross := d.near("cross", 150, 0)
	d.length(pin, cross, d.num(l))
	d.slide(cross, d.line("bore", d.at("foot", d.num(0), h), 0))
	x := d.g.X(cross)
	rate := func(id expr.ID) expr.ID { return d.g.Unary(expr.Rate, id) }
	d.measure("acceleration", rate(rate(x)))
	d.measure("both", rate(d.g.Add(x, rate(d.g.Mul(d.num(0.3), d.g.Y(pin))))))
	d.keep(rate(rate(x)), d.num(-26), expr.None)
	res := d.study(t, d.drawn())

	least, greatest := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for i := range 7200 {
		sin, cos := math.Sincos(float64(i) * math.Pi / 3600)
		for k := range 81 {
			u, du := r*sin-high*(float64(k)/40-1), r*cos
			s := math.Sqrt(l*l - u*u)
			for m, v := range [2]float64{-r*cos - (du*du-u*r*sin)/s - u*u*du*du/(s*s*s), -r*sin - u*du/s - 0.3*r*sin} {
				least[m], greatest[m] = math.Min(least[m], v), math.Max(greatest[m], v)
			}
		}
	}
	for m, e := range res.Extremes {
		if e.Sure != solver.Proved || !(math.Abs(e.Least-least[m]) <= 1e-5) || !(math.Abs(e.Greatest-greatest[m]) <= 1e-5) {
			t.Errorf("%v, from %v to %v; want %v to %v", e.Sure, e.Least, e.Greatest, least[m], greatest[m])
		}
	}
	if f := res.Findings[0]; f.Sure != solver.Proved || len(f.Unproved) > 0 || !f.OK {
		t.Errorf("%+v", f)
	}
}

// The rate of |v| jumps from -a to a where v changes its sign, and comes as near to its worse side as one likes: what is proved of it
// is right to the tolerance, wherever the engine stands, or nothing is.
func TestRateOfAKinkFarAway(t *testing.T) {
	const r, l, x = 33.0, 135.0, 5088.0
	d := newDraft(0, 360, 10)
	h := d.travel("lift", 0, true, -9, 9)
	shaft, pin := d.fixed("shaft", x, 0), d.found("pin")
	d.crank(shaft, pin, d.num(r))
	cross := d.near("cross", x+r+l, 0)
	d.length(pin, cross, d.num(l))
	d.slide(cross, d.line("bore", d.at("foot", d.num(x), h), 0))
	rate := func(id expr.ID) expr.ID { return d.g.Unary(expr.Rate, id) }
	d.keep(rate(d.g.Unary(expr.Abs, rate(d.g.X(cross)))), d.num(-1e6), expr.None)
	f := d.study(t, d.drawn()).Findings[0]

	least := math.Inf(1)
	for i := range 7200 {
		sin, cos := math.Sincos(float64(i) * math.Pi / 3600)
		for k := range 41 {
			u, du := r*sin-9*(float64(k)/20-1), r*cos
			s := math.Sqrt(l*l - u*u)
			v, a := -r*sin-u*du/s, -r*cos-(du*du-u*r*sin)/s-u*u*du*du/(s*s*s)
			least = math.Min(least, a*math.Copysign(1, v))
		}
	}
	if f.Sure == solver.Proved && len(f.Unproved) == 0 && !(f.Least <= least+1e-3) {
		t.Errorf("least %v is proved, %v is seen", f.Least, least)
	}
}
