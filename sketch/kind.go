package sketch

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

func (k Kind) times(o Kind, n float64) Kind { return Kind{k.L + n*o.L, k.A + n*o.A} }

func (k Kind) power(n float64) Kind { return Kind{k.L * n, k.A * n} }

func (k Kind) String() string {
	switch {
	case k.Is(Plain):
		return "a plain number"
	case k.Is(Length):
		return "a length"
	case k.Is(Angle):
		return "an angle"
	case k.Is(Length.power(2)):
		return "a length times a length"
	case k.Is(Length.power(-1)):
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
