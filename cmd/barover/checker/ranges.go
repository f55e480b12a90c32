package checker

import (
	"math"
	"math/cmplx"
)

// twoRanges is a slider-crank or a rocker on whose shaft and guide two ranges act at once, beside the turn or without it.
func (d *drawer) twoRanges() { d.onTwoRanges() }

func (d *drawer) onTwoRanges() (block int) {
	d.convex = true
	if d.odds(2) {
		d.byPart()
	} else {
		d.byRange()
	}
	up := d.rise("up", d.mm(-d.between(0.5, 5)), d.mm(d.between(0.5, 5)), d.mm(1))
	shaft := d.lifted("shaft", 0, up)
	throw, pin, crank := d.usualCrank(shaft)
	d.barred(crank, "web", throw, pin)
	var shift Sum
	if len(d.Travels) == 1 || d.Turn == nil {
		shift = d.rise("shift", d.mm(-d.between(0.5, 5)), d.mm(d.between(0.5, 5)), d.mm(1))
	} else {
		shift = up.times(-1)
	}
	return d.liftedSlider(pin, throw+10*d.Scale, shift)
}

// byPart drives by a part of the turn.
func (d *drawer) byPart() {
	from := tenth(d.between(-180, 180))
	d.drive, d.start = d.turn(from, tenth(from+d.between(30, 120)), 10), from*math.Pi/180
}

// liftedSlider adds a rod whose other end slides on a level line that a sum lifts.
func (d *drawer) liftedSlider(eye int, reach float64, by Sum) (block int) {
	long := d.mm(reach/d.Scale + d.hair(0.1, 80))
	guide := d.lifted("guide", 0, by)
	w := d.line("bore", guide, degrees(0))
	rel := d.startOf(eye) - d.startOf(guide)
	block = d.find("block", d.startOf(guide)+complex(real(rel)+math.Sqrt(long*long-imag(rel)*imag(rel)), 0), d.mm(0.5))
	d.length(eye, block, constant(long))
	d.slide(block, w)
	rod := d.link("rod", eye, block)
	head := d.runner("head", block, w)
	d.barred(rod, "shank", long, block)
	shoe := d.profile(head, "shoe", 0, 5, box(d.zz(complex(-d.between(2, 9), -4)), d.zz(complex(d.between(2, 9), 4))))
	d.among(shoe, block)
	return block
}

// sumsOverRanges asks for sums where two ranges act at once, and for headings over one.
func (d *drawer) sumsOverRanges() {
	if d.odds(2) {
		d.byRange()
		shaft := d.at("shaft", 0)
		throw := d.mm(d.between(10, 40))
		pin, _ := d.crank("crank", shaft, throw)
		peg := d.at("peg", d.zz(cmplx.Rect(throw/d.Scale+d.hair(0.5, 60), d.between(-3, 3))))
		d.sums = append(d.sums, d.heading(peg, pin), d.heading(pin, peg))
		return
	}
	block := d.onTwoRanges()
	d.posts = nil
	d.sums = append(d.sums, d.abscissa(block), d.abscissa(block), d.ordinate(block))
}

// notched is a slider-crank with a list that lifts its guide, in springs or not.
func (d *drawer) notched() {
	d.byEither()
	step := d.mm(d.between(1, 6))
	notch := d.notches("notch", 0, step, tidied(-2*step), tidied(3*step))
	shaft := d.at("shaft", 0)
	throw := d.mm(d.between(10, 40))
	if d.odds(2) && d.Turn != nil && len(d.Travels) == 1 {
		shaft = d.lifted("axle", 0, d.bump())
	}
	pin, _ := d.crank("crank", shaft, throw)
	d.someSums(d.liftedSlider(pin, throw+25*d.Scale, notch))
}

// longList is a slider-crank with a list of many settings that lifts its guide, and a range that lifts its shaft.
func (d *drawer) longList() { d.listed(5+d.rng.IntN(8), true) }

// manySettings is the same with more settings than are solved one by one, and mostly without the range.
func (d *drawer) manySettings() { d.listed(13+d.rng.IntN(18), d.odds(5)) }

func (d *drawer) listed(settings int, sprung bool) {
	d.byTurn()
	d.convex = true
	var notches []float64
	for range settings {
		notches = append(notches, tidied(d.mm(d.between(-9, 9))))
	}
	notch := d.notches("notch", notches...)
	shaft := d.at("shaft", 0)
	if sprung {
		shaft = d.lifted("axle", 0, d.bump())
	}
	throw, pin, _ := d.usualCrank(shaft)
	block := d.liftedSlider(pin, throw+25*d.Scale, notch)
	d.posts = nil
	d.sums = append(d.sums, d.abscissa(block).minus(d.abscissa(pin)), d.apart(block, shaft))
}

// ratesOfBlock asks for speeds and accelerations of a slider-crank, its shaft in springs or not.
func (d *drawer) ratesOfBlock() {
	d.byTurn()
	shaft := d.at("shaft", 0)
	if d.odds(2) {
		shaft = d.lifted("axle", 0, d.bump())
	}
	throw, pin, _ := d.usualCrank(shaft)
	_, block := d.slider(pin, 1.5*throw+5*d.Scale)
	d.posts = nil
	x, far := d.abscissa(block), d.apart(block, d.at("peg", d.zz(complex(-100, 150))))
	all := []Sum{d.rate(x), d.rateOfRate(x), d.rate(far), d.rateOfRate(far), absolute(d.rate(x)), d.rate(x).minus(d.rateOfRate(far))}
	d.rng.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	d.sums = append(d.sums, all[:2]...)
}

// figures is a linkage of any kind whose sums are asked for: kinks, rates, headings, greatest of the turn.
func (d *drawer) figures() {
	if d.odds(2) {
		d.byTurn()
	} else {
		d.byEither()
	}
	shaft := d.at("shaft", 0)
	throw, pin, _ := d.usualCrank(shaft)
	_, block := d.slider(pin, throw)
	fixed := d.at("peg", d.zz(cmplx.Rect(throw/d.Scale+d.hair(0.5, 60), d.between(-3, 3))))
	for range 5 {
		d.sums = append(d.sums, d.someSum(shaft, pin, block, fixed))
	}
}

// someSum is one sum of those that are hard to bound.
func (d *drawer) someSum(shaft, pin, block, fixed int) Sum {
	level := constant(d.mm(d.between(-20, 20)))
	x, y := d.abscissa(block).minus(d.abscissa(shaft)), d.ordinate(pin).minus(d.ordinate(shaft))
	switch n := d.rng.IntN(10); {
	case n == 0:
		return absolute(y.minus(level))
	case n == 1:
		return apply2("min", math.Min, x, y)
	case n == 2:
		return apply2("max", math.Max, d.apart(pin, fixed), d.apart(block, fixed))
	case n == 3:
		return d.apart(pin, fixed)
	case n == 4 && len(d.Travels) == 0:
		return d.heading(fixed, pin)
	case n == 5 && len(d.Travels) == 0:
		return absolute(d.heading(pin, block))
	case d.Turn == nil:
		return d.abscissa(block)
	case n == 6:
		return d.rate(x)
	case n == 7:
		return absolute(d.rate(y))
	case n == 8 && len(d.Travels) == 0:
		return d.greatest(x).minus(x)
	}
	return d.rate(d.apart(pin, fixed))
}

// bands is profiles of several thicknesses that pass each other, with sideplay, or never do.
func (d *drawer) bands() {
	d.byEither()
	throw, pin, crank := d.usualCrank(d.at("shaft", 0))
	rod, _ := d.slider(pin, throw)
	for _, k := range []int{crank, rod} {
		if d.odds(2) {
			d.sideplay(k, math.Abs(d.mm(d.between(0, 0.4))))
		}
	}
	i := d.profile(crank, "web", d.mm(d.between(-9, -3)), d.mm(d.between(-2, 1)), d.bar(throw)...)
	j := d.profile(rod, "shank", d.mm(d.between(1, 3)), d.mm(d.between(4, 6)), d.bar(d.lastLong)...)
	off := cmplx.Rect(throw, d.between(-3, 3))
	k := d.profile(0, "post", d.mm(d.between(-1, 3)), d.mm(d.between(4, 9)), d.post(d.zz(off/complex(d.Scale, 0)))...)
	d.gaps = append(d.gaps, [2]int{i, j}, [2]int{i, k}, [2]int{j, k})
	d.pairs = append(d.pairs, [2]int{i, k}, [2]int{j, k})
}
