package outline

import "math"

// The tolerances of outlines. All are shares of the size of the outline (the radius of the circle round it), so that a
// watch and a locomotive are treated alike. Each says what breaks if it is changed.
const (
	// joined is how close two places must be to be one corner when shapes are united: 1e-10 of the size is 1e-7 mm on a
	// part of a metre. It must be well above the rounding of an intersection (1e-15) and below anything that can be made.
	joined = 1e-10
	// joinedMost is the coarsest that joined may become when outlines that nearly coincide will not close otherwise.
	joinedMost = 1e-7
	// parallel is the greatest sine between the directions of two edges that are on one another. Edges that cross at less
	// than this within joined of each other would be the same edge in any drawing office.
	parallel = 1e-3
	// smooth is the greatest turn at a corner, rad, that counts as none when its motion is asked for: where two lines
	// meet at less, their meeting place runs away with the least change of either.
	smooth = 1e-7
	// touching is the distance, against the size of both, below which the distance alone does not tell whether boundaries
	// touch or overlap.
	touching = 1e-9
	// sliver is the least width, against the size, of a piece that is kept. Thinner ones are seams left by rounding.
	sliver = 1e-9
	// roundoff is the turn inward, rad, that rounding makes of two edges in line. A direction with so small an error
	// reaches 1e-13 of an edge's length too far at its other end.
	roundoff = 1e-13
	// corner is the least turn, rad, that makes a corner with directions of its own between two edges. A lesser one is
	// ignored, at the cost of 1e-12 of an edge's length.
	corner = 1e-12
	// almostWhole is how little may be missing of half the sweep of an arc, rad, for it to count as a whole circle.
	almostWhole = 1e-9
	// rounding is the possible error of a computed place, as a share of its distance from the origin: some fifty
	// roundings.
	rounding = 1e-14
	// level is the greatest sine between two straight edges that face each other for both to be named as nearest, with
	// the middle of their common stretch. It must be above the rounding of a pose.
	level = 1e-9
	// tangleDeep is how far, against the size, a path must overlap itself to count as crossing itself: a thousandth of a
	// millimetre on a part of 100 mm. Places are given to three decimals, and two arcs that are meant to touch overlap by
	// that much.
	tangleDeep = 2e-5
	// shortfall is the share by which an arc's radius may miss half the distance of its ends and still make a half
	// circle: the rounding of sums such as (a-b)/2.
	shortfall = 1e-9
)

// Bounds of the work, so that no profile makes the program run for ever.
const (
	// MaxEdges is how many edges the shapes of one profile may have together.
	MaxEdges = 2000
	// maxSplit is how many edges there may be after all of them are split where they cross.
	maxSplit = 12000
	// maxPieces is how many convex pieces a region may be covered with.
	maxPieces = 4000
	// manyPieces is how many pieces may be compared with one another to drop those that another hides.
	manyPieces = 200
	// greatest is the greatest coordinate, mm, that is accepted: a thousand kilometres. Beyond it squares lose their
	// digits.
	greatest = 1e9
)

func finite(v float64) bool { return math.Abs(v) <= greatest }
