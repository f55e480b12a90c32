package seek_test

import (
	"testing"

	"barover/solver/machine"
	"barover/solver/seek"
	"barover/solver/trial/engine"
)

// Wear has two ends: with the first everything is proved to hold, with the second a line falls short in an engine that is solved,
// and they lie close together. What Study says with either agrees.
func TestWearHasTwoEnds(t *testing.T) {
	e := engine.New().Set("half_bore", 15.4)
	m, err := e.Vary().Machine(nil)
	if err != nil {
		t.Fatal(err)
	}
	w, err := seek.Worn(t.Context(), m, machine.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if !(w.HoldsTo > 0.1 && w.ShortFrom > w.HoldsTo && w.ShortFrom < 1.1*w.HoldsTo) || w.Short != engine.Lip || !(w.Least < 0.8) {
		t.Fatalf("holds to %v, short from %v: check %d with %v", w.HoldsTo, w.ShortFrom, w.Short, w.Least)
	}
	for _, c := range []struct {
		wear  float64
		holds bool
	}{{w.HoldsTo, true}, {w.ShortFrom, false}} {
		res, err := m.Study(t.Context(), machine.Options{Wear: c.wear, Checks: true})
		if err != nil {
			t.Fatal(err)
		}
		if f := res.Findings[engine.Lip]; f.OK != c.holds || f.Play == nil {
			t.Errorf("with a wear of %v the lip keeps %v (ok %v), want ok %v", c.wear, f.Least, f.OK, c.holds)
		}
	}
}

// An engine that falls short as it is has no wear to spare.
func TestNoWearToSpare(t *testing.T) {
	m, err := engine.New().Set("half_bore", 12).Vary().Machine(nil)
	if err != nil {
		t.Fatal(err)
	}
	w, err := seek.Worn(t.Context(), m, machine.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if w.HoldsTo >= 0 || !w.Any {
		t.Errorf("holds to %v; the lip falls short as it is", w.HoldsTo)
	}
}
