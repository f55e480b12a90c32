package checker

import (
	"fmt"
	"math"
	"math/cmplx"
)

// What a proof gets wrong at a place that it tells of shows when that is looked at on the exact motion, and it is not taken. What it
// gets wrong elsewhere, be it left out, on another way or off by little, shows only where that is the true worst.

// dragLink is a four-bar whose ground is its shortest link: by a range all links go right round, so that its ways of assembly far
// from rest are not to be told apart by where they stand at rest.
func (d *drawer) dragLink() {
	d.byRange()
	ground := d.between(10, 30)
	short, mid, long := ground+d.between(10, 30), 0.0, ground+d.between(30, 60)
	mid = d.between(short, long)
	if ground+long > short+mid-1 { // or they could not go round
		long = short + mid - ground - d.hair(1, 10)
	}
	links := [3]float64{short, mid, long}
	d.rng.Shuffle(3, func(i, j int) { links[i], links[j] = links[j], links[i] })
	a := d.at("shaft", 0)
	b := d.at("pivot", d.zz(cmplx.Rect(ground, d.between(-3, 3))))
	pin, _ := d.crank("crank", a, d.mm(links[0]))
	joint := d.joint("joint", pin, d.mm(links[1]), b, d.mm(links[2]), d.odds(2))
	coupler := d.link("coupler", pin, joint)
	d.barred(coupler, "bar", d.mm(links[1]), pin, joint, joint)
	d.someSums(joint)
}

// levelTops is a sum that is nearly as great in the middle of the turn as at its end. In the middle it is a cosine; at the end a high
// power of how far a pin, or a block that it drives, has gone: there the terms beyond those that are kept of a series count most.
func (d *drawer) levelTops() {
	const power = 8
	from, to := -tenth(d.between(10, 30)), tenth(d.between(30, 75))
	d.drive, d.start = d.turn(from, to, 5), from*math.Pi/180
	side := 1.0
	if d.odds(2) {
		side, d.drive, d.start = -1, d.drive.minus(degrees(180)), d.start-math.Pi
	}
	shaft := d.at("shaft", 0)
	throw, pin, _ := d.usualCrank(shaft)
	sin, cos := math.Sincos(to * math.Pi / 180)
	gone, far := d.ordinate(pin).minus(d.ordinate(shaft)).times(side), throw*sin
	if d.odds(2) {
		long := d.mm(throw / d.Scale * d.between(1.2, 2.5))
		gone, far = d.gone(pin, throw, long, side), throw*(1-cos)+side*(long-math.Sqrt(long*long-far*far))
	}
	by := d.mm(far / d.Scale)
	share := tidied((math.Pow(far/by, power) + d.sign()*d.hair(2e-5, 1e-3)) / (1 - cos))
	x := d.abscissa(pin).minus(d.abscissa(shaft)).times(side)
	v := Sum{fmt.Sprintf("((%s/%smm)^%d + %s/%smm*%s)", gone.Text, figure(by), power, x.Text, figure(throw), figure(share)), Number,
		func(p *Pose) float64 { return math.Pow(gone.Of(p)/by, power) + x.Of(p)/throw*share }}
	d.sums = append(d.sums, v, v)
}

// gone is how far a block on the line through the shaft has come from a dead centre, the outer (side 1) or the inner (−1), driven by a
// rod from a pin.
func (d *drawer) gone(pin int, throw, long, side float64) Sum {
	dead := d.at("dead", complex(long+side*throw, 0))
	w := d.line("bore", dead, degrees(0))
	z := d.startOf(pin)
	block := d.find("block", complex(real(z)+math.Sqrt(long*long-imag(z)*imag(z)), 0), d.mm(0.5))
	d.length(pin, block, constant(long))
	d.slide(block, w)
	return d.abscissa(dead).minus(d.abscissa(block)).times(side)
}
