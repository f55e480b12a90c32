package linkage

import (
	"barover/solver/expr"
	"barover/solver/plane"
)

// A program is a Schedule with numbers in it, made to be run many thousand times: constants are folded, what stands
// still is left out, and what no block, point or re-check needs is put aside until somebody asks for a whole pose.
type program struct {
	fixed  []plane.Vec // places that stand still; the rest is nought. One more than the Schedule has: the last is 1
	coef   coefs       // constant coefficients; NaN for those driven
	driven []expr.ID   // coefficients that move with the turn or a travel
	tape   *expr.Tape  // computes driven
	turns  []move      // directions of driven headings, made before everything else
	stages []stage
	blocks []*block // those of stages, in order
	rest   []move   // places wanted for a whole pose only
	ops    []Op     // what moves of kind moveOp refer to
	checks []check
}

// stage is some places computed, and after them a block solved where there is one.
type stage struct {
	moves []move
	block *block
}

// moveKind is how a move makes its place z. k is a constant complex number.
type moveKind uint8

const (
	moveTurn  moveKind = iota // e^{iV}, V the coefficient s
	moveScale                 // k·b
	moveMul                   // a + k·b
	moveLerp                  // a + k·(b − a)
	moveAim                   // k·(b − a)
	moveSlide                 // a + s·b, s a scalar
	moveFree                  // s + i·s'
	moveOp                    // by ops[s]
)

// move makes one place.
type move struct {
	kind    moveKind
	z, a, b int32
	s       int32
	k       plane.Vec
}

// run makes the places of moves.
func (p *program) run(moves []move, c coefs, z []plane.Vec, x []float64) {
	for i := range moves {
		m := &moves[i]
		switch m.kind {
		case moveTurn:
			z[m.z] = plane.Polar(c[m.s])
		case moveScale:
			z[m.z] = m.k.Times(z[m.b])
		case moveMul:
			b, a := z[m.b], z[m.a]
			z[m.z] = plane.Vec{X: a.X + (m.k.X*b.X - m.k.Y*b.Y), Y: a.Y + (m.k.X*b.Y + m.k.Y*b.X)}
		case moveLerp:
			a, b := z[m.a], z[m.b]
			dx, dy := b.X-a.X, b.Y-a.Y
			z[m.z] = plane.Vec{X: a.X + (m.k.X*dx - m.k.Y*dy), Y: a.Y + (m.k.X*dy + m.k.Y*dx)}
		case moveAim:
			z[m.z] = m.k.Times(z[m.b].Sub(z[m.a]))
		case moveSlide:
			a, b, s := z[m.a], z[m.b], x[m.s]
			z[m.z] = plane.Vec{X: a.X + s*b.X, Y: a.Y + s*b.Y}
		case moveFree:
			z[m.z] = plane.Vec{X: x[m.s], Y: x[m.s+1]}
		default:
			z[m.z] = p.ops[m.s].value(c, z, x)
		}
	}
}
