package machine

import (
	"context"
	"math"
	"testing"

	"barover/solver/expr"
)

func TestQuarters(t *testing.T) {
	tests := []struct {
		name     string
		from, to float64 // degrees
		want     []float64
	}{
		{"whole", 0, 360, []float64{0, 90, 180, 270}},
		{"whole from elsewhere", 30, 390, []float64{90, 180, 270, 360}},
		{"whole from below", -180, 180, []float64{-180, -90, 0, 90}},
		{"both ends of half a turn", 0, 180, []float64{0, 90, 180}},
		{"part", 80, 100, []float64{90}},
		{"between quarters", 10, 80, nil},
		{"two turns", 0, 720, []float64{0, 90, 180, 270, 360, 450, 540, 630}},
		{"a hundred turns", 0, 36000, []float64{0, 90, 180, 270, 360, 450, 540, 630, 720, 810, 900, 990, 1080, 1170, 1260, 1350}},
	}
	for _, tt := range tests {
		d := newDraft(tt.from, tt.to, 1)
		o, pin := d.fixed("shaft", 0, 0), d.found("pin")
		d.crank(o, pin, d.num(20))
		m, err := New(d.p, d.drawn())
		if err != nil {
			t.Fatal(err)
		}
		got := m.Quarters()
		if len(got) != len(tt.want) {
			t.Errorf("%s: got %v, want %v degrees", tt.name, got, tt.want)
			continue
		}
		for i, want := range tt.want {
			if math.Abs(got[i]-want*math.Pi/180) > 1e-12*math.Max(1, math.Abs(got[i])) {
				t.Errorf("%s: got %v, want %v degrees", tt.name, got, tt.want)
			}
		}
	}
}

// A disc of 10 goes round on a crank of 20, past another of 10 at (25, 0): at 0 they overlap by 5, at 90 their centres
// stand √(20² + 25²) apart, at 180 45. Plain geometry.
func TestTryAt(t *testing.T) {
	d, a, b := twoDiscs(25, 4)
	d.clear(a, b, d.num(1))
	d.gap(a, b, expr.None, expr.None)
	d.keep(d.g.Y(1), d.num(-5), d.num(50))       // the pin: 0, 20, 0, −20
	d.keep(d.dim("long", 3), d.num(1), d.num(9)) // moves with nothing
	m, err := New(d.p, d.drawn())
	if err != nil {
		t.Fatal(err)
	}
	got, err := m.TryAt(context.Background(), m.Quarters(), []int{0, 1, 2, 3})
	if err != nil || len(got) != 4 || len(got[0]) != 4 || len(got[1]) != 4 || len(got[2]) != 4 || got[3] != nil {
		t.Fatal(got, err)
	}
	for k, want := range []float64{5, 25, 5, -15} {
		compareFigures(t, []figured{{"room of the pin", got[2][k].Room, want, 1e-9}})
	}
	for k, want := range []float64{-5, math.Hypot(20, 25) - 10, 35, math.Hypot(20, 25) - 10} {
		compareFigures(t, []figured{{"distance", got[0][k].Is, want, 1e-9}, {"room", got[0][k].Room, want - 1, 1e-9}})
		g := got[1][k]
		if g.Apart != (k != 0) {
			t.Errorf("gap at quarter %d: %+v; they pass each other at the first alone", k, g)
		}
	}
	if g := got[1][0]; g.Is != -1 || g.Room != -1 {
		t.Errorf("gap at the first quarter: %+v, want −1", g)
	}
}
