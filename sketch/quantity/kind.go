// Package quantity knows what a figure is: a length, an angle, a plain number or a power of these, and in which unit it is written.
//
// kind has the kinds (ISO/IEC Guide 99, 1.2: kind of quantity), units turns numbers of a sketch into mm and rad and back, shape is the
// kind of a sum in which some kinds are not known yet, and infer settles those from how the figures are used. It knows no name and
// no place in a text: what a row is reported by is whatever its user gives. A newcomer may add a unit in units.
package quantity

import (
	"fmt"
	"math"
)

// Kind is the sort of figure that a sum gives: the powers of length and of angle in it. A length is {1, 0}, an area {2,
// 0}, an angle {0, 1}, a ratio or a count {0, 0}. Powers may be fractions in the middle of a sum, as in sqrt(a) where a
// is a length.
type Kind struct{ L, A float64 }

// The kinds that statements want.
var (
	Plain  = Kind{}
	Length = Kind{L: 1}
	Angle  = Kind{A: 1}
)

// powerSlack is how far two powers may differ through rounding (of 1/3 times 3, say) and still be the same.
const powerSlack = 1e-9

// Is reports whether the two are the same kind.
func (k Kind) Is(o Kind) bool {
	return math.Abs(k.L-o.L) <= powerSlack && math.Abs(k.A-o.A) <= powerSlack
}

// Times is the kind of k·oⁿ.
func (k Kind) Times(o Kind, n float64) Kind { return Kind{k.L + n*o.L, k.A + n*o.A} }

// Power is the kind of kⁿ.
func (k Kind) Power(n float64) Kind { return Kind{k.L * n, k.A * n} }

func (k Kind) String() string {
	switch {
	case k.Is(Plain):
		return "a plain number"
	case k.Is(Length):
		return "a length"
	case k.Is(Angle):
		return "an angle"
	case k.Is(Length.Power(2)):
		return "a length times a length"
	case k.Is(Length.Power(-1)):
		return "a number over a length"
	case k.Is(Kind{1, 1}):
		return "a length times an angle"
	case k.Is(Kind{1, -1}):
		return "a length over an angle"
	case math.Abs(k.A) <= powerSlack:
		return fmt.Sprintf("a length^%.4g", k.L)
	case math.Abs(k.L) <= powerSlack:
		return fmt.Sprintf("an angle^%.4g", k.A)
	}
	return fmt.Sprintf("a length^%.4g times an angle^%.4g", k.L, k.A)
}

// KindOf is the kind of a figure of the solver, which knows no more of it than that it is an angle, or a plain number.
func KindOf(isAngle, isNumber bool) Kind {
	switch {
	case isAngle:
		return Angle
	case isNumber:
		return Plain
	}
	return Length
}
