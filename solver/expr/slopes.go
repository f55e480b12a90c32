package expr

import "math"

// slopes returns ∂f/∂a and ∂f/∂b of one operation with value f. They are zero for missing operands.
func slopes(op Op, a, b, f float64) (fa, fb float64) {
	switch op {
	case Add:
		return 1, 1
	case Sub:
		return 1, -1
	case Mul:
		return b, a
	case Div:
		return 1 / b, -f / b
	case Neg:
		return -1, 0
	case Dim:
		return 1, 0
	case Pow:
		fb = f * math.Log(a)
		if a <= 0 {
			fb = 0 // a whole power of a negative number: the power itself cannot move
		}
		return b * math.Pow(a, b-1), fb
	case Sqrt:
		return 0.5 / f, 0
	case Abs:
		return math.Copysign(1, a), 0
	case Min:
		if a <= b {
			return 1, 0
		}
		return 0, 1
	case Max:
		if a >= b {
			return 1, 0
		}
		return 0, 1
	case Hypot:
		return a / f, b / f
	case Sin:
		return math.Cos(a), 0
	case Cos:
		return -math.Sin(a), 0
	case Tan:
		return 1 + f*f, 0
	case Asin:
		return 1 / math.Sqrt(1-a*a), 0
	case Acos:
		return -1 / math.Sqrt(1-a*a), 0
	case Atan:
		return 1 / (1 + a*a), 0
	case Atan2, Heading:
		r := a*a + b*b
		return b / r, -a / r
	case Round:
		return 0, f / b // depends on its step only
	}
	return 0, 0
}

// curvatures returns the second derivatives of one operation with value f.
func curvatures(op Op, a, b, f float64) (faa, fab, fbb float64) {
	switch op {
	case Mul:
		return 0, 1, 0
	case Div:
		return 0, -1 / (b * b), 2 * f / (b * b)
	case Pow:
		faa = b * (b - 1) * math.Pow(a, b-2)
		if a > 0 {
			l := math.Log(a)
			fab = math.Pow(a, b-1) * (1 + b*l)
			fbb = f * l * l
		}
		return faa, fab, fbb
	case Sqrt:
		return -0.25 / (f * f * f), 0, 0
	case Hypot:
		r3 := f * f * f
		return b * b / r3, -a * b / r3, a * a / r3
	case Sin, Cos:
		return -f, 0, 0
	case Tan:
		return 2 * f * (1 + f*f), 0, 0
	case Asin:
		return a / math.Pow(1-a*a, 1.5), 0, 0
	case Acos:
		return -a / math.Pow(1-a*a, 1.5), 0, 0
	case Atan:
		d := 1 + a*a
		return -2 * a / (d * d), 0, 0
	case Atan2, Heading:
		r := a*a + b*b
		return -2 * a * b / (r * r), (a*a - b*b) / (r * r), 2 * a * b / (r * r)
	}
	return 0, 0, 0
}

// Gradient is the derivatives of one result by everything that can move it.
type Gradient struct {
	Dim    []float64 // by each dimension, through everything that follows from it
	X, Y   []float64 // by the coordinates of each point
	Turn   float64   // by the turn, points held
	Travel []float64 // by each travel, points held
	Whole  []float64 // by each operation over all of the turn; nil where sums must not use one
}

// NewGradient returns a gradient of zero for a graph with that many points and travels.
func NewGradient(g *Graph, points, travels int) *Gradient {
	return &Gradient{Dim: make([]float64, len(g.Dims)), X: make([]float64, points), Y: make([]float64, points),
		Travel: make([]float64, travels)}
}

// Seed is a node and the derivative of a result by that node.
type Seed struct {
	Node   ID
	Weight float64
}

// Backward adds to grad the derivative of Σ weight·node at the position c, by one pass from the last node to the first. A
// dimension with a fixed value keeps its own derivative but passes nothing on to the sum that would give it. A seed at
// None adds nothing. It reports false, with grad unchanged, if a sum takes a rate, which it cannot differentiate, or if
// it takes an operation over all of the turn and grad.Whole is nil.
func (e *Eval) Backward(seeds []Seed, c *Context, grad *Gradient) bool {
	sums := []ID{None}
	for _, s := range seeds {
		sums = append(sums, s.Node)
	}
	need := e.v.Graph.Reached(false, sums...)
	for i, n := range e.v.Graph.Nodes[:len(need)] {
		if need[i] && (n.Op == Rate || (n.Op.Whole() && grad.Whole == nil)) {
			return false
		}
	}
	adj := make([]float64, len(need))
	for _, s := range seeds {
		if s.Node != None {
			adj[s.Node] += s.Weight
		}
	}
	value := make([]float64, len(need))
	e.fill(value, need, c)
	for i := len(need) - 1; i >= 0; i-- {
		if adj[i] != 0 {
			e.push(ID(i), adj, value, grad)
		}
	}
	return true
}

// fill computes the value of every node that is needed.
func (e *Eval) fill(value []float64, need []bool, c *Context) {
	nodes := e.v.Graph.Nodes
	for i := range value {
		if !need[i] {
			continue
		}
		n := nodes[i]
		switch {
		case n.Uses.Constant():
			value[i] = e.v.Node[i]
		case n.Op == Heading:
			value[i] = HeadingNear(value[n.A], value[n.B], index(c.Heading, n.Ref))
			if near(value[n.A], value[n.B]) && coincide(&n, value[n.A], value[n.B], c, func(i ID) (*Node, float64) { return &nodes[i], value[i] }) {
				value[i] = math.NaN()
			}
		case n.Op.Operands() == 0 || n.Op.Whole():
			value[i] = leaf(&n, c, 0)[0]
		default:
			a, b := e.v.operands(value, n)
			value[i] = apply(n.Op, a, b)
		}
	}
}

// push passes the derivative by node i on to its operands.
func (e *Eval) push(i ID, adj, value []float64, grad *Gradient) {
	n := e.v.Graph.Nodes[i]
	if n.Op.Whole() {
		grad.Whole[n.Ref] += adj[i]
		return
	}
	switch n.Op {
	case Turn:
		grad.Turn += adj[i]
	case Travel:
		grad.Travel[n.Ref] += adj[i]
	case X:
		grad.X[n.Ref] += adj[i]
	case Y:
		grad.Y[n.Ref] += adj[i]
	case Dim:
		grad.Dim[n.Ref] += adj[i]
		if _, fixed := e.v.Fixed[int(n.Ref)]; fixed {
			return
		}
	}
	a, b := e.v.operands(value, n)
	fa, fb := slopes(n.Op, a, b, value[i])
	if n.A != None {
		adj[n.A] += chain(fa, adj[i])
	}
	if n.B != None {
		adj[n.B] += chain(fb, adj[i])
	}
}
