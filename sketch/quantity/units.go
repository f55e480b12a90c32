package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Units is the unit in which a sketch writes bare lengths and wants its answers. Internally all lengths are mm and all
// angles radians.
type Units struct{ Inches bool }

// MmPerInch is exact by definition (1959).
const MmPerInch = 25.4

// Degree is one degree, rad.
const Degree = math.Pi / 180

// Name is "mm" or "in".
func (u Units) Name() string {
	if u.Inches {
		return "in"
	}
	return "mm"
}

// mm is one of the unit in mm.
func (u Units) mm() float64 {
	if u.Inches {
		return MmPerInch
	}
	return 1
}

// Of turns a length in mm into a number of the unit.
func (u Units) Of(mm float64) float64 { return mm / u.mm() }

// MM turns a number of the unit into mm.
func (u Units) MM(v float64) float64 { return v * u.mm() }

// Degrees turns radians into degrees.
func Degrees(rad float64) float64 { return rad / Degree }

// Factor is the factor of a bare number that is a figure of that kind.
func (u Units) Factor(k Kind) float64 {
	switch {
	case k.Is(Plain):
		return 1
	case k.Is(Angle):
		return Degree
	case k.Is(Length):
		return u.mm()
	}
	return math.Pow(u.mm(), k.L) * math.Pow(Degree, k.A)
}

// In turns an internal figure of that kind into the numbers of the sketch: its unit and degrees.
func (u Units) In(v float64, k Kind) float64 { return v / u.Factor(k) }

// Decimals is the number of decimals of a length: 3 in millimetres, 4 in inches.
func (u Units) Decimals() int {
	if u.Inches {
		return 4
	}
	return 3
}

// Figure is a length, mm, as a number of the unit, rounded and without empty decimals: "12.5".
func (u Units) Figure(mm float64) string { return Trimmed(u.Of(mm), u.Decimals()) }

// Size is a length, mm, as a drawing has it: in inches a 64th is a fraction, "5 1/4".
func (u Units) Size(mm float64) string {
	if text, ok := u.AsFraction(mm, Length); ok {
		return text
	}
	return u.Figure(mm)
}

// Length is a size with its unit: "12.5 mm", "0.4921 in", "5 1/4 in".
func (u Units) Length(mm float64) string { return u.Size(mm) + " " + u.Name() }

// AsFraction is a figure as a fraction of an inch; false where it is no length, or no fraction, or the unit is mm.
func (u Units) AsFraction(v float64, k Kind) (text string, ok bool) {
	if !u.Inches || !k.Is(Length) {
		return "", false
	}
	return Fraction(v)
}

// Angle is an angle, rad, in degrees: "62.3°".
func (u Units) Angle(rad float64) string { return Trimmed(Degrees(rad), 3) + "°" }

// Value is a figure of any kind, with its unit where it is a length or an angle.
func (u Units) Value(v float64, k Kind) string {
	switch {
	case k.Is(Length):
		return u.Length(v)
	case k.Is(Angle):
		return u.Angle(v)
	}
	return Trimmed(u.In(v, k), 6)
}

// Telling is Value for a message about a figure that is too small: it never shows zero unless the figure is zero.
func (u Units) Telling(v float64, k Kind) string {
	text := u.Value(v, k)
	if v != 0 && (text == "0" || strings.HasPrefix(text, "0 ") || text == "0°") {
		return strconv.FormatFloat(u.In(v, k), 'g', 3, 64) + text[1:]
	}
	return text
}

// Trimmed is v to so many decimals, without empty ones and without a sign before zero. A figure too large to read that
// way is given in powers of ten.
func Trimmed(v float64, decimals int) string {
	if !(math.Abs(v) < 1e9) {
		return strconv.FormatFloat(v, 'g', 4, 64)
	}
	s := strconv.FormatFloat(HalfUp(v, decimals), 'f', decimals, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// HalfUp rounds as people do: 1/32 of an inch, 0.03125, is 0.0313 to four decimals, where the printing of floating-point
// numbers would round a half to even, and what the change from mm has taken off it down.
func HalfUp(v float64, decimals int) float64 {
	ten := math.Pow10(decimals)
	return math.Round(v*ten+math.Copysign(1e-9, v)) / ten
}

// Fraction is a length, mm, in inches to the nearest 64th, as on old drawings: "5 1/4", "-3/64", "2". Exact says that the
// fraction is the length itself, to within a millionth of an inch.
func Fraction(mm float64) (text string, exact bool) {
	in := mm / MmPerInch
	n := math.Round(in * 64)
	if !(math.Abs(n) < 1e12) {
		return strconv.FormatFloat(in, 'g', 6, 64), false
	}
	exact = math.Abs(in*64-n) <= 64e-6
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	whole, over, under := int64(n)/64, int64(n)%64, int64(64)
	for over != 0 && over%2 == 0 {
		over, under = over/2, under/2
	}
	switch {
	case over == 0:
		return fmt.Sprintf("%s%d", sign, whole), exact
	case whole == 0:
		return fmt.Sprintf("%s%d/%d", sign, over, under), exact
	}
	return fmt.Sprintf("%s%d %d/%d", sign, whole, over, under), exact
}
