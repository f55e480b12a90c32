package machine

import (
	"math"
	"testing"

	"barover/solver"
	"barover/solver/expr"
)

// notched is an arm of 100 that goes round a shaft, whose springs stand at the steps up, past a pin that a list sets nearer notch by notch. With the shaft level
// with the pin a corner of the arm points straight at it, and so the least is the pin's distance less the corner's and the pin's radius.
func notched(notches int, up ...float64) (d *draft, least float64, list []float64) {
	d = newDraft(0, 360, 30)
	for i := range notches {
		list = append(list, 2-3.9*float64(i)/float64(notches-1))
	}
	notch := d.travel("notch", list[0], false, list...)
	springs := d.travel("springs", 0, true, up...)
	end := d.found("end")
	shaft := d.at("shaft", d.num(0), springs)
	d.arm(shaft, end, d.num(100), d.g.Turn())
	z := d.num(0)
	bar := d.profile(d.part("arm", shaft, end), "bar", z, d.num(3), d.strip(d.num(100), d.num(6), d.num(6), false))
	pin := d.partAlong("carrier", d.at("pin", d.g.Add(d.num(103), notch), z), d.line("level", d.fixed("datum", 0, 0), 0))
	d.clear(bar, d.profile(pin, "pin", z, d.num(3), d.disc(z, z, d.num(1))), d.num(0.5))
	d.keep(d.dist(end, d.fixed("foot", 50, 0)), d.num(40), expr.None)
	return d, 103 + list[notches-1] - 0.5 - math.Hypot(100, 3), list
}

// Hundreds of listed settings are proved with a range among them.
func TestManySettingsAreProved(t *testing.T) {
	d, least, _ := notched(600, -2, 0, 2)
	res := d.study(t, d.drawn())
	for _, f := range res.Findings {
		if f.Sure != solver.Proved || len(f.Unproved) > 0 || !f.OK {
			t.Errorf("%v, unproved %v, ok %v", f.Sure, f.Unproved, f.OK)
		}
	}
	if f := res.Findings[0]; !(math.Abs(f.Least-least) <= 1e-6) {
		t.Errorf("least %v, want %v", f.Least, least)
	}
}

// Settings that would take up too much are named, and what is said of them was only looked at.
func TestSettingsBeyondAreTold(t *testing.T) {
	const n = maxTubes + 20
	d, least, list := notched(n, 0)
	res, err := study(t.Context(), d.p, d.drawn(), Options{numbers: 1})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range res.Findings {
		if f.Sure != solver.Sampled || len(f.Unproved) != 1 {
			t.Fatalf("%v, unproved %v", f.Sure, f.Unproved)
		}
		u := f.Unproved[0]
		if u.Why != solver.TooManySettings || u.Travel == nil || u.Travel[0] != (solver.Interval{From: list[n-1], To: list[maxTubes]}) {
			t.Errorf("unproved %+v, want notches from %v to %v", u, list[maxTubes], list[n-1])
		}
	}
	if f := res.Findings[0]; !(math.Abs(f.Least-least) <= 1e-3) {
		t.Errorf("least %v, want %v", f.Least, least)
	}
}
