package machine

import (
	"math"
	"testing"

	"barover/solver/engine"
	"barover/solver/expr"
)

// A sum without a value at one end of a travel alone, away from rest, does not hold, whether the travel is a list or a
// range; and it is told where: x of the pin is 20 cos t, and 23 - x - lift is below zero with lift 4 within 18.19° of 0°,
// at 4 of the 37 positions (0°, 10°, 350° and 360°).
func TestNoValueAwayFromRest(t *testing.T) {
	for _, c := range []struct {
		name     string
		ranged   bool
		settings []float64
		share    float64
	}{
		{"list", false, []float64{0, 4}, 4.0 / 74},
		{"range", true, []float64{0, 1, 2, 3, 4}, 4.0 / 185},
	} {
		d := newDraft(0, 360, 10)
		lift := d.travel("lift", 0, c.ranged, c.settings...)
		o, pin := d.fixed("o", 0, 0), d.found("pin")
		d.crank(o, pin, d.num(20))
		d.part("arm", o, pin)
		room := d.g.Binary(expr.Sub, d.g.Binary(expr.Sub, d.num(23), d.g.X(pin)), lift)
		root := d.g.Unary(expr.Sqrt, room)
		d.keep(root, expr.None, d.num(50))
		f := d.study(t, d.drawn()).Findings[0]
		if f.OK || len(f.At.Travel) != 1 || f.At.Travel[0] != 4 {
			t.Errorf("%s: holds %v, worst with lift %v; want not, 4", c.name, f.OK, f.At.Travel)
		}
		m, err := New(d.p, d.drawn())
		if err != nil {
			t.Fatal(err)
		}
		lacks, err := m.Lacking(t.Context(), []expr.ID{room, root})
		if err != nil || len(lacks) != 1 {
			t.Fatalf("%s: %v, %v; want the root alone", c.name, lacks, err)
		}
		l := lacks[0]
		if l.Sum != root || l.At.Turn != 0 || l.At.Travel[0] != 4 || !(math.Abs(l.A+1) <= 1e-9) || !(math.Abs(l.Share-c.share) <= 1e-12) {
			t.Errorf("%s: got %+v, want -1 at 0 with lift 4, share %v", c.name, l, c.share)
		}
	}
}

// Without a value at rest alone, it has one with the other settings.
func TestNoValueAtRestAlone(t *testing.T) {
	d := newDraft(0, 360, 10)
	lift := d.travel("lift", 0, false, 0, 5, 10)
	root := d.g.Unary(expr.Sqrt, d.g.Binary(expr.Sub, lift, d.num(5)))
	m, err := New(d.p, d.drawn())
	if err != nil {
		t.Fatal(err)
	}
	lacks, err := m.Lacking(t.Context(), []expr.ID{root})
	if err != nil || len(lacks) != 1 {
		t.Fatalf("%v, %v; want one", lacks, err)
	}
	if l := lacks[0]; !(math.Abs(l.Share-1.0/3) <= 1e-12) || l.At.Travel[0] != 0 {
		t.Errorf("got share %v at %v, want 1/3 at rest", l.Share, l.At.Travel)
	}
}

// However many positions there are, no more than a bounded number is looked at, the last among them.
func TestThinned(t *testing.T) {
	long := make([]float64, 1001)
	for i := range long {
		long[i] = float64(i)
	}
	for _, most := range []int{0, 1, 2, 7, 500, 1000} {
		got := engine.Thinned(long, most)
		if len(got) > max(most, 2)+1 || got[0] != 0 || got[len(got)-1] != 1000 {
			t.Errorf("at most %d: %d, from %v to %v", most, len(got), got[0], got[len(got)-1])
		}
	}
	if got := engine.Thinned(long, 1001); len(got) != 1001 {
		t.Errorf("a list that is short enough: %d of 1001", len(got))
	}
}

// Without a turn there is one position a setting.
func TestNoValueWithoutTurn(t *testing.T) {
	d := newDraft(0, 1, 1)
	d.p.Turn.Stmt = -1
	lift := d.travel("lift", 0, false, 0, 5, 10)
	root := d.g.Unary(expr.Sqrt, d.g.Binary(expr.Sub, lift, d.num(5)))
	m, err := New(d.p, d.drawn())
	if err != nil {
		t.Fatal(err)
	}
	lacks, err := m.Lacking(t.Context(), []expr.ID{root})
	if err != nil || len(lacks) != 1 || !(math.Abs(lacks[0].Share-1.0/3) <= 1e-12) {
		t.Errorf("got %v, %v, want a share of 1/3", lacks, err)
	}
}
