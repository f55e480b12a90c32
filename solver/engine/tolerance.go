package engine

import "math"

// The tolerances of a study. Lengths are in mm, angles in rad. Each says what breaks if it changes.
const (
	// TurnTolerance is how closely, rad, the place of a mark or the end of an interval is found: 6e-9 of a degree, far
	// below what any tool sets, and well above the rounding of a turn of a few revolutions (1e-15). Marks are promised to
	// 1e-9 of a turn: with a tolerance coarser than 1e-9 they miss that.
	TurnTolerance = 1e-10
	// sameTurn is how close two places of the turn must be to be one place, rad. It must be larger than the difference of
	// two searches for the same place, and smaller than what anybody would call two events (0.0001°).
	sameTurn = 1e-6
	// Touch is how much two bands across must overlap, mm, to be more than face to face after rounding.
	Touch = 1e-9
	// Level is the relative difference below which two extremes are equal, so that the earlier place is named and not the
	// one that the rounding prefers.
	Level = 1e-9
	// flat is the change over a step, relative to the figure's size or 1, below which the figure counts as constant. So
	// the rounding of a constant figure is not searched for turning points.
	flat = 1e-13
)

// Bounds of the work, so that no sketch makes a study run for ever.
const (
	// MaxSettings is how many travel settings are sampled at most. A product of lists beyond it is refused.
	MaxSettings = 20000
	// mostLookedAt is how many positions of a turn are sampled at most before the search refines: 1° steps of a hundred
	// turns. A longer turn has longer steps.
	mostLookedAt = 36000
	// maxDepth is how many times a step of the turn is halved where the motion is fast.
	maxDepth = 6
	// fast is the share of the sketch's size by which a point may be off the straight line between the positions before
	// and after, before the steps count as fast. A crank at 1° is off by 1.5e-4 of its radius.
	fast = 3e-4
)

// Coarsest is the greatest step between sampled positions, rad: 1°.
const Coarsest = math.Pi / 180

// ClearlyLess reports whether a is less than b by more than rounding, for figures of the size of scale.
func ClearlyLess(a, b, scale float64) bool {
	if math.IsInf(scale, 1) { // an infinite scale has no rounding
		return a < b
	}
	return a < b-Level*scale
}
