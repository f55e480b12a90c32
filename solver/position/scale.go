package position

import (
	"barover/solver/plane"
)

// Scale is how big a sketch is: what its tolerances are measured by.
type Scale struct {
	Size  float64 // the greatest length in it, mm
	Reach float64 // the greatest coordinate of what is given, from origin, mm: not less than size
	world float64 // the greatest coordinate as it is given, mm: what rounds it

	// origin is where, in the frame, what is solved has its own: places far from the frame's are all rounded to what a
	// coordinate there can tell, and differences of their squares to much more. Poses are in the frame.
	Origin plane.Vec
}

// solved is the residual at or below which a block is solved, mm. 1e-10 in a sketch of 100 mm: Newton's steps square the
// error, so one more step costs less than it would to look closer. Far from the origin rounding alone makes 1e-16 of
// the coordinates, and some more in their differences.
func (s Scale) solved() float64 { return s.solvedOver(s.Size) }

// solvedOver is the same of a block whose lengths go up to so much, mm: a small engine beside a large one has its own.
func (s Scale) solvedOver(length float64) float64 { return 1e-12*length + 2e-15*s.Reach }

// Holds is the residual that the re-check of the whole sketch allows each row, mm: with room for rows that follow from
// several others.
func (s Scale) Holds() float64 { return 6 * s.solved() }

// Agrees is the most that statements which say the same thing leave between them, mm; more is a contradiction. Wider than
// holds: on a drawing 100 mm wide nobody means a tenth of a nanometre when he writes a length twice.
// What is given far from the frame's origin is rounded as it is given.
func (s Scale) Agrees() float64 { return s.AgreesOver(s.Reach) }

// AgreesOver is the same of statements about lengths up to so much, mm.
func (s Scale) AgreesOver(length float64) float64 { return 1e-9*length + 2.5*s.Rounding() }

// Rounding is what the frame makes of a distance between places that are given in it, mm.
func (s Scale) Rounding() float64 { return roundingRel * s.world }

// stray is the correction of a predicted place beyond which it was no prediction, mm.
func (s Scale) stray() float64 { return StrayShare * s.Size }

// The other tolerances. Those without a unit are shares.
const (
	// singular: a block with a determinant below this share of what its rows could give (1 where they are at right
	// angles) stands on a dead centre. No unit. The place is then uncertain by about solveRel / singular.
	singular = 1e-7

	// skewed: a block of lengths with a determinant below this share stands askew. No unit.
	skewed = 0.03

	// rankRel: a singular value below this share of the greatest is zero. No unit.
	RankRel = 1e-9

	// sameShare: the share of a block's size below which two ways of assembling it are one. No unit.
	SameShare = 1e-6

	// strayShare: the share of a block's size that a prediction may be off by. No unit.
	StrayShare = 0.02

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
	// except for the roots in loose ones, so that it may be long beside rounding.
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
)

// Limits of the work, numbers.
const (
	newtonSteps  = 12  // of one position from a predicted place
	restoreSteps = 24  // of a place of loose lengths back to where what holds it is met
	looseSteps   = 100 // of one descent to the smallest worst of loose lines, cuts included
	ridgesMost   = 4   // that such descents go off or over, for one pose
	LooseMost    = 24  // freedoms of one block that loose lines may hold
	ClosestSteps = 200 // of a search for the nearest pose
	startsLeast  = 3   // starts of the search for assemblies of a block that no formula solves
	startsMost   = 240
	patient      = 8         // starts from which it is done with damping
	plungeSteps  = 25        // of Newton's method from the others
	StartsWork   = 4_000_000 // the sum over all searches of starts times unknowns to the third: some seconds
)
