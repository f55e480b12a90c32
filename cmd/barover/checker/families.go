package checker

import (
	"math"
	"math/cmplx"
)

var families []Family

// The table names drawers that may ask for it: filling it here breaks the circle.
func init() {
	families = []Family{
		{"arm", 0, "", (*drawer).swingingArm},
		{"bell crank", 0, "", (*drawer).bellCrank},
		{"slider-crank", 0, "", (*drawer).sliderCrank},
		{"four-bar", 0, "", (*drawer).fourBar},
		{"six-bar", 0.1, "", (*drawer).sixBar},
		{"oscillating cylinder", 0, "", (*drawer).oscillating},
		{"coupled wheels", 0.01, "", (*drawer).coupledWheels},
		{"coupled far off", 0.01, "", (*drawer).coupledFarOff},
		{"three axles", 0.01, "", (*drawer).threeAxles},
		{"near miss", 0, "", (*drawer).nearMiss},
		{"two ranges", 0.02, "", (*drawer).twoRanges},
		{"sums over ranges", 0.05, "", (*drawer).sumsOverRanges},
		{"notches", 0, "", (*drawer).notched},
		{"sums", 0.05, "", (*drawer).figures},
		{"gaps", 0.01, "", (*drawer).bands},
		{"drag link", 0.01, "", (*drawer).dragLink},
		{"rates", 0.05, "", (*drawer).ratesOfBlock},
		{"long lists", 0.02, "", (*drawer).longList},
		{"level tops", 0, "", (*drawer).levelTops},
		{"meeting points", 0.1, "", (*drawer).meetingPoints},
		{"many settings", 0.02, "", (*drawer).manySettings},
		{"dead centre at the end", 0.1, "", (*drawer).deadCentreAtEnd},
	}
}

// swingingArm is an arm that a range turns, past posts of the frame and a wheel that the turn turns.
func (d *drawer) swingingArm() {
	d.byRange()
	shaft := d.at("shaft", d.zz(complex(d.between(-20, 20), d.between(-20, 20))))
	long := d.mm(d.between(30, 100))
	tip, arm := d.crank("arm", shaft, long)
	bar := d.barred(arm, "bar", long, tip)
	mid := d.on("middle", arm, complex(d.mm(long/d.Scale*d.between(0.3, 0.95)), 0))
	d.among(bar, mid)
}

// bellCrank has two arms, one driven by a range, the other by a rod that slides at its end.
func (d *drawer) bellCrank() {
	d.byRange()
	pivot := d.at("pivot", 0)
	_, bell := d.crank("bell", pivot, d.mm(d.between(20, 50)))
	second := d.zz(cmplx.Rect(d.between(15, 50), d.between(0.5, 2.6)*d.sign()))
	eye := d.on("eye", bell, second)
	rod, block := d.slider(eye, cmplx.Abs(second))
	bar := d.profile(bell, "web", 0, 5, strip(second, d.mm(d.between(3, 8)), d.mm(d.between(3, 8)), false))
	d.among(bar, eye)
	d.barred(rod, "shank", d.lastLong, block)
	d.someSums(block)
}

// slider adds a rod from a point that goes round within reach of the frame's origin, whose other end slides on a line.
func (d *drawer) slider(eye int, reach float64) (rod, block int) {
	off := d.between(-20, 20) * d.Scale
	long := d.mm((reach+math.Abs(off))/d.Scale + d.hair(1e-2, 80))
	heading := tenth(d.between(-180, 180))
	along := cmplx.Rect(1, heading*math.Pi/180)
	foot := d.zz(along * complex(0, off/d.Scale))
	guide := d.at("rodguide", foot)
	w := d.line("rodline", guide, degrees(heading))
	rel := (d.startOf(eye) - foot) / along
	out := math.Sqrt(long*long - imag(rel)*imag(rel))
	block = d.find("rodend", foot+complex(real(rel)+out, 0)*along, min(d.mm(0.5), out/4))
	d.length(eye, block, constant(long))
	d.slide(block, w)
	d.lastLong = long
	return d.link("rod", eye, block), block
}

// sliderCrank may have its line off the shaft by nearly as much as the rod allows, and its shaft in springs.
func (d *drawer) sliderCrank() {
	d.byEither()
	throw, pin, crank := d.usualCrank(d.at("shaft", 0))
	rod, block := d.slider(pin, throw)
	d.barred(rod, "shank", d.lastLong, pin, block)
	d.barred(crank, "web", throw, pin)
	d.someSums(block)
}

// fourBar is a crank and rocker, near a toggle by anything from a ten-thousandth of a millimetre up.
func (d *drawer) fourBar() {
	d.byEither()
	d.crankAndRocker()
}

// crankAndRocker returns the coupler, and the joint of coupler and rocker.
func (d *drawer) crankAndRocker() (coupler, joint int) {
	ground, throw := d.between(60, 100), d.between(10, 40)
	both := ground + throw + d.hair(1e-3, 60)
	apart := (ground - throw - d.hair(1e-3, 40)) * d.between(-1, 1)
	long, arm := d.mm((both+apart)/2), d.mm((both-apart)/2)
	a := d.at("shaft", 0)
	b := d.at("pivot", d.zz(cmplx.Rect(ground, d.between(-3, 3))))
	pin, _ := d.crank("crank", a, d.mm(throw))
	joint = d.joint("joint", pin, long, b, arm, d.odds(2))
	coupler, rocker := d.link("coupler", pin, joint), d.link("rocker", b, joint)
	d.barred(coupler, "bar", long, pin, joint)
	d.barred(rocker, "bar", arm, joint)
	d.someSums(joint)
	return coupler, joint
}

// sixBar hangs a rod and a slide, or a rod and a second rocker, on a crank and rocker.
func (d *drawer) sixBar() {
	d.byEither()
	coupler, joint := d.crankAndRocker()
	eye := d.on("eye", coupler, d.zz(complex(d.between(-20, 60), d.between(-30, 30))))
	if d.odds(2) {
		rod, end := d.slider(eye, 150*d.Scale)
		d.barred(rod, "shank", d.lastLong, end)
	} else {
		c := d.at("post", d.zz(cmplx.Rect(d.between(20, 60), d.between(-3, 3))))
		r := d.mm(150 + d.hair(0.1, 60))
		end := d.joint("knuckle", eye, r, c, d.mm(r/d.Scale+d.between(0, 20)), d.odds(2))
		d.barred(d.link("rod", eye, end), "shank", r, end)
	}
	d.someSums(joint)
}

// oscillating is a cylinder on a trunnion, with the rod fast in its piston.
func (d *drawer) oscillating() {
	d.byEither()
	throw := d.mm(d.between(8, 25))
	shaft := d.at("shaft", 0)
	far := d.hair(0.05, 60) + throw/d.Scale
	trunnion := d.at("trunnion", d.zz(cmplx.Rect(far, d.between(-3, 3))))
	pin, _ := d.crank("crank", shaft, throw)
	w := d.lineFrom("axis", trunnion, pin)
	cylinder := d.runner("cylinder", trunnion, w)
	piston := d.runner("piston", pin, w)
	barrel := d.profile(cylinder, "barrel", 0, 5, box(d.zz(complex(-d.between(5, 40), -8)), d.zz(complex(d.between(5, 20), 8))))
	d.among(barrel, pin, trunnion)
	d.barred(piston, "rod", d.mm(d.between(20, 60)), pin)
	if len(d.Travels) == 0 {
		d.sums = append(d.sums, d.heading(trunnion, pin))
	}
	d.someSums(pin)
}

// someSums adds sums about a point, measures and keep lines in turn.
func (d *drawer) someSums(i int) {
	if d.odds(2) {
		return
	}
	d.sums = append(d.sums, d.abscissa(i), d.ordinate(i))
}
