// Package figures gives values as a sketch writes them: in its unit, for reading and for JSON, null where there is none.
//
// It knows no check and no engine. A newcomer may change how a value reads; scripts rely on the number of digits in JSON.
package figures

import (
	"encoding/json"
	"math"
	"strconv"
	"strings"

	"barover/sketch/quantity"
)

// Of turns a figure of the solver (mm, rad) into one for the user.
func Of(u quantity.Units, v float64, k quantity.Kind) Figure {
	if k.Is(quantity.Angle) {
		return Figure(Degrees(v))
	}
	if k.Is(quantity.Length) {
		return Figure(asWritten(u.In(v, k)))
	}
	return Figure(u.In(v, k))
}

// Degrees turns rad into degrees.
func Degrees(rad float64) float64 { return asWritten(quantity.Degrees(rad)) }

// asWritten makes a number of six decimals of what is within rounding of one: 5° is π/36 inside, and would come out as
// 5.000000000000001, and 7 7/8 in is 200.025 mm, which would come out as 7.874999999999999.
func asWritten(v float64) float64 {
	if r := math.Round(v*1e6) / 1e6; math.Abs(v-r) <= 1e-12*math.Max(1, math.Abs(v)) {
		return r
	}
	return v
}

// Figure is a number that may be missing: NaN and the infinities are null in JSON.
type Figure float64

func (f Figure) Missing() bool { return math.IsNaN(float64(f)) || math.IsInf(float64(f), 0) }

// MarshalJSON writes every digit, and null where there is no number.
func (f Figure) MarshalJSON() ([]byte, error) {
	if f.Missing() {
		return []byte("null"), nil
	}
	return json.Marshal(float64(f) + 0) // + 0 so that no -0 is written
}

// Each returns say of each entry of a list. The result is never nil, so that JSON has an empty list and not null.
func Each[T, U any](list []T, say func(*T) U) []U {
	out := make([]U, len(list))
	for i := range list {
		out[i] = say(&list[i])
	}
	return out
}

// Named is a figure with the name that it is given under.
type Named struct {
	Name  string
	Value Figure
	Kind  quantity.Kind
	Rest  bool // of a travel: it stands at rest
}

// List is an object in JSON, in the order of the sketch.
type List []Named

// MarshalJSON writes an object whose keys keep their order.
func (n List) MarshalJSON() ([]byte, error) {
	b := []byte{'{'}
	for _, f := range n {
		if f.Name == "" { // the turn of a sketch that has none
			continue
		}
		if len(b) > 1 {
			b = append(b, ',')
		}
		key, err := json.Marshal(f.Name)
		if err != nil {
			return nil, err
		}
		value, err := f.Value.MarshalJSON()
		if err != nil {
			return nil, err
		}
		b = append(append(append(b, key...), ':'), value...)
	}
	return append(b, '}'), nil
}

// Unit returns the unit of figures of a kind: "mm", "in" or "°"; "" for a plain number.
func Unit(u quantity.Units, k quantity.Kind) string {
	switch {
	case k.Is(quantity.Length):
		return u.Name()
	case k.Is(quantity.Angle):
		return "°"
	}
	return ""
}

// InUnit returns a name and the unit of its figures: "stroke, mm".
func InUnit(u quantity.Units, name string, k quantity.Kind) string {
	if unit := Unit(u, k); unit != "" {
		return name + ", " + unit
	}
	return name
}

// Decimals of a figure in a table for reading: a tenth of a thou, a thousandth of a millimetre, a hundredth of a degree.
func Decimals(u quantity.Units, k quantity.Kind) int {
	switch {
	case k.Is(quantity.Angle):
		return 2
	case k.Is(quantity.Length):
		return u.Decimals()
	}
	return 4
}

// Read writes a figure for reading, in columns that line up; a dash where there is none.
func (f Figure) Read(u quantity.Units, k quantity.Kind) string {
	v := float64(f)
	if f.Missing() {
		return "–"
	}
	if math.Abs(v) >= 1e7 {
		return strconv.FormatFloat(v, 'g', 8, 64)
	}
	d := Decimals(u, k)
	s := strconv.FormatFloat(quantity.HalfUp(v, d), 'f', d, 64)
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-")
	}
	return s
}

// Size writes a figure as it would stand on a drawing: a length in inches as a fraction where it is one, otherwise without
// empty decimals; an angle with its sign.
func (f Figure) Size(u quantity.Units, k quantity.Kind) string {
	switch {
	case f.Missing() || math.Abs(float64(f)) >= 1e7:
		return f.Read(u, k)
	case k.Is(quantity.Angle):
		return u.Angle(float64(f) * (math.Pi / 180))
	case !k.Is(quantity.Length):
		return u.Value(float64(f), quantity.Plain)
	}
	return u.Size(u.MM(float64(f)))
}

// Shorter is a limit, mm, rad or a plain number, cut off to two digits, and to as many decimals as figures are read with.
func Shorter(u quantity.Units, v float64, k quantity.Kind) float64 {
	f := float64(Of(u, v, k))
	step := math.Pow(10, math.Floor(math.Log10(math.Abs(f)))-1)
	step = math.Max(step, math.Pow(10, -float64(Decimals(u, k))))
	cut := math.Trunc(f/step+math.Copysign(1e-9, f)) * step
	if f == 0 || math.IsNaN(cut) {
		return 0
	}
	return v * (cut / f)
}

// Near is a length in inches by its nearest 64th: "1/16" where it is one to within a millionth, "~1/16" where that is but
// the nearest; nothing in millimetres, and nothing of what is nearer to zero.
func (f Figure) Near(u quantity.Units, k quantity.Kind) string {
	if f.Missing() || !u.Inches || !k.Is(quantity.Length) {
		return ""
	}
	text, exact := quantity.Fraction(u.MM(float64(f)))
	switch {
	case exact:
		return text
	case text == "0" || text == "-0":
		return ""
	}
	return "~" + text
}

// Full writes a figure with every digit, and nothing where there is none.
func (f Figure) Full() string {
	if f.Missing() {
		return ""
	}
	return strconv.FormatFloat(float64(f)+0, 'g', -1, 64)
}
