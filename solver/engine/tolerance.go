package engine

import "math"

// The tolerances of a study. Lengths are mm, angles rad. What changing one of them breaks stands beside it.
const (
	// turnTolerance is how close, rad, the place of a mark or the end of an interval is sought: 6e-9 of a degree, far
	// below what any tool sets, and well above the rounding of a turn of a few revolutions (1e-15). Marks are promised
	// to 1e-9 of a turn; coarser than 1e-9 here and they are missed.
	TurnTolerance = 1e-10
	// sameTurn is how close two places of the turn must be to be one place, rad. It must be larger than what two
	// searches for the same place differ by, and smaller than what anybody would call two events (0.0001°).
	sameTurn = 1e-6
	// touch is how much two bands across must overlap, mm, to be more than face to face after rounding.
	Touch = 1e-9
	// level is the relative difference below which two extremes are level, so that the earlier place is named and not
	// the one that rounding prefers.
	Level = 1e-9
	// flat is how little a figure must change over a step, against its size or 1, to count as not changing at all, so
	// that the rounding of a figure that stands still is not searched for turning points.
	flat = 1e-13
)

// Bounds of the work, so that no sketch makes a study run for ever.
const (
	// MaxSettings is how many travel settings are looked at. A product of long lists is refused beyond it.
	MaxSettings = 20000
	// mostLookedAt is how many positions a turn is looked at in before the search refines: 1° steps of a hundred turns.
	// A longer turn is looked at in longer steps.
	mostLookedAt = 36000
	// maxDepth is how many times a step of the turn is halved where the motion is fast.
	maxDepth = 6
	// fast is by what share of the sketch's size a point may bend off the straight line from one position to the next but
	// one before the steps count as fast. A crank at 1° bends by 1.5e-4 of its radius.
	fast = 3e-4
	// maxSearch bounds every one-dimensional search. Halving a step of 1° down to turnTolerance takes 28.
	maxSearch = 100
)

// Coarsest is the greatest step between looked-at positions, rad: 1°.
const Coarsest = math.Pi / 180

// ClearlyLess reports whether a is less than b by more than rounding, for figures of the size of scale.
func ClearlyLess(a, b, scale float64) bool {
	if math.IsInf(scale, 1) { // what is without end has no rounding
		return a < b
	}
	return a < b-Level*scale
}
