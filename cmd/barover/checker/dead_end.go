package checker

import (
	"fmt"
	"math"
	"math/cmplx"
)

// deadCentreAtEnd is a slider-crank whose rod is shorter than its crank. It can turn until the rod stands square to the bore; on that
// dead centre its motion ends, and near it the block moves as a square root of what is left of the turn. By Pythagoras the block
// is where the rod reaches the bore, ahead of the pin.
func (d *drawer) deadCentreAtEnd() {
	throw := d.mm(d.between(30, 50))
	rod := d.mm(throw / d.Scale * d.between(0.5, 0.9))
	rise := d.mm(rod / d.Scale * d.between(-0.4, 0.4))
	high := (rise + rod) / throw
	if !(high > 0.15 && high < 0.97) {
		rise, high = 0, rod/throw
	}
	end := math.Asin(high)
	level := math.Asin(rise/throw) * 180 / math.Pi
	from := tenth(level - d.between(0, 0.8)*(level+math.Asin((rod-rise)/throw)*180/math.Pi))
	d.drive = d.turn(from, math.Ceil(end*180/math.Pi)+float64(d.rng.IntN(20)), [4]float64{1, 2, 5, 10}[d.rng.IntN(4)])
	d.start = from * math.Pi / 180
	d.Turn.To, d.Ends = end, true
	ahead := func(pin complex128) complex128 {
		up := imag(pin) - rise
		return complex(real(pin)+math.Sqrt(math.Max(rod*rod-up*up, 0)), rise)
	}
	shaft := d.at("shaft", 0)
	pin, crank := d.crank("crank", shaft, throw)
	guide := d.at("guide", complex(0, rise))
	w := d.line("bore", guide, degrees(0))
	block := d.find("block", ahead(cmplx.Rect(throw, d.start)), d.mm(0.01))
	d.length(pin, block, constant(rod))
	d.slide(block, w)
	d.known = func(p *Pose) []complex128 {
		z := p.Points[shaft] + cmplx.Rect(throw, p.Turn)
		return []complex128{z, ahead(z)}
	}
	d.barred(d.link("rod", pin, block), "shank", rod, block)
	d.barred(crank, "web", throw, pin)
	x := d.abscissa(block)
	top := d.topAtEnd(pin, x, throw, throw*math.Cos(end))
	d.sums = append(d.sums, x, x, d.apart(block, shaft), d.abscissa(pin).minus(x), top, top)
}

// topAtEnd is a sum that is greatest, zero, on the dead centre, where the block is dead from the shaft, and nearly as great half way
// up the pin's way. So it shows if the very end is left out.
func (d *drawer) topAtEnd(pin int, x Sum, throw, dead float64) Sum {
	low, half := math.Round(d.hair(3e-5, 3e-3)*1e7)/1e7, tidied(throw*(math.Sin(d.start)+math.Sin(d.Turn.To))/2)
	at := tidied(dead + real(d.Origin))
	y := d.ordinate(pin)
	return Sum{fmt.Sprintf("max((%smm - %s)/%smm, -%s - ((%s - %smm)/%smm)^2)", figure(at), x.Text, figure(throw), figure(low),
		y.Text, figure(tidied(half+imag(d.Origin))), figure(throw)), Number, func(p *Pose) float64 {
		return math.Max((dead+real(d.Origin)-x.Of(p))/throw, -low-math.Pow((imag(p.Points[pin])-half)/throw, 2))
	}}
}
