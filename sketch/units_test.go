package sketch

import (
	"math"
	"testing"

	"barover/sketch/quantity"

	"pgregory.net/rapid"
)

// TestFigures pins how figures are written in messages and drawings.
func TestFigures(t *testing.T) {
	mm, in := quantity.Units{}, quantity.Units{Inches: true}
	for _, tt := range []struct{ got, want string }{
		{mm.Length(12.5), "12.5 mm"}, {mm.Length(0.0314), "0.031 mm"}, {mm.Length(-0.8), "-0.8 mm"}, {mm.Length(0), "0 mm"}, {mm.Length(-1e-20), "0 mm"},
		{mm.Length(1e12), "1e+12 mm"}, {mm.Length(100), "100 mm"}, {mm.Length(0.0005), "0.001 mm"}, {mm.Length(math.NaN()), "NaN mm"},
		{in.Length(12.7), "1/2 in"}, {in.Length(25.4 * 0.40625), "13/32 in"}, {in.Length(25.4 * 5.25), "5 1/4 in"},
		{mm.Figure(3), "3"}, {mm.Angle(math.Pi), "180°"}, {mm.Angle(math.Pi / 7), "25.714°"},
		{in.Value(25.4*25.4*3, quantity.Kind{L: 2}), "3"}, {mm.Value(0.758, quantity.Plain), "0.758"}, {in.Value(25.4, quantity.Length), "1 in"}, {mm.Value(math.Pi/2, quantity.Angle), "90°"},
		{mm.Name() + in.Name(), "mmin"},
	} {
		if tt.got != tt.want {
			t.Errorf("%q, want %q", tt.got, tt.want)
		}
	}
	if mm.Decimals() != 3 || in.Decimals() != 4 {
		t.Error("decimals")
	}
}

// TestFraction pins fractions of an inch. Decimals of the 64ths: inch = 25.4 mm exactly (1/64 = 0.396875 mm,
// 43/64 = 17.065625 mm, 15/32 = 11.90625 mm, 1 1/16 = 26.9875 mm).
func TestFraction(t *testing.T) {
	for _, tt := range []struct {
		mm    float64
		want  string
		exact bool
	}{
		{0.396875, "1/64", true}, {17.065625, "43/64", true}, {11.90625, "15/32", true}, {26.9875, "1 1/16", true}, {133.35, "5 1/4", true},
		{25.4, "1", true}, {0, "0", true}, {-26.9875, "-1 1/16", true}, {5, "13/64", false}, {25.3, "1", false}, {-0.1, "0", false}, {1e30, "3.93701e+28", false},
	} {
		if got, exact := quantity.Fraction(tt.mm); got != tt.want || exact != tt.exact {
			t.Errorf("%v mm: %q %v, want %q %v", tt.mm, got, exact, tt.want, tt.exact)
		}
	}
}

// TestUnitsThereAndBack takes figures to the unit and back.
func TestUnitsThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := quantity.Units{Inches: rapid.Bool().Draw(t, "inches")}
		v := rapid.Float64Range(-1e6, 1e6).Draw(t, "v")
		if got := u.MM(u.Of(v)); math.Abs(got-v) > 1e-9*math.Abs(v) {
			t.Errorf("%v comes back as %v", v, got)
		}
		if got := u.In(v, quantity.Length); math.Abs(got-u.Of(v)) > 1e-9*math.Abs(got) {
			t.Errorf("%v is %v and %v", v, got, u.Of(v))
		}
		if got := u.In(v, quantity.Angle); math.Abs(got-quantity.Degrees(v)) > 1e-9*math.Abs(got) {
			t.Errorf("%v is %v and %v degrees", v, got, quantity.Degrees(v))
		}
	})
}
