package linkage

import (
	"math"

	"barover/solver/plane"
)

// scale is how big a sketch is: what its tolerances are measured by.
type scale struct {
	size  float64 // the greatest length in it, mm
	reach float64 // the greatest coordinate of what is given, from origin, mm: not less than size
	world float64 // the greatest coordinate as it is given, mm: what rounds it

	// origin is where, in the frame, what is solved has its own: places far from the frame's are all rounded to what a
	// coordinate there can tell, and differences of their squares to much more. Poses are in the frame.
	origin plane.Vec
}

// solved is the residual at or below which a block is solved, mm. 1e-10 in a sketch of 100 mm: Newton's steps square the
// error, so one more step costs less than it would to look closer. Far from the origin rounding alone makes 1e-16 of
// the coordinates, and some more in their differences.
func (s scale) solved() float64 { return s.solvedOver(s.size) }

// solvedOver is the same of a block whose lengths go up to so much, mm: a small engine beside a large one has its own.
func (s scale) solvedOver(length float64) float64 { return 1e-12*length + 2e-15*s.reach }

// holds is the residual that the re-check of the whole sketch allows each row, mm: with room for rows that follow from
// several others.
func (s scale) holds() float64 { return 6 * s.solved() }

// agrees is the most that statements which say the same thing leave between them, mm; more is a contradiction. Wider than
// holds: on a drawing 100 mm wide nobody means a tenth of a nanometre when he writes a length twice.
// What is given far from the frame's origin is rounded as it is given.
func (s scale) agrees() float64 { return s.agreesOver(s.reach) }

// agreesOver is the same of statements about lengths up to so much, mm.
func (s scale) agreesOver(length float64) float64 { return 1e-9*length + 2.5*s.rounding() }

// rounding is what the frame makes of a distance between places that are given in it, mm.
func (s scale) rounding() float64 { return roundingRel * s.world }

// stray is the correction of a predicted place beyond which it was no prediction, mm.
func (s scale) stray() float64 { return strayShare * s.size }

// The other tolerances. Those without a unit are shares.
const (

	// singular: a block with a determinant below this share of what its rows could give (1 where they are at right
	// angles) stands on a dead centre. No unit. The place is then uncertain by about solveRel / singular.
	singular = 1e-7

	// singularStart: the same for a block at the start, where two ways of assembly that have run into one are found to the
	// square root of the tolerance only.
	singularStart = 1e-5

	// rankRel: a singular value below this share of the greatest is zero. No unit.
	rankRel = 1e-9

	// sameShare: the share of a block's size below which two ways of assembling it are one. No unit.
	sameShare = 1e-6

	// strayShare: the share of a block's size that a prediction may be off by. No unit.
	strayShare = 0.02

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

	// blameWeight: how little the statement that is to take all of a miss counts beside the others, when the nearest pose
	// is looked for. Its share of the miss left on the others is the square of this.
	blameWeight = 1e-5

	// roundingRel: what rounding makes of a distance between places, as a share of the greatest coordinate.
	roundingRel = 4e-15

	// countLeast: a loose line that counts for less than this in the worst of them is not one of the worst.
	countLeast = 1e-9

	// stillRel: a step by how shares bend that is no longer than this share of the sketch's size is the last. The next,
	// of its square, would be lost in rounding.
	stillRel = 1e-6

	// bendStepRel: the step over which bends of rows are taken, as a share of the sketch's size: rows are of second degree
	// but for the roots in loose ones, so that it may be long beside rounding.
	bendStepRel = 1e-5

	// chordGain: loose lengths are brought back by the slopes of a place before as long as each step leaves less than this
	// share of the miss. No unit.
	chordGain = 0.1

	// sameRel: a descent that comes within this share of the sketch's size of a place that another came to comes to it too.
	sameRel = 1e-5

	// ridgeCount: a loose line that counts for more than this in the worst may have another place beside its dead centre
	// where the worst is less. No unit.
	ridgeCount = 0.9

	// bendLeast: a worst that bends by less than this share of what a length usually does is flat. No unit.
	bendLeast = 1e-6

	// clearly: a hint tells two assemblies apart if the nearer is nearer than this share of the farther. No unit.
	clearly = 0.8
)

// Limits of the work, numbers.
const (
	newtonSteps  = 12   // of one position from a predicted place
	restoreSteps = 24   // of a place of loose lengths back to where what holds it is met
	looseSteps   = 100  // of one descent to the smallest worst of loose lines, cuts included
	ridgesMost   = 4    // that such descents go off or over, for one pose
	looseMost    = 24   // freedoms of one block that loose lines may hold
	closestSteps = 200  // of a search for the nearest pose
	walkSteps    = 4000 // of one walk, cuts included
	startsLeast  = 3    // starts of the search for assemblies of a block that no formula solves
	startsMost   = 240
	patient      = 8         // starts from which it is done with damping
	plungeSteps  = 25        // of Newton's method from the others
	startsWork   = 4_000_000 // the sum over all searches of starts times unknowns to the third: some seconds
	startsAgain  = 8         // the same behind a gap, at each turn that is tried
	lookahead    = 32        // blocks that are tried behind one that can be assembled several ways
	lookTries    = 200       // blocks solved in one such trial
	denseMost    = 200       // unknowns that are solved or looked at together at most
	twoWaysMost  = 5         // faults named for several ways to assemble
	faultsMost   = 20        // faults named at once
)
