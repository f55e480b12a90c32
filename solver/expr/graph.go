// Package expr holds sums as numbers: a directed acyclic graph of operations over the dimensions, the turn,
// the travels and the coordinates of points. Every length, angle and limit of a sketch is a node of one Graph.
//
// It is a graph and not a tree for three reasons: equal sums are one node, a value costs one pass, and the derivatives of
// one result by all dimensions cost one pass backward (reverse mode). Lengths are mm and angles are radians throughout;
// the language's units end before they reach this package.
//
// To add an operation, write its value, its slopes and its curvatures here, and its enclosure in package taylor.
package expr

import (
	"fmt"
	"math"
	"slices"
)

// ID names a node of a Graph. A node refers only to nodes with smaller IDs.
type ID int32

// None is the ID of no node: a sum that was left out.
const None ID = -1

// Op is the operation of a node.
type Op uint8

// The operations. A and B are operands; Ref is an index whose meaning the comment gives.
const (
	Const    Op = iota // Value
	Dim                // the dimension Ref, a constant; A is the sum that gives it, unless Values overrides it
	Turn               // the crank position, rad
	Travel             // the travel Ref, mm or rad
	X                  // x of the point Ref, mm in the frame
	Y                  // y of the point Ref, mm in the frame
	Add                // A + B
	Sub                // A - B
	Mul                // A * B
	Div                // A / B
	Neg                // -A
	Pow                // A ^ B
	Sqrt               // √A
	Abs                // |A|
	Min                // the lesser of A and B
	Max                // the greater of A and B
	Hypot              // √(A² + B²)
	Sin                // sin A
	Cos                // cos A
	Tan                // tan A
	Asin               // asin A
	Acos               // acos A
	Atan               // atan A
	Atan2              // heading of (B, A), in (-π, π]
	Round              // A to the nearest multiple of B, halves away from zero
	Heading            // heading of (B, A) running on without a jump; Ref numbers the headings
	Rate               // dA/dTurn over the whole motion
	Least              // least of A over one turn at the travel in hand; Ref numbers least, greatest and span together
	Greatest           // greatest of A over one turn at the travel in hand
	Span               // Greatest less Least
	Rises              // the first place of the turn at which A rises past zero; B is the rate of A, None where it takes one itself
	Falls              // the first place at which A falls past zero
	Lowest             // the place at which A is least
	Highest            // the place at which A is greatest
	AtPlace            // A at the place B of the turn
	opCount
)

var opNames = [opCount]string{"const", "dim", "turn", "travel", "x", "y", "+", "-", "*", "/", "neg", "^", "sqrt", "abs",
	"min", "max", "hypot", "sin", "cos", "tan", "asin", "acos", "atan", "atan2", "round", "heading", "rate", "least",
	"greatest", "span", "rises", "falls", "lowest", "highest", "at"}

func (o Op) String() string {
	if o < opCount {
		return opNames[o]
	}
	return fmt.Sprintf("op %d", o)
}

// Operands says how many of A and B the operation uses. A Dim counts its A.
func (o Op) Operands() int {
	switch o {
	case Const, Turn, Travel, X, Y:
		return 0
	case Add, Sub, Mul, Div, Pow, Min, Max, Hypot, Atan2, Round, Heading, Rises, Falls, Lowest, Highest, AtPlace:
		return 2
	}
	return 1
}

// SameTurn is how near the end of a closed turn a place counts as its start, rad. No proof can separate the two more
// closely, and a dead centre at the start must not become a whole turn by a rounding. It is less than the 0.001° that is
// promised for the ends of intervals.
const SameTurn = 1e-5

// Whole reports whether the operation is taken over all of the turn. At one travel setting its value is the same at every
// place of the turn.
func (o Op) Whole() bool { return o >= Least }

// IsPlace reports whether the value of the operation is a place of the turn, rad.
func (o Op) IsPlace() bool { return o >= Rises && o <= Highest }

// Uses says what the value of a node depends on, beside the dimensions.
type Uses uint8

// What a node may depend on.
const (
	UsesTurn    Uses = 1 << iota // the turn, directly
	UsesTravel                   // a travel, directly
	UsesPoints                   // the coordinates of a point
	UsesHeading                  // a heading that runs on, so that its value depends on the path to it
	UsesRate                     // a rate, so that the velocities of points are needed
	UsesWhole                    // an operation over all of the turn: least, greatest, span, a place or the value at one
)

// ownUses is what operations depend on beside their operands. Operations over the whole turn are not in it.
var ownUses = [opCount]Uses{Turn: UsesTurn, Travel: UsesTravel, X: UsesPoints, Y: UsesPoints, Heading: UsesHeading, Rate: UsesRate}

// Constant reports whether the value depends on the dimensions alone.
func (u Uses) Constant() bool { return u == 0 }

// Node is one operation of a Graph.
type Node struct {
	Op    Op
	A, B  ID      // operands, None where the operation has fewer
	Ref   int32   // index, by Op
	Value float64 // of a Const
	Uses  Uses
}

// Graph is a set of sums that share nodes. The zero Graph is empty and ready to use. It grows while a sketch is read and
// never changes after that, so many goroutines may evaluate it.
type Graph struct {
	Nodes    []Node
	Dims     []ID // node of each dimension, by its number
	Headings []ID // node of each heading that runs on
	Wholes   []ID // node of each operation over all of the turn; a nested one comes before its user

	seen    map[Node]ID
	travels []uint64 // of each node: see Travels
	rates   []int8   // of each node: see Rates
}

func (g *Graph) put(n Node) ID {
	if g.seen == nil {
		g.seen = make(map[Node]ID)
	}
	key := n
	if n.Op == Heading || n.Op.Whole() {
		key.Ref = 0 // numbered after the search, so that equal ones are shared
	}
	key.Uses = 0
	if id, ok := g.seen[key]; ok && !math.IsNaN(n.Value) {
		return id
	}
	if n.Uses = ownUses[n.Op]; n.Op.Whole() {
		n.Uses = UsesWhole
	}
	travels, rates := uint64(0), int8(0)
	if n.Op == Travel {
		travels = TravelBit(int(n.Ref))
	}
	for i, c := range []ID{n.A, n.B} {
		if c != None && !(i == 1 && n.Op.IsPlace()) { // the rate of A that it uses is a rate of A, not of it
			n.Uses |= g.Nodes[c].Uses
			travels |= g.travels[c]
			rates = max(rates, g.rates[c])
		}
	}
	switch {
	case n.Op == Rate:
		rates = min(rates+1, mostRates)
	case n.Op.Whole():
		rates = 0
	}
	g.travels, g.rates = append(g.travels, travels), append(g.rates, rates)
	id := ID(len(g.Nodes))
	switch {
	case n.Op == Heading:
		n.Ref = int32(len(g.Headings))
		g.Headings = append(g.Headings, id)
	case n.Op.Whole():
		n.Ref = int32(len(g.Wholes))
		g.Wholes = append(g.Wholes, id)
	}
	g.Nodes = append(g.Nodes, n)
	g.seen[key] = id
	return id
}

// mostRates is how deep rates are counted.
const mostRates = 100

// Rates is how deep rates are nested in a node. An operation over all of the turn is one figure, and has none.
func (g *Graph) Rates(id ID) int { return int(g.rates[id]) }

// Const returns the node of a number.
func (g *Graph) Const(v float64) ID { return g.put(Node{Op: Const, A: None, B: None, Value: v}) }

// Turn returns the node of the crank position, rad.
func (g *Graph) Turn() ID { return g.put(Node{Op: Turn, A: None, B: None}) }

// Travel returns the node of travel k.
func (g *Graph) Travel(k int) ID { return g.put(Node{Op: Travel, A: None, B: None, Ref: int32(k)}) }

// X returns the node of the x coordinate of point p.
func (g *Graph) X(p int) ID { return g.put(Node{Op: X, A: None, B: None, Ref: int32(p)}) }

// Y returns the node of the y coordinate of point p.
func (g *Graph) Y(p int) ID { return g.put(Node{Op: Y, A: None, B: None, Ref: int32(p)}) }

// Dim adds a dimension that is given by the sum a, and returns its node. Its number is len(g.Dims) before the call.
func (g *Graph) Dim(a ID) ID {
	return g.DimAs(len(g.Dims), a)
}

// DimAs adds dimension number n, given by the sum a, and returns its node. It is for dimensions that are added in another
// order than that of their numbers, since a dimension comes after those in its sum. Numbers left out are None in Dims.
func (g *Graph) DimAs(n int, a ID) ID {
	for len(g.Dims) <= n {
		g.Dims = append(g.Dims, None)
	}
	g.Dims[n] = g.put(Node{Op: Dim, A: a, B: None, Ref: int32(n)})
	return g.Dims[n]
}

// Unary returns the node of op applied to a. Constants are folded.
func (g *Graph) Unary(op Op, a ID) ID {
	if n := g.Nodes[a]; n.Op == Const && op != Rate && op < Least {
		return g.Const(apply(op, n.Value, 0))
	}
	return g.put(Node{Op: op, A: a, B: None})
}

// Binary returns the node of op applied to a and b. Constants are folded, and sums with zero or one are shortened.
func (g *Graph) Binary(op Op, a, b ID) ID {
	na, nb := g.Nodes[a], g.Nodes[b]
	if na.Op == Const && nb.Op == Const && op != Heading {
		return g.Const(apply(op, na.Value, nb.Value))
	}
	isA := func(v float64) bool { return na.Op == Const && na.Value == v }
	isB := func(v float64) bool { return nb.Op == Const && nb.Value == v }
	switch {
	case op == Add && isA(0):
		return b
	case (op == Add || op == Sub) && isB(0), (op == Mul || op == Div) && isB(1):
		return a
	case op == Mul && isA(1):
		return b
	case op == Sub && isA(0):
		return g.Unary(Neg, b)
	}
	return g.put(Node{Op: op, A: a, B: b})
}

// Place returns the node of a place of the turn: where a rises or falls past zero, or is least or greatest.
func (g *Graph) Place(op Op, a ID) ID {
	rate := None
	if g.Rates(a) < Deepest {
		rate = g.put(Node{Op: Rate, A: a, B: None})
	}
	return g.put(Node{Op: op, A: a, B: rate})
}

// AtPlace returns the node of a at a place of the turn, which must be the same over all of the turn.
func (g *Graph) AtPlace(a, place ID) ID { return g.put(Node{Op: AtPlace, A: a, B: place}) }

// Add returns a + b.
func (g *Graph) Add(a, b ID) ID { return g.Binary(Add, a, b) }

// Sub returns a - b.
func (g *Graph) Sub(a, b ID) ID { return g.Binary(Sub, a, b) }

// Mul returns a * b.
func (g *Graph) Mul(a, b ID) ID { return g.Binary(Mul, a, b) }

// Div returns a / b.
func (g *Graph) Div(a, b ID) ID { return g.Binary(Div, a, b) }

// Unclipped returns the sum within a that passes the value of past where a does: for a port opening max(0, x) that passes
// 0 it is x. A clipped sum stays at the value that it passes, so its place is hard to find.
func (g *Graph) Unclipped(a, past ID) ID {
	limit := g.Nodes[past]
	for {
		n := g.Nodes[a]
		if n.Op != Min && n.Op != Max {
			return a
		}
		clipped := func(by ID) bool { // by is at the value, or on the side where only the other counts
			c := g.Nodes[by]
			return by == past || c.Op == Const && limit.Op == Const && (c.Value == limit.Value || (c.Value > limit.Value) == (n.Op == Min))
		}
		switch {
		case clipped(n.A) && g.Nodes[n.B].Op != Const:
			a = n.B
		case clipped(n.B) && g.Nodes[n.A].Op != Const:
			a = n.A
		default:
			return a
		}
	}
}

// Uses says what the value of id depends on.
func (g *Graph) Uses(id ID) Uses { return g.Nodes[id].Uses }

// Travels says which travels the value of id depends on directly, not through points: bit k for travel k, and the last
// bit for all from the 64th on. None depends on none.
func (g *Graph) Travels(id ID) uint64 {
	if id == None {
		return 0
	}
	return g.travels[id]
}

// TravelBit is the bit of a travel in a set of travels.
func TravelBit(k int) uint64 { return 1 << min(max(k, 0), 63) }

// SameTravels reports whether same holds of each of n travels that is in a set, as Travels gives it.
func SameTravels(set uint64, n int, same func(k int) bool) bool {
	for k := range n {
		if set&TravelBit(k) != 0 && !same(k) {
			return false
		}
	}
	return true
}

// Visit calls see once for each node of some sums, and does not go to the operands of a node for which see returns false.
func (g *Graph) Visit(see func(id ID, n *Node) bool, sums ...ID) {
	seen := make(map[ID]bool)
	for open := slices.Clone(sums); len(open) > 0; {
		id := open[len(open)-1]
		open = open[:len(open)-1]
		if id == None || seen[id] {
			continue
		}
		seen[id] = true
		if n := &g.Nodes[id]; see(id, n) {
			open = append(open, n.A, n.B)
		}
	}
}

// Reached says of each node whether the values of these sums depend on it. Operands of an operation over the whole turn count only if
// deep is set.
func (g *Graph) Reached(deep bool, sums ...ID) []bool {
	need := make([]bool, slices.Max(sums)+1)
	for _, id := range sums {
		if id != None {
			need[id] = true
		}
	}
	for i := len(need) - 1; i >= 0; i-- {
		n := &g.Nodes[i]
		if !need[i] || n.Op.Whole() && !deep {
			continue
		}
		for _, o := range [2]ID{n.A, n.B} {
			if o != None {
				need[o] = true
			}
		}
	}
	return need
}

// Takes reports whether a sum, or an operand of it at any depth, is an operation for which kind returns true.
func (g *Graph) Takes(id ID, kind func(Op) bool) (takes bool) {
	g.Visit(func(_ ID, n *Node) bool {
		takes = takes || kind(n.Op)
		return !takes
	}, id)
	return takes
}

// Clone is a graph of its own that begins with the same nodes, by the same IDs.
func (g *Graph) Clone() *Graph {
	return &Graph{Nodes: slices.Clone(g.Nodes), Dims: slices.Clone(g.Dims), Headings: slices.Clone(g.Headings),
		Wholes: slices.Clone(g.Wholes), travels: slices.Clone(g.travels), rates: slices.Clone(g.rates)}
}

// Within says of each node whether the value of id depends on it.
func (g *Graph) Within(id ID) map[ID]bool {
	within := make(map[ID]bool)
	g.Visit(func(id ID, _ *Node) bool {
		within[id] = true
		return true
	}, id)
	return within
}

// Held reports whether a sum has one value all round the turn: it uses what moves only through operations over all of the
// turn.
func (g *Graph) Held(id ID) bool { return g.StaysOverTurn(id) && !g.movesBy(id, Rate) }

// StaysOverTurn reports whether a sum has one value over the whole turn: it depends on the turn only through operations over
// all of the turn, such as a least value. Travels may still change it.
func (g *Graph) StaysOverTurn(id ID) bool { return !g.movesBy(id, Turn, X, Y, Heading) }

// movesBy reports whether a sum takes one of the operations ops other than within an operation over all of the turn.
func (g *Graph) movesBy(id ID, ops ...Op) (moves bool) {
	g.Visit(func(_ ID, n *Node) bool {
		moves = moves || slices.Contains(ops, n.Op)
		return !moves && !n.Op.Whole()
	}, id)
	return moves
}

// Points lists the points whose coordinates the value of id depends on.
func (g *Graph) Points(id ID) (list []int) {
	points := make(map[int]bool)
	g.Visit(func(_ ID, n *Node) bool {
		if p := int(n.Ref); (n.Op == X || n.Op == Y) && !points[p] {
			points[p] = true
			list = append(list, p)
		}
		return n.Uses&UsesPoints != 0
	}, id)
	return list
}

// HalfSlack lets a half be a half: 6 in and 4 in are 152.4 mm and 101.6 mm, and as floats these are not quite 3 to 2. So
// Round increases the quotient by that much.
const HalfSlack = 1e-12

// apply computes one operation on numbers. Domain errors give NaN, as in package math.
func apply(op Op, a, b float64) float64 {
	if f := applied[op]; f != nil {
		return f(a, b)
	}
	return math.NaN()
}

// applied computes each operation on numbers alone.
var applied = [opCount]func(a, b float64) float64{
	Add:   func(a, b float64) float64 { return a + b },
	Sub:   func(a, b float64) float64 { return a - b },
	Mul:   func(a, b float64) float64 { return a * b },
	Div:   func(a, b float64) float64 { return a / b },
	Neg:   func(a, _ float64) float64 { return -a },
	Pow:   math.Pow,
	Sqrt:  func(a, _ float64) float64 { return math.Sqrt(a) },
	Abs:   func(a, _ float64) float64 { return math.Abs(a) },
	Min:   math.Min,
	Max:   math.Max,
	Hypot: math.Hypot,
	Sin:   func(a, _ float64) float64 { return math.Sin(a) },
	Cos:   func(a, _ float64) float64 { return math.Cos(a) },
	Tan:   func(a, _ float64) float64 { return math.Tan(a) },
	Asin:  func(a, _ float64) float64 { return math.Asin(a) },
	Acos:  func(a, _ float64) float64 { return math.Acos(a) },
	Atan:  func(a, _ float64) float64 { return math.Atan(a) },
	Atan2: math.Atan2,
	Round: func(a, b float64) float64 { return math.Round(a/b*(1+HalfSlack)) * b },
	Dim:   func(a, _ float64) float64 { return a },
}
