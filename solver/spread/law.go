package spread

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"
)

// Law is the distribution of the sizes of parts between their limits.
type Law uint8

// The laws.
const (
	// Normal: sizes gather about the middle of the limits, which are at three standard deviations. Sizes outside are
	// rejected.
	Normal Law = iota
	// Even: every size between the limits is equally likely. It is the careful law for a single engine.
	Even
)

func (l Law) String() string { return [...]string{"normal", "even"}[l] }

// sigmas is the number of standard deviations at which the limits are.
const sigmas = 3

// outside is the share of a normal law below −sigmas: half of 1 − 0.9973.
var outside = distuv.UnitNormal.CDF(-sigmas)

// Draw returns a size between −1, the lower limit, and 1.
func (l Law) Draw(r *rand.Rand) float64 {
	u := r.Float64()
	if l == Even {
		return 2*u - 1
	}
	x := distuv.UnitNormal.Quantile(outside+u*(1-2*outside)) / sigmas
	return math.Max(-1, math.Min(1, x))
}

// Interval is the Wilson score interval of a share k of n, for z standard deviations (E. B. Wilson, Journal of the
// American Statistical Association 22, 1927, p. 209). It stays within 0 and 1, and is useful even where k is zero.
func Interval(k, n int, z float64) (low, high float64) {
	if n == 0 {
		return 0, 1
	}
	p, m := float64(k)/float64(n), float64(n)
	mid := p + z*z/(2*m)
	half := z * math.Sqrt(p*(1-p)/m+z*z/(4*m*m))
	d := 1 + z*z/m
	low, high = (mid-half)/d, (mid+half)/d
	if k == 0 {
		low = 0
	}
	if k == n {
		high = 1
	}
	return low, high
}

// confidence is the number of standard deviations of the intervals of shares: 95 in 100.
var confidence = distuv.UnitNormal.Quantile(0.975)
