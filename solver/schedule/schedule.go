package schedule

import (
	"slices"

	"barover/solver/expr"
)

// A Schedule is the order in which everything in a Model is placed. It depends on the Model alone and not on dimensions,
// so one Schedule serves every set of expr.Values.
//
// # Places
//
// A place is one complex number x + iy: the position of a point in the frame (mm), or the unit direction of a part's u
// axis or of a line (no unit). Point, Part and Line give the place of each; several may share one (a part along a line
// has the line's direction). There may be further places: directions that only a slide needs. The frame's direction is 1.
// Its origin is the place Ground. It is 0, or wherever the solver of the schedule puts it, since no op and no row changes
// if all points are shifted alike.
//
// # Scalars
//
// A scalar is one real unknown: x or y of a free point, x or y of a free direction, or the way along a line of known
// direction. Ops compute everything else from the scalars.
//
// # Steps
//
// Steps are taken in order. A step without Rows computes places by its Ops, in order. A step with Rows is a block: it has
// as many Rows as Scalars, and its Ops make every place that its Rows need and that was not made before. Inside a block
// every Op is affine in the block's scalars: coefficients and places of earlier steps are numbers by then. So every Row
// of a block is a polynomial of degree at most two in the block's scalars. Blocks cannot be split further: none of their
// rows can be met without solving the others with it.
//
// To find a position: for each step, run Ops; if there are Rows, find the Scalars with every Row zero (running the Ops
// again after each change of them). After the last step every place is known.
//
// A step with Loose rows leaves a freedom: it has more Scalars than Rows. Its Scalars make every Row zero and the
// greatest of |(|P − Q| − V)| / Play over Loose as small as possible. Such a pose is not smooth in the turn.
//
// # Coefficients
//
// Every coefficient is a node of Model.Graph that depends on dimensions, the turn and travels only. None means zero,
// except where an Op or Row says otherwise. If Graph.Uses(id).Constant(), it is constant through the turn.
//
// # Signs
//
// RowHeading, RowAngle and RowAim ask for a direction, but their polynomial is zero for the opposite direction too. A
// solution counts only where the dot product named with the row is above zero. As long as the dot product does not pass
// zero it keeps its sign, so a motion that starts right stays right. Likewise an OpSlide with Ahead set wants its scalar
// > 0.
type Schedule struct {
	Model   *Model
	Places  int      // how many places there are
	Point   []Place  // of each point
	Part    []Place  // direction of each part; the origin is the place of Parts[i].P, or 0 for the frame
	Line    []Place  // direction of each line; it goes through the place of Lines[i].P
	Ground  Place    // where the frame's origin is: no op makes it
	Scalars []Scalar // the unknowns
	Steps   []Step
	Whole   []Row // every row of the sketch, also those that elimination satisfied: the re-check uses them

	OpAt      []Op      // of each place
	Met       [][]int   // of each place, the equations that its op meets
	Depends   [][]int32 // of each place, the scalars it depends on through Ops alone
	Structure *Structure
	loose     []Row    // every loose length
	rides     *Origins // the travels that move each place
}

// Place numbers a complex number of a Schedule.
type Place int32

// Nowhere is no place.
const Nowhere Place = -1

// ScalarKind says what a scalar measures.
type ScalarKind uint8

// The kinds of scalars.
const (
	ScalarX     ScalarKind = iota // real part of its place, mm (a direction: no unit)
	ScalarY                       // imaginary part
	ScalarAlong                   // way along a direction, mm
)

// Scalar is one real unknown.
type Scalar struct {
	Kind      ScalarKind
	Place     Place // the place that the scalar makes, by an OpFree or OpSlide
	Direction bool  // Place is a direction, not a point
}

// Step computes some places, or solves a block of unknowns. See Schedule.
type Step struct {
	Ops     []Op
	Scalars []int // indices into Schedule.Scalars; empty in a step that only computes
	Rows    []Row // as many as Scalars; fewer where Loose
	Loose   []Row // of kind RowLoose: they take up the freedom that Rows leave; see Schedule
	Block   int   // its number among the steps that have scalars, where it is one
	tight   *Step
}

// Tight returns the step with its Loose rows after its Rows, as if they were lengths; itself where it has none.
func (s *Step) Tight() *Step {
	if s.tight == nil {
		return s
	}
	return s.tight
}

// Slack reports whether loose lengths place something.
func (s *Schedule) Slack() bool {
	return slices.ContainsFunc(s.Steps, func(step Step) bool { return len(step.Loose) > 0 })
}

// OpKind says how an Op makes its place.
type OpKind uint8

// The kinds of ops, with i² = −1. All are affine in the places P, Q, D and in the scalars, with two exceptions. OpNorm
// never takes a place that depends on a scalar of its own step. In the product of OpSlide, D depends on no scalar at all.
const (
	OpAt      OpKind = iota // Z = P + A + iB, P the Ground        a driven point
	OpHeading               // Z = e^{i(A − B)}                    a direction given by its heading
	OpPolar                 // Z = P ± A·e^{iB}                    at a distance and heading; − if Back
	OpRigid                 // Z = P + (A + iB)·D                  fixed on a part of origin P and direction D
	OpAim                   // Z = (Q − P)·e^{−iB} / A             direction from P to Q, whose distance A is given
	OpNorm                  // Z = (Q − P)·e^{−iB} / |Q − P|       the same where no distance is given
	OpSpun                  // Z = Q + (B/A)·e^{±iC}·(P − Q)       at Q, from P round by C; − if Back
	OpSlide                 // Z = P + s·D                         along a known direction; s is the scalar S
	OpFree                  // Z = s + i·s'                        nothing known; s and s' are the scalars S and S+1
)

// Op makes one place.
type Op struct {
	Kind    OpKind
	Z       Place // the place made
	P, Q, D Place // places made before, Nowhere where the kind has none
	A, B, C expr.ID
	Back    bool
	S       int  // scalar of OpSlide, first scalar of OpFree
	Ahead   bool // OpSlide: s > 0 is asked
	Stmt    int  // the statement that the op satisfies
}

// RowKind says what a Row asks for.
type RowKind uint8

// The kinds of rows. × is the cross product and · the dot product of the two as plane vectors. The unit is that of the
// expression; its value should be zero.
const (
	RowLength  RowKind = iota // (|P − Q|² − V²) / 2V           mm
	RowLine                   // D × (P − Q)                    mm: P lies on the line through Q of direction D
	RowChord                  // (R − Q) × (P − Q)              mm²: P lies on the line through Q and R
	RowHeading                // e^{iV} × (Q − P)               mm; with e^{iV}·(Q − P) > 0
	RowAngle                  // (e^{iV}(P − Q)) × (R − Q)      mm²; with (e^{iV}(P − Q))·(R − Q) > 0
	RowAim                    // (e^{iV}·D) × (Q − P)           mm; with (e^{iV}·D)·(Q − P) > 0. V None: 0
	RowUnit                   // (|D|² − 1) / 2                 no unit: a free direction has length 1
	RowX                      // real part of Z − op(…)         what the Op of this row asks: a place that has an
	RowY                      // imaginary part of the same     op and is a scalar pair, or eliminated (Whole only)
	RowLoose                  // (|P − Q| − V) / Play           no unit: a share of the play (Loose only)
)

// Row is one real equation.
type Row struct {
	Kind       RowKind
	P, Q, R, D Place // Nowhere where the kind has none
	V          expr.ID
	Play       expr.ID // RowLoose
	Op         *Op     // RowX, RowY
	Stmt       int
	Equation   int // index into Model.Equations, or -1
}

// Stmt is the statement of the first row of a block.
func (s *Step) Stmt() int {
	if len(s.Rows) > 0 {
		return s.Rows[0].Stmt
	}
	return s.Loose[0].Stmt
}

// Gather appends the ops that make z and that come after step k.
func (s *Schedule) Gather(ops []Op, z Place, k int, madeIn []int) []Op {
	if z == Nowhere || madeIn[z] <= k || slices.ContainsFunc(ops, func(op Op) bool { return op.Z == z }) {
		return ops
	}
	op := s.OpAt[z]
	for _, p := range [3]Place{op.P, op.Q, op.D} {
		ops = s.Gather(ops, p, k, madeIn)
	}
	return append(ops, op)
}
