package machine

import (
	"math"
	"testing"

	"barover/solver"
	"barover/solver/expr"
)

// The piston comes nearest to the cover with the axle on the cylinder's line, somewhere within its range. A proof ends
// close to that; rest, as good a place, is what is named, and the figure is that of rest.
func TestRestIsNamedWhereItIsAsGood(t *testing.T) {
	d := newDraft(0, 360, 5)
	axle := d.travel("axle", 0, true, -3, -1, 1, 3)
	shaft := d.at("shaft", d.num(0), axle)
	pin, cross := d.found("pin"), d.near("cross", 120, 0)
	d.crank(shaft, pin, d.num(22))
	d.length(pin, cross, d.num(100))
	bore := d.line("bore", d.fixed("datum", 0, 0), 0)
	d.slide(cross, bore)
	crosshead := d.partAlong("crosshead", cross, bore)
	n := d.num
	piston := d.profile(crosshead, "piston", n(0), n(5), d.box(n(-5), n(-5), n(5), n(5)))
	cover := d.profile(0, "cover", n(0), n(5), d.box(n(128), n(-10), n(130), n(10)))
	d.clear(piston, cover, d.num(0.5))
	d.keep(d.g.X(cross), expr.None, d.num(122.5))
	res := d.study(t, d.drawn())
	for i, want := range []float64{1, 122} {
		f := &res.Findings[i]
		got := f.Least
		if i == 1 {
			got = f.Greatest
		}
		if f.Sure != solver.Proved || f.At.Travel[0] != 0 || !(math.Abs(f.At.Turn) <= 1e-6) || !(math.Abs(got-want) <= 1e-9) {
			t.Errorf("check %d: %v at %+v, %v; want %v at rest, crank 0, proved", i, got, f.At, f.Sure, want)
		}
	}
}
