package expr

import "math"

// Two points that coincide have no heading from one another. A motion brings them together only to rounding, so what is
// left between them has some direction. To tell whether it is only rounding, the possible error of a heading's operands
// is computed from the coordinates that they are made of.

const (
	// foundTo is the possible error of a point's place, as a share of the size of the engine: a linkage is solved to
	// 1e-12 of its size.
	foundTo = 4e-12
	// roundedTo is the effect of a few roundings on a figure, as a share of it.
	roundedTo = 8e-16
	// farApart is the sum of a heading's operands, mm or mm², from which its points are not checked: in an engine of up to 500 m no
	// rounding comes near it. Of three points the operands are as inexact as a place times the longer arm: 8 mm² there.
	farApart = 10
	// deepest is how deep a heading's operands are followed.
	deepest = 6
)

// operand gives a node, its operands as the caller numbers them, and its value.
type operand func(ID) (*Node, float64)

// near reports whether a heading's points may coincide, with operands y and x.
func near(y, x float64) bool { return math.Abs(y)+math.Abs(x) < farApart }

// Operands evaluates the operands of a heading, and the possible error of both together where they are small enough for that to
// matter; else zero.
func (e *Eval) Operands(id ID, c *Context) (y, x, off float64) {
	p := e.plan(id, 0)
	if p.value != nil {
		p.run(c)
	} else {
		p.derive(c)
	}
	n := &p.visits[len(p.visits)-1].Node
	_, y = p.operand(n.A)
	_, x = p.operand(n.B)
	if near(y, x) {
		off = possible(n, c, p.operand)
	}
	return y, x, off
}

// coincide reports whether a heading's points coincide within the possible error of its operands y and x.
func coincide(n *Node, y, x float64, c *Context, of operand) bool {
	return math.Hypot(y, x) <= possible(n, c, of)
}

// possible is the possible error of a heading's operands together.
func possible(n *Node, c *Context, of operand) float64 {
	size := c.size()
	return off(n.A, size, deepest, of) + off(n.B, size, deepest, of)
}

// size is how far the points lie apart, mm: the diagonal of the box round them.
func (c *Context) size() float64 {
	wide := func(v []float64) float64 {
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, x := range v {
			lo, hi = math.Min(lo, x), math.Max(hi, x)
		}
		return math.Max(hi-lo, 0)
	}
	return math.Hypot(wide(c.X), wide(c.Y))
}

// off is the possible error of a node's value, with the places of points known to a share of size.
func off(id ID, size float64, depth int, of operand) float64 {
	n, v := of(id)
	rounding := roundedTo * math.Abs(v)
	if depth == 0 || n.A == None || n.B == None {
		if n.Op == X || n.Op == Y {
			rounding += foundTo * size
		}
		return rounding
	}
	switch n.Op {
	case Add, Sub:
		return rounding + off(n.A, size, depth-1, of) + off(n.B, size, depth-1, of)
	case Mul:
		_, a := of(n.A)
		_, b := of(n.B)
		return rounding + math.Abs(b)*off(n.A, size, depth-1, of) + math.Abs(a)*off(n.B, size, depth-1, of)
	}
	return rounding
}
