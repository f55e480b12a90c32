package checker

import "math"

// askFor adds the checks. Each limit is a little or much to either side of the true value, or as near as can be decided.
func (d *drawer) askFor(t *Truth) {
	for _, q := range d.pairs {
		d.clear(q[0], q[1], d.asked(t.pair(q[0], q[1]).V))
	}
	for _, q := range d.gaps {
		d.gap(q[0], q[1], max(0, tidied(d.across(q[0], q[1])+d.sign()*d.mm(d.hair(1e-3, 1))*float64(d.rng.IntN(2)))))
	}
	for i, v := range d.sums {
		if i%2 == 0 {
			d.measure(v)
			continue
		}
		above, below := d.limits(v.Kind, t.lowest(v).V, -t.highest(v).V)
		d.keep(v, above, below)
	}
}

// asked is the clearance to ask for where the least is v.
func (d *drawer) asked(v float64) float64 {
	off := d.mm(d.hair(1e-3, 10))
	switch d.rng.IntN(5) {
	case 0, 1:
		v -= off
	case 2, 3:
		v += off
	default: // as near to the limit of what holds as can be decided
		v += meetsLength + d.sign()*3*d.Tolerance()
	}
	return max(0, tidied(v))
}

// limits are those of a keep line whose sum goes from low to high, in the unit of the text.
func (d *drawer) limits(k Kind, low, high float64) (above, below float64) {
	off := func() float64 {
		by := d.hair(1e-3, 10) * d.Scale
		if k != Length {
			by = d.hair(1e-3, 0.3)
		}
		return by * d.sign()
	}
	above, below = low+off(), high+off()
	if d.odds(2) { // one side fails at most
		above = low - math.Abs(off())
	}
	if above > below {
		above, below = low-math.Abs(off()), high+math.Abs(off())
	}
	return tidied(above / k.unit()), tidied(below / k.unit())
}
