package report

import (
	"encoding/json"
	"math"
	"strconv"
	"strings"

	"barover/sketch"
)

// kindOf is the kind of a measure or of the sum of a keep line.
func kindOf(isAngle, isNumber bool) sketch.Kind {
	switch {
	case isAngle:
		return sketch.Angle
	case isNumber:
		return sketch.Plain
	}
	return sketch.Length
}

// out turns a figure of the solver (mm, rad) into one for the user.
func out(u sketch.Units, v float64, k sketch.Kind) figure {
	if k.Is(sketch.Angle) {
		return figure(degrees(v))
	}
	if k.Is(sketch.Length) {
		return figure(asWritten(u.In(v, k)))
	}
	return figure(u.In(v, k))
}

// degrees turns rad into degrees.
func degrees(rad float64) float64 { return asWritten(sketch.Degrees(rad)) }

// asWritten makes a number of six decimals of what is within rounding of one: 5° is π/36 inside, and would come out as
// 5.000000000000001, and 7 7/8 in is 200.025 mm, which would come out as 7.874999999999999.
func asWritten(v float64) float64 {
	if r := math.Round(v*1e6) / 1e6; math.Abs(v-r) <= 1e-12*math.Max(1, math.Abs(v)) {
		return r
	}
	return v
}

// figure is a number that may be missing: NaN and the infinities are null in JSON.
type figure float64

func (f figure) missing() bool { return math.IsNaN(float64(f)) || math.IsInf(float64(f), 0) }

// MarshalJSON writes every digit, and null where there is no number.
func (f figure) MarshalJSON() ([]byte, error) {
	if f.missing() {
		return []byte("null"), nil
	}
	return json.Marshal(float64(f) + 0) // + 0 so that no -0 is written
}

// named is a figure with the name that it is given under.
type named struct {
	name  string
	value figure
	kind  sketch.Kind
	rest  bool // of a travel: it stands at rest
}

// namedFigures is an object in JSON, in the order of the sketch.
type namedFigures []named

// MarshalJSON writes an object whose keys keep their order.
func (n namedFigures) MarshalJSON() ([]byte, error) {
	b := []byte{'{'}
	for _, f := range n {
		if f.name == "" { // the turn of a sketch that has none
			continue
		}
		if len(b) > 1 {
			b = append(b, ',')
		}
		key, err := json.Marshal(f.name)
		if err != nil {
			return nil, err
		}
		value, err := f.value.MarshalJSON()
		if err != nil {
			return nil, err
		}
		b = append(append(append(b, key...), ':'), value...)
	}
	return append(b, '}'), nil
}

// decimals of a figure in a table for reading: a tenth of a thou, a thousandth of a millimetre, a hundredth of a degree.
func decimals(u sketch.Units, k sketch.Kind) int {
	switch {
	case k.Is(sketch.Angle):
		return 2
	case k.Is(sketch.Length):
		return u.Decimals()
	}
	return 4
}

// read writes a figure for reading, in columns that line up; a dash where there is none.
func (f figure) read(u sketch.Units, k sketch.Kind) string {
	v := float64(f)
	if f.missing() {
		return "–"
	}
	if math.Abs(v) >= 1e7 {
		return strconv.FormatFloat(v, 'g', 8, 64)
	}
	d := decimals(u, k)
	s := strconv.FormatFloat(HalfUp(v, d), 'f', d, 64)
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-")
	}
	return s
}

// size writes a figure as it would stand on a drawing: a length in inches as a fraction where it is one, otherwise without
// empty decimals; an angle with its sign.
func (f figure) size(u sketch.Units, k sketch.Kind) string {
	switch {
	case f.missing() || math.Abs(float64(f)) >= 1e7:
		return f.read(u, k)
	case k.Is(sketch.Angle):
		return u.Angle(float64(f) * (math.Pi / 180))
	case !k.Is(sketch.Length):
		return u.Value(float64(f), sketch.Plain)
	case u.Inches:
		if text, exact := sketch.Fraction(u.MM(float64(f))); exact {
			return text
		}
	}
	return u.Figure(u.MM(float64(f)))
}

// near is a length in inches by its nearest 64th: "1/16" where it is one to within a millionth, "~1/16" where that is but
// the nearest; nothing in millimetres, and nothing of what is nearer to zero.
func (f figure) near(u sketch.Units, k sketch.Kind) string {
	if f.missing() || !u.Inches || !k.Is(sketch.Length) {
		return ""
	}
	text, exact := sketch.Fraction(u.MM(float64(f)))
	switch {
	case exact:
		return text
	case text == "0" || text == "-0":
		return ""
	}
	return "~" + text
}

// HalfUp rounds as people do: 1/32 of an inch, 0.03125, is 0.0313 to four decimals, where the printing of floating-point
// numbers would round a half to even, and what the change from mm has taken off it down.
func HalfUp(v float64, decimals int) float64 {
	ten := math.Pow10(decimals)
	return math.Round(v*ten+math.Copysign(1e-9, v)) / ten
}

// full writes a figure with every digit, and nothing where there is none.
func (f figure) full() string {
	if f.missing() {
		return ""
	}
	return strconv.FormatFloat(float64(f)+0, 'g', -1, 64)
}
