package position

import (
	"barover/solver/plane"
)

// Scale is the size of a sketch: the unit of its tolerances.
type Scale struct {
	Size  float64 // the greatest length in it, mm
	Reach float64 // the greatest coordinate of what is given, from origin, mm: not less than size
	world float64 // the greatest given coordinate, mm: it sets the rounding

	// Origin is the origin, in the frame, of the coordinates in which the sketch is solved. Places far from the frame's
	// origin are rounded to the resolution of a coordinate there, and differences of their squares much more. Poses are
	// in the frame.
	Origin plane.Vec
}

// solved is the residual at or below which a block is solved, mm. It is 1e-10 in a sketch of 100 mm: Newton's steps
// square the error, so one more step costs less than a closer check. Far from the origin rounding alone makes 1e-16 of
// the coordinates, and some more in their differences.
func (s Scale) solved() float64 { return s.solvedOver(s.Size) }

// solvedOver is the same for a block whose lengths go up to so much, mm: a small engine beside a large one has its own.
func (s Scale) solvedOver(length float64) float64 { return 1e-12*length + 2e-15*s.Reach }

// Holds is the residual that the re-check of the whole sketch allows each row, mm, with a margin for rows that follow
// from several others.
func (s Scale) Holds() float64 { return 6 * s.solved() }

// Agrees is the greatest difference of redundant statements, mm; more is a contradiction. It is wider than Holds: on a
// drawing 100 mm wide nobody means a tenth of a nanometre when he writes a length twice. Values given far from the
// frame's origin are rounded where they are given.
func (s Scale) Agrees() float64 { return s.AgreesOver(s.Reach) }

// AgreesOver is the same for statements about lengths up to so much, mm.
func (s Scale) AgreesOver(length float64) float64 { return 1e-9*length + 2.5*s.Rounding() }

// Rounding is the rounding error of a distance between places given in the frame, mm.
func (s Scale) Rounding() float64 { return roundingRel * s.world }

// stray is the correction of a predicted place from which the prediction counts as failed, mm.
func (s Scale) stray() float64 { return StrayShare * s.Size }

// The other tolerances. Those without a unit are shares.
const (
	// singular: a block with a determinant below this share of the greatest possible (1 for orthogonal rows) is on a dead
	// centre. No unit. The error of the place is then about solveRel / singular.
	singular = 1e-7

	// skewed: a block of lengths with a determinant below this share is skewed. No unit.
	skewed = 0.03

	// RankRel: a singular value below this share of the greatest is zero. No unit.
	RankRel = 1e-9

	// SameShare: the share of a block's size below which two ways of assembling it are one. No unit.
	SameShare = 1e-6

	// StrayShare: the share of a block's size that a prediction may be off by. No unit.
	StrayShare = 0.02

	// blameWeight: the weight of the statement that is to take the whole miss, beside the others, in the search for the
	// nearest pose. The share of the miss that is left on the others is the square of this.
	blameWeight = 1e-5

	// roundingRel: the rounding error of a distance between places, as a share of the greatest coordinate.
	roundingRel = 4e-15

	// countLeast: a loose line with less weight than this in the worst is not one of the worst.
	countLeast = 1e-9

	// stillRel: a second-order step no longer than this share of the sketch's size is the last. The next, of its square,
	// would be lost in rounding.
	stillRel = 1e-6

	// bendStepRel: the step for second derivatives of rows, as a share of the sketch's size. Rows are quadratic except
	// for the roots in loose ones, so it may be long compared with rounding.
	bendStepRel = 1e-5

	// chordGain: loose lengths are restored with the slopes of an earlier place as long as each step leaves less than
	// this share of the miss. No unit.
	chordGain = 0.1

	// sameRel: a descent that comes within this share of the sketch's size of a known end comes to that end too.
	sameRel = 1e-5

	// ridgeCount: a loose line with more weight than this in the worst may have another place beside its dead centre
	// where the worst is less. No unit.
	ridgeCount = 0.9

	// bendLeast: a maximum whose curvature is below this share of a length's usual one is flat. No unit.
	bendLeast = 1e-6
)

// Limits of the work, numbers.
const (
	newtonSteps  = 12  // of one position from a predicted place
	restoreSteps = 24  // of a place of loose lengths back to where its bonds hold
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
