// Package outline makes the outline of a profile from its shapes, exactly, as closed loops of straight lines and
// circular arcs, and measures the distance between two of them.
//
// It knows no motion. A newcomer may add a shape, as DEVELOPERS.md shows. After a change to depth or distance, run the
// property tests.
package outline

import "barover/solver/expr"

// Place is a place on a part whose coordinates are sums.
type Place struct{ X, Y expr.ID }

// ShapeKind says what a shape is.
type ShapeKind uint8

// The kinds of shapes, with the fields they use.
const (
	Disc  ShapeKind = iota // P[0], W[0] the diameter
	Strip                  // P[0] to P[1], W[0] wide at P[0] and W[1] at P[1]; Round closes the ends with half circles
	Box                    // P[0] and P[1] are opposite corners
	Path                   // P[0], then Steps; closed by itself
)

// Step is one piece of a path, from where the last ended.
type Step struct {
	To     Place
	Radius expr.ID // None: straight; else an arc of this radius, mm
	Left   bool    // the arc's centre lies to the left of the way there
	Long   bool    // the arc goes the long way round
}

// Shape is one shape of a profile. Hole takes it away from the shapes before it.
type Shape struct {
	Kind  ShapeKind
	Stmt  int // number of the statement
	Hole  bool
	P     [2]Place
	W     [2]expr.ID
	Round bool
	Steps []Step
}
