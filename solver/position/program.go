// Package position places the points of a mechanism at one position: with the turn, the travels and the dimensions given,
// and scalars that are close.
//
// It knows the kernels that solve a block, how a block can be assembled, the pose of loose lengths, and derivatives: by
// the turn, and backward from a figure to everything it depends on. It does not know how the motion came here, nor where
// it continues; linkage does. It knows no unit but mm and rad.
//
// The way of the data: scale and measure (the size of a sketch), programmer (a Schedule made into a Program, once), state
// (a Program run), newton (the kernels), recheck (every statement checked again); loose* (lengths with play); ways,
// nearest (a block from nothing); speed, acceleration, adjoint (slopes, by the system of derivative_system); web, cone (a
// few parts of many). The kernels of newton.go were measured: measure them again when you change them. Tolerances are in
// scale.go.
package position

import (
	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// A Program is a Schedule with numbers, made to be run many thousand times: constants are folded, what does not move is
// left out, and what no block, point or re-check needs is put aside until a whole pose is wanted.
type Program struct {
	fixed  []plane.Vec    // places that do not move; the rest is zero. One more than the Schedule has: the last is 1
	coef   schedule.Coefs // constant coefficients; NaN for those driven
	turns  []expr.ID      // coefficients that are the turn itself
	Driven []expr.ID      // others that move with the turn or a travel
	tapes  [2]*expr.Tape  // compute those that the turn moves, and those that travels alone move
	all    *expr.Tape     // computes all of driven
	moves  []move         // places, and blocks among them, in order
	Blocks []Block
	rest   []move        // places needed for a whole pose only
	ops    []schedule.Op // what moves of kind moveOp refer to
	checks []check
	Size   []float64        // of each scalar, that of its block
	Square []*schedule.Step // of each block of loose lengths that are as many as it takes, the step that it satisfies; nil of others
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
