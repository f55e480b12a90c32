package linkage

import "math"

// Tolerances. Those without a unit are shares.
const (
	// singularStart: a block at the start with a determinant below this share of what its rows could give stands on a dead
	// centre. It is wider than the share elsewhere, since at the start two ways of assembly that have run into one are found to the
	// square root of the tolerance only.
	singularStart = 1e-5

	// leastStep: a walk that cannot go on in steps of this length has come to its end, rad (6e-6°). A change point
	// that the motion passes nearer than this is taken for the change point itself.
	leastStep = 1e-7

	// endsRounding: a turn asked for so near an end of the motion is that end, rad.
	endsRounding = 1e-9

	// firstStep: the walk from the start begins with this, rad.
	firstStep = 0.25 * math.Pi / 180

	// fineStep: steps below this are predicted by a parabola, not a cubic: rounding outweighs the gain, rad.
	fineStep = 0.2 * math.Pi / 180

	// fallLeast: a determinant that falls below this share of its last value in one step may be on its way through
	// zero within the next: the steps are cut. (Its square falls in a straight line to a dead centre; two like steps
	// from 1 to 4/7 and on to 1/7.) No unit.
	fallLeast = 0.756

	// strideRel: a block that comes out farther than this share of its size from its prediction by a cubic is gone to in
	// small steps instead.
	strideRel = 2e-3

	// leanLeast: a statement that moves a figure by less than this share of its own change has nothing to do with it.
	leanLeast = 1e-7

	// clearly: a hint tells two assemblies apart if the nearer is nearer than this share of the farther. No unit.
	clearly = 0.8
)

// Limits of the work, numbers.
const (
	walkSteps   = 4000 // of one walk, cuts included
	startsAgain = 8    // starts of a search for assemblies behind a gap, at each turn that is tried
	lookahead   = 32   // blocks that are tried behind one that can be assembled several ways
	lookTries   = 200  // blocks solved in one such trial
	denseMost   = 200  // unknowns that are solved or looked at together at most
	twoWaysMost = 5    // faults named for several ways to assemble
	faultsMost  = 20   // faults named at once
)
