package linkage

import (
	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// A program is a Schedule with numbers in it, made to be run many thousand times: constants are folded, what stands
// still is left out, and what no block, point or re-check needs is put aside until somebody asks for a whole pose.
type program struct {
	fixed  []plane.Vec    // places that stand still; the rest is zero. One more than the Schedule has: the last is 1
	coef   schedule.Coefs // constant coefficients; NaN for those driven
	turns  []expr.ID      // coefficients that are the turn itself
	driven []expr.ID      // others that move with the turn or a travel
	tapes  [2]*expr.Tape  // compute those that the turn moves, and those that travels alone move
	all    *expr.Tape     // computes all of driven
	moves  []move         // places, and blocks among them, in order
	blocks []block
	rest   []move        // places wanted for a whole pose only
	ops    []schedule.Op // what moves of kind moveOp refer to
	checks []check
	size   []float64        // of each scalar, that of its block
	square []*schedule.Step // of each block of loose lengths that are as many as it takes, what it obeys; nil of others
}

// moveKind is how a move makes its place z. k is a constant complex number.
type moveKind uint8

const (
	moveTurn  moveKind = iota // e^{iV}, V the coefficient s
	moveCrank                 // b = e^{iV}, and then a + k·b
	moveScale                 // k·b
	moveMul                   // a + k·b
	moveMulBy                 // a + (s + i·t)·b, s and t coefficients
	moveLerp                  // a + k·(b − a)
	moveAim                   // k·(b − a)
	moveSlide                 // a + s·b, s a scalar
	moveFree                  // s + i·s'
	moveOp                    // by ops[s]
	moveBlock                 // solves block s
)

// move makes one place.
type move struct {
	kind    moveKind
	z, a, b int32
	s, t    int32
	k       plane.Vec
}
