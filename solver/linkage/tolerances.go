package linkage

import "math"

// Tolerances. Those without a unit are shares.
const (
	// singularStart: a block at the start with a determinant below this share of the greatest possible is on a dead
	// centre. It is larger than the share elsewhere, since at the start two ways of assembly that have merged are found
	// only to the square root of the tolerance.
	singularStart = 1e-5

	// leastStep: a walk that cannot continue in steps of this length has come to its end, rad (6e-6°). A change point
	// that the motion passes nearer than this counts as hit exactly.
	leastStep = 1e-7

	// endsRounding: a turn asked for this near an end of the motion is that end, rad.
	endsRounding = 1e-9

	// firstStep: the walk from the start begins with this, rad.
	firstStep = 0.25 * math.Pi / 180

	// fineStep: steps below this are predicted by a parabola, not a cubic: rounding outweighs the gain, rad.
	fineStep = 0.2 * math.Pi / 180

	// fallLeast: a determinant that falls below this share of its last value in one step may be on its way through zero
	// within the next, so the steps are cut. (Its square falls linearly to a dead centre: two equal steps take it from 1
	// to 4/7 and on to 1/7.) No unit.
	fallLeast = 0.756

	// strideRel: a block that comes out farther than this share of its size from its prediction by a cubic is reached in
	// small steps instead.
	strideRel = 2e-3

	// leanLeast: a statement that moves a figure by less than this share of its own change does not affect it.
	leanLeast = 1e-7

	// clearly: a hint separates two assemblies if the nearer one is nearer than this share of the farther one's distance.
	// No unit.
	clearly = 0.8
)

// Limits of the work, numbers.
const (
	walkSteps   = 4000 // of one walk, cuts included
	startsAgain = 8    // starts of a search for assemblies behind a gap, at each turn tried
	lookahead   = 32   // blocks tried after one that can be assembled several ways
	lookTries   = 200  // blocks solved in one such trial
	denseMost   = 200  // greatest number of unknowns that are solved or analysed together
	twoWaysMost = 5    // faults named for several ways to assemble
	faultsMost  = 20   // faults named at once
)
