package taylor

import (
	"fmt"
	"math"
	"slices"

	"barover/solver/expr"
)

// Unenclosed says that a sum has no enclosure: it has an operation that a polynomial over a box cannot follow.
type Unenclosed struct{ Op expr.Op }

func (u Unenclosed) Error() string { return fmt.Sprintf("no enclosure of %s", u.Op) }

// Compiler puts sums of a Graph on a tape. The turn is the parameter 0 and the travel k the parameter 1 + k.
type Compiler struct {
	*Builder
	Values *expr.Values
	// Sizes maps dimensions that are parameters, by their numbers, to the parameters: those of a box's deviations.
	Sizes map[int]int
	// Point returns the slots of a point's coordinates, false for a point that has none here; nil where no point has.
	Point func(p int) (x, y Slot, ok bool)
	// Rate returns the slots of a point's velocity by the turn, of order 1, or of its acceleration, of order 2; nil where
	// rates have no enclosure.
	Rate func(p, order int) (x, y Slot, ok bool)
	// Whole returns the slot of an operation over the whole turn; nil where these have no enclosure.
	Whole func(id expr.ID) (Slot, error)

	made     map[expr.ID]Slot
	sized    []bool // of each node: it depends on a size; nil before that is computed
	headings []HeadingSlot
}

// HeadingSlot is an angle that continues without a jump: State.Near sets its start at each box.
type HeadingSlot struct {
	Ref  int32 // number of the heading in the Graph
	Slot Slot
}

// Headings lists the running angles of all sums compiled so far.
func (c *Compiler) Headings() []HeadingSlot { return c.headings }

// Forget starts again: sums compiled before are not shared with later ones.
func (c *Compiler) Forget() { c.made = nil }

// Sum puts one sum on the tape and returns its slot, or an Unenclosed.
func (c *Compiler) Sum(id expr.ID) (Slot, error) {
	if s, ok := c.made[id]; ok {
		return s, nil
	}
	s, err := c.sum(id)
	if err != nil {
		return None, err
	}
	if c.made == nil {
		c.made = map[expr.ID]Slot{}
	}
	c.made[id] = s
	return s, nil
}

// Difference puts a sum, less another, on the tape; None for nothing.
func (c *Compiler) Difference(sum, less expr.ID) (Slot, error) {
	s, err := c.Sum(sum)
	if err == nil && less != expr.None {
		var take Slot
		take, err = c.Sum(less)
		s = c.Sub(s, take)
	}
	return s, err
}

// leastNumber is the size below which a constant cannot be enclosed: products of a few such are smaller than floats can
// tell apart, and radii do not count that. No figure of an engine is that small.
const leastNumber = 1e-60

func (c *Compiler) sum(id expr.ID) (Slot, error) {
	n := c.Values.Graph.Nodes[id]
	if n.Uses.Constant() && !c.Sized(id) {
		v := c.Values.Node[id]
		if v != 0 && math.Abs(v) < leastNumber {
			return None, Unenclosed{n.Op}
		}
		return c.Number(v), nil
	}
	if n.Op.Whole() {
		if c.Whole == nil {
			return None, Unenclosed{n.Op}
		}
		return c.Whole(id)
	}
	switch n.Op {
	case expr.Const:
		return c.Number(n.Value), nil
	case expr.Dim:
		if k, ok := c.Sizes[int(n.Ref)]; ok {
			return c.Param(k), nil
		}
		if v, held := c.Values.Fixed[int(n.Ref)]; held {
			return c.Number(v), nil
		}
		return c.Sum(n.A)
	case expr.Turn:
		return c.Param(0), nil
	case expr.Travel:
		return c.Param(1 + int(n.Ref)), nil
	case expr.X, expr.Y:
		return c.ordinate(n)
	case expr.Rate:
		return c.rate(n.A)
	}
	a, err := c.Sum(n.A)
	if err != nil {
		return None, err
	}
	if n.Op.Operands() == 1 {
		return c.one(n.Op, a)
	}
	b, err := c.Sum(n.B)
	if err != nil {
		return None, err
	}
	return c.two(n, a, b)
}

// Sized reports whether a sum depends on a size.
func (c *Compiler) Sized(id expr.ID) bool {
	if len(c.Sizes) == 0 {
		return false
	}
	nodes := c.Values.Graph.Nodes
	for i := len(c.sized); i < len(nodes); i++ {
		n := &nodes[i]
		on := n.A != expr.None && c.sized[n.A] || n.B != expr.None && c.sized[n.B]
		if n.Op == expr.Dim {
			_, size := c.Sizes[int(n.Ref)]
			_, held := c.Values.Fixed[int(n.Ref)]
			on = size || on && !held
		}
		c.sized = append(c.sized, on)
	}
	return c.sized[id]
}

func (c *Compiler) one(op expr.Op, a Slot) (Slot, error) {
	one := c.Number(1)
	// √(1 - a²) as a product, which loses little near a = ±1.
	side := func() Slot { return c.Sqrt(c.Mul(c.Sub(one, a), c.Add(one, a))) }
	switch op {
	case expr.Neg:
		return c.Neg(a), nil
	case expr.Sqrt:
		return c.Sqrt(a), nil
	case expr.Abs:
		return c.Abs(a), nil
	case expr.Sin:
		return c.Sin(a), nil
	case expr.Cos:
		return c.Cos(a), nil
	case expr.Tan:
		return c.Div(c.Sin(a), c.Cos(a)), nil
	case expr.Asin:
		return c.Angle(a, side()), nil
	case expr.Acos:
		return c.Angle(side(), a), nil
	case expr.Atan:
		return c.Angle(a, one), nil
	}
	return None, Unenclosed{op}
}

func (c *Compiler) two(n expr.Node, a, b Slot) (Slot, error) {
	switch n.Op {
	case expr.Add:
		return c.Add(a, b), nil
	case expr.Sub:
		return c.Sub(a, b), nil
	case expr.Mul:
		return c.Mul(a, b), nil
	case expr.Div, expr.Round:
		if c.isZero(a) && c.isZero(b) {
			return None, Unenclosed{n.Op}
		}
		if n.Op == expr.Round {
			return c.Round(a, b), nil
		}
		return c.Div(a, b), nil
	case expr.Pow:
		if k, ok := c.Value(b); ok {
			return c.Power(a, k), nil
		}
		return c.Raise(a, b), nil
	case expr.Min:
		return c.Min(a, b), nil
	case expr.Max:
		return c.Max(a, b), nil
	case expr.Hypot:
		return c.Hypot(a, b), nil
	case expr.Atan2:
		return c.Wrap(c.Angle(a, b)), nil
	case expr.Heading:
		s := c.running(a, b)
		c.headings = append(c.headings, HeadingSlot{n.Ref, s})
		return s, nil
	}
	return None, Unenclosed{n.Op}
}

// ordinate is a point's x or y.
func (c *Compiler) ordinate(n expr.Node) (Slot, error) {
	if c.Point != nil {
		if x, y, ok := c.Point(int(n.Ref)); ok && n.Op == expr.X {
			return x, nil
		} else if ok {
			return y, nil
		}
	}
	return None, Unenclosed{n.Op}
}

// rate puts dA/dTurn on the tape: the sum's own derivative by the turn, plus its derivatives by the points times their
// speeds, and by speeds of points in it times their accelerations. An operation over the whole turn does not change along
// it.
func (c *Compiler) rate(a expr.ID) (Slot, error) {
	deep := c.Values.Graph.Rates(a)
	if c.Rate == nil || deep >= expr.Deepest {
		return None, Unenclosed{expr.Rate}
	}
	f, err := c.Sum(a)
	if err != nil {
		return None, err
	}
	speed := map[Slot]Slot{c.Param(0): c.Number(1)}
	for _, p := range pointsOf(c.Values.Graph, a) {
		x, y, ok := c.Point(p)
		for order := 1; order <= 1+deep && ok; order++ {
			u, v, moves := c.Rate(p, order)
			speed[x], speed[y] = u, v
			x, y, ok = u, v, moves
		}
		if !ok {
			return None, Unenclosed{expr.Rate}
		}
	}
	return c.Total([]Slot{f}, speed)[0], nil
}

// pointsOf lists the points whose coordinates a sum uses at a position.
func pointsOf(g *expr.Graph, id expr.ID) (points []int) {
	need := g.Reached(false, id)
	for i := id; i >= 0; i-- {
		n := &g.Nodes[i]
		if need[i] && (n.Op == expr.X || n.Op == expr.Y) && !slices.Contains(points, int(n.Ref)) {
			points = append(points, int(n.Ref))
		}
	}
	return points
}
