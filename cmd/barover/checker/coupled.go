package checker

import (
	"fmt"
	"math"
	"math/cmplx"
)

// coupledWheels is two axles and their rod, coupledFarOff the same far from the origin, and threeAxles three and two rods from
// the first.
func (d *drawer) coupledWheels() {
	d.stands(0)
	d.coupledAxles(1)
}

func (d *drawer) coupledFarOff() {
	d.stands(round(cmplx.Rect(d.hair(1e3, 1e5), d.between(-3, 3)), 0.01))
	d.coupledAxles(1)
}

func (d *drawer) threeAxles() { d.coupledAxles(2) }

// stands moves the engine elsewhere, before anything is drawn.
func (d *drawer) stands(origin complex128) {
	d.Origin, d.parts[0].text = origin, origin
}

// coupledAxles is axles and their rods from the first, as exact parallelograms: level or a little off level, started near
// where all pins are in line, or anywhere. By the theorem of the parallelogram the rods stay parallel; if the start is on
// the crossed branch, each rod's pin stays the mirror image of that. Newton alone could not tell the branches apart where
// they meet.
func (d *drawer) coupledAxles(rods int) {
	a := d.at("shaft", 0)
	var to []complex128
	for k := range rods {
		h := 0.0
		if !d.odds(4) {
			h = d.sign() * d.hair(1e-4, 3)
		}
		to = append(to, d.zz(complex(d.between(45, 75)*float64(k+1), h)))
	}
	throw := d.mm(d.between(10, 20))
	d.turnFrom(d.nearTheLine(cmplx.Phase(to[0])))
	axles := d.axles(a, to)
	pin, _ := d.crank("crank", axles[0], throw)
	crossed := d.odds(5)
	d.known = func(p *Pose) []complex128 {
		o := p.Points[axles[0]]
		out := []complex128{o + cmplx.Rect(throw, d.drive.Of(p))}
		for k := range to {
			q := out[0] + to[k]
			if b := p.Points[axles[k+1]]; crossed {
				u := unit(b - out[0])
				q = b + cmplx.Conj((q-b)/u)*u
			}
			out = append(out, q)
		}
		return out
	}
	for k := range to {
		d.coupled(k, pin, axles[k+1], to[k], throw)
	}
}

// axles adds the axles, all on the ground or all on one range through zero.
func (d *drawer) axles(first int, to []complex128) []int {
	out := []int{first}
	if d.odds(4) {
		by := d.bump()
		out[0] = d.lifted("axle", 0, by)
		for k, z := range to {
			out = append(out, d.lifted(fmt.Sprintf("axle%d", k+1), z, by))
		}
		return out
	}
	for k, z := range to {
		out = append(out, d.at(fmt.Sprintf("axle%d", k+1), z))
	}
	return out
}

// coupled adds the rod to one more axle, with a lug on it, and posts beside the lug.
func (d *drawer) coupled(k, pin, axle int, to complex128, throw float64) {
	name := fmt.Sprintf("pin%d", k+1)
	q := d.find(name, d.known(d.placed())[k+1], 0) // the theorem says where the found points are at the start
	d.length(pin, q, hypotenuse(to))
	d.length(axle, q, constant(throw))
	d.lugged(d.link(fmt.Sprintf("rod%d", k+1), pin, q), fmt.Sprintf("lug%d", k+1), cmplx.Abs(to), q)
}

// lugged gives a rod a bar with a lug on it, and asks for posts beside the lug and a point.
func (d *drawer) lugged(rod int, name string, long float64, beside int) {
	w := d.mm(6)
	lug := d.zz(complex(d.between(0.2, 0.8)*long/d.Scale, 0))
	bar := d.profile(rod, "bar", 0, 5, strip(complex(long, 0), w, w, false), disc(lug, d.mm(d.between(2, 5))))
	d.among(bar, d.on(name, rod, lug), beside)
}

// hypotenuse is the length of a way, written so that nothing is rounded.
func hypotenuse(z complex128) Sum {
	v := cmplx.Abs(z)
	return Sum{fmt.Sprintf("hypot(%s, %s)", figure(real(z)), figure(imag(z))), Length, func(*Pose) float64 { return v }}
}

// nearTheLine is a start in degrees: often near where the pins lie in a line, never within 0.05° of it, or round.
func (d *drawer) nearTheLine(heading float64) float64 {
	line := heading * 180 / math.Pi
	switch d.rng.IntN(3) {
	case 0:
		return math.Round((line+d.sign()*d.hair(0.05, 30)+180*float64(d.rng.IntN(2)))*1000) / 1000
	case 1:
		return [6]float64{-90, -90.01, -45.01, 90, 30, 150}[d.rng.IntN(6)]
	}
	return tenth(line + d.between(1, 179))
}

// turnFrom is a whole turn from a start in degrees.
func (d *drawer) turnFrom(from float64) {
	step := [5]float64{1, 2, 3, 5, 10}[d.rng.IntN(5)]
	d.drive, d.start = d.turn(from, tidied(from+360), step), from*math.Pi/180
}

// nearMiss is a parallelogram whose rod is a little too short or too long, turned past the dead centre that it can pass.
// A short one passes where the axles are between the pins, a long one at the other. Rigid parts go to the crossed branch
// there: the joint stays on its side of the line from pin to axle.
func (d *drawer) nearMiss() {
	ground, throw := d.mm(d.between(45, 75)), d.mm(d.between(10, 20))
	miss := d.sign() * d.hair(1e-5, 1e-2) * d.Scale
	long := tidied(ground + miss)
	past := 0.0
	if long > ground {
		past = 180
	}
	from := tenth(past - d.between(20, 150))
	d.drive = d.turn(from, tenth(past+d.between(20, 150)), [4]float64{1, 2, 5, 10}[d.rng.IntN(4)])
	d.start = from * math.Pi / 180
	a := d.at("shaft", 0)
	b := d.at("axle", complex(ground, 0))
	pin, _ := d.crank("crank", a, throw)
	left := d.startOf(pin)
	side := imag(left) < 0 // the parallel way at the start
	q := d.joint("joint", pin, long, b, throw, side)
	d.known = func(p *Pose) []complex128 {
		c := cmplx.Rect(throw, d.drive.Of(p))
		return []complex128{c, meet(c, long, complex(ground, 0), throw, side)}
	}
	d.lugged(d.link("rod", pin, q), "lug", long, q)
	d.someSums(q)
}
