package expr

import (
	"maps"
	"math"
	"slices"
)

// Values is one set of dimensions put into a Graph: the value of every node that depends on dimensions alone. It never
// changes after Resolve, so many goroutines may share it.
type Values struct {
	Graph *Graph
	Node  []float64       // value of each node; NaN where it also depends on the turn, a travel or a point
	Fixed map[int]float64 // dimensions, by number, that do not follow their sum
}

// Resolve computes every constant node of g. Dimensions in fixed take that value instead of their sum's.
func Resolve(g *Graph, fixed map[int]float64) *Values {
	v := &Values{Graph: g, Node: make([]float64, 0, len(g.Nodes)), Fixed: fixed}
	v.Extend()
	return v
}

// With returns values in which the given dimensions are fixed at the given values, mm, rad or plain, instead of following
// their sums. Other dimensions stay as they are.
func (v *Values) With(change map[int]float64) *Values {
	fixed := maps.Clone(v.Fixed)
	if fixed == nil {
		fixed = map[int]float64{}
	}
	maps.Copy(fixed, change)
	return Resolve(v.Graph, fixed)
}

// Extend computes the nodes that were added to the graph since. Only the code that builds the graph uses it; finished
// Values never change.
func (v *Values) Extend() {
	for _, n := range v.Graph.Nodes[len(v.Node):] {
		v.Node = append(v.Node, v.constant(n))
	}
}

func (v *Values) constant(n Node) float64 {
	if n.Op == Const {
		return n.Value
	}
	if n.Op == Dim {
		if f, ok := v.Fixed[int(n.Ref)]; ok {
			return f
		}
	}
	if !n.Uses.Constant() {
		return math.NaN()
	}
	a, b := v.operands(v.Node, n)
	return apply(n.Op, a, b)
}

func (v *Values) operands(at []float64, n Node) (a, b float64) {
	if n.A != None {
		a = at[n.A]
	}
	if n.B != None {
		b = at[n.B]
	}
	return a, b
}

// At returns the value of a constant node; NaN if it is not constant.
func (v *Values) At(id ID) float64 { return v.Node[id] }

// Context is one position of the engine, as sums see it. Slices are indexed by travel, point, heading and whole.
type Context struct {
	Turn   float64   // rad
	Travel []float64 // mm or rad
	X, Y   []float64 // mm, of each point
	// Rates of the points by the turn, mm/rad and mm/rad²; wanted only by sums that use Rate (once, twice nested).
	DX, DY, DDX, DDY []float64
	// Heading holds the value of each heading at a position nearby, rad, from which the heading runs on. NaN or a missing
	// entry means the principal value in (-π, π].
	Heading []float64
	// Whole holds the value of each operation over all of the turn, at the current travels.
	Whole []float64
}

// Order is how many times a sum may nest Rate.
const Order = 2

// Deepest is how many times a node may nest Rate. To locate a place on a sum that nests Order rates, the rate of that sum is
// needed too. That rate is enclosed, and never evaluated.
const Deepest = Order + 1

// Eval evaluates nodes at positions. It caches what it found out about each sum, and holds scratch space; give each
// goroutine its own.
type Eval struct {
	v     *Values
	plans map[planKey]*plan
	last  *plan
}

// NewEval prepares to evaluate sums with the dimensions of v.
func NewEval(v *Values) *Eval { return &Eval{v: v} }

// Values returns the dimensions that this Eval works with.
func (e *Eval) Values() *Values { return e.v }

// planKey is a sum and the highest derivative by the turn that is wanted of it.
type planKey struct {
	root ID
	rank int8
}

// plan lists the nodes that a sum and its derivatives need, each after its operands, with room for their values.
type plan struct {
	planKey
	visits []visit
	moving int                  // the first visit that is not constant: constants come before all others
	deep   bool                 // more derivatives would be needed than Order
	value  []float64            // of each visit, where no derivative is wanted; else nil
	jet    [][Order + 1]float64 // value and derivatives by the turn of each visit, where one is wanted; else nil
}

// visit is one node of a plan: A and B of the node are its operands' places in the plan.
type visit struct {
	Node
	want int8
}

// plan finds what id and its first rank derivatives need.
func (e *Eval) plan(id ID, rank int8) *plan {
	key := planKey{id, rank}
	if e.last != nil && e.last.planKey == key {
		return e.last
	}
	p := e.plans[key]
	if p == nil {
		p = e.v.planOf(key)
		if e.plans == nil {
			e.plans = make(map[planKey]*plan)
		}
		e.plans[key] = p
	}
	e.last = p
	return p
}

func (v *Values) planOf(key planKey) *plan {
	want := map[ID]int8{}
	v.spread(key.root, key.rank, want)
	constant := func(id ID) bool { return v.Graph.Nodes[id].Uses.Constant() }
	order := slices.SortedFunc(maps.Keys(want), func(a, b ID) int {
		switch {
		case constant(a) == constant(b):
			return int(a - b)
		case constant(a):
			return -1
		}
		return 1
	})
	place := make(map[ID]ID, len(order))
	p := &plan{planKey: key, visits: make([]visit, len(order))}
	derived := false
	for i, id := range order {
		place[id] = ID(i)
		n := v.Graph.Nodes[id]
		if v.ends(n) {
			n.A, n.B = None, None
		}
		if n.Uses.Constant() {
			n.Value = v.Node[id]
			p.moving = i + 1
		}
		if n.A != None {
			n.A = place[n.A]
		}
		if n.B != None {
			n.B = place[n.B]
		}
		p.visits[i] = visit{n, want[id]}
		p.deep = p.deep || want[id] > Order
		derived = derived || want[id] > 0
	}
	p.room(derived)
	return p
}

// room makes room for values, or for derivatives as well, and puts in the constants.
func (p *plan) room(derived bool) {
	if derived {
		p.jet = make([][Order + 1]float64, len(p.visits))
	} else {
		p.value = make([]float64, len(p.visits))
	}
	for i := range p.visits[:p.moving] {
		if derived {
			p.jet[i][0] = p.visits[i].Value
		} else {
			p.value[i] = p.visits[i].Value
		}
	}
}

// spread notes what is wanted of node id and of all that it depends on.
func (v *Values) spread(id ID, rank int8, want map[ID]int8) {
	stack := []planKey{{id, rank}}
	for len(stack) > 0 {
		k := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if w, ok := want[k.root]; ok && w >= k.rank {
			continue
		}
		want[k.root] = k.rank
		n := v.Graph.Nodes[k.root]
		if v.ends(n) || k.rank > Order {
			continue
		}
		if n.Op == Rate {
			k.rank++
		}
		for _, c := range [2]ID{n.A, n.B} {
			if c != None {
				stack = append(stack, planKey{c, k.rank})
			}
		}
	}
}

// ends reports whether the evaluation of a node goes no deeper.
func (v *Values) ends(n Node) bool { return n.Uses.Constant() || n.Op.Whole() }

// At evaluates one node at a position. Where the sum has no value (a root of a negative number) the result is NaN.
func (e *Eval) At(id ID, c *Context) float64 {
	if e.v.Graph.Nodes[id].Uses.Constant() {
		return e.v.Node[id]
	}
	p := e.plan(id, 0)
	if p.value != nil {
		return p.run(c)
	}
	return p.derive(c)[0]
}

// Slope evaluates one node and its derivative by the turn over the whole motion, for which c must hold the rates of the
// points. It reports false, with the value alone, where the sum nests Rate as deep as Order and so has no further
// derivative.
func (e *Eval) Slope(id ID, c *Context) (value, rate float64, ok bool) {
	if e.v.Graph.Nodes[id].Uses.Constant() {
		return e.v.Node[id], 0, true
	}
	p := e.plan(id, 1)
	if p.deep {
		return e.At(id, c), 0, false
	}
	j := p.derive(c)
	return j[0], j[1], true
}

// run computes the values of the nodes of a plan and returns that of the last.
func (p *plan) run(c *Context) float64 {
	at := p.value
	for i := p.moving; i < len(p.visits); i++ {
		n := &p.visits[i]
		switch n.Op {
		case X:
			at[i] = index(c.X, n.Ref)
			continue
		case Y:
			at[i] = index(c.Y, n.Ref)
			continue
		case Turn:
			at[i] = c.Turn
			continue
		case Travel:
			at[i] = index(c.Travel, n.Ref)
			continue
		}
		if n.Op.Whole() {
			at[i] = index(c.Whole, n.Ref)
			continue
		}
		a, b := at[n.A], 0.0
		if n.B != None {
			b = at[n.B]
		}
		switch n.Op {
		case Add:
			at[i] = a + b
		case Sub:
			at[i] = a - b
		case Mul:
			at[i] = a * b
		case Heading:
			at[i] = p.heading(&n.Node, a, b, c)
		default:
			at[i] = apply(n.Op, a, b)
		}
	}
	return at[len(at)-1]
}

// derive computes the nodes of a plan and returns the value and derivatives of the last.
func (p *plan) derive(c *Context) [Order + 1]float64 {
	if p.deep { // a sum that nests Rate too deep has no value
		return [Order + 1]float64{math.NaN(), math.NaN(), math.NaN()}
	}
	for i := p.moving; i < len(p.visits); i++ {
		n := &p.visits[i]
		p.jet[i] = p.step(&n.Node, c, int(n.want))
	}
	return p.jet[len(p.visits)-1]
}

// heading is the value of a heading with operands y and x; NaN where its points coincide.
func (p *plan) heading(n *Node, y, x float64, c *Context) float64 {
	if near(y, x) && coincide(n, y, x, c, p.operand) {
		return math.NaN()
	}
	return HeadingNear(y, x, index(c.Heading, n.Ref))
}

// operand is a node of the plan and its value.
func (p *plan) operand(i ID) (*Node, float64) {
	if p.value != nil {
		return &p.visits[i].Node, p.value[i]
	}
	return &p.visits[i].Node, p.jet[i][0]
}

// onCut is how near half a turn, from below -π + onCut, a heading counts as half a turn, rad: a rod that points straight
// back must not start at -180° by a rounding.
const onCut = 1e-9

// HeadingNear returns the heading of (x, y), rad, that is nearest to near; the principal value in (-π, π] if near is NaN. It is
// infinite if near is: a heading of which the whole turns are not known has no value.
func HeadingNear(y, x, near float64) float64 {
	h := math.Atan2(y, x)
	if math.IsNaN(near) {
		if h < onCut-math.Pi {
			h += 2 * math.Pi
		}
		return h
	}
	if math.IsInf(near, 0) {
		return near
	}
	return h + 2*math.Pi*math.Round((near-h)/(2*math.Pi))
}

func index(s []float64, i int32) float64 {
	if int(i) < len(s) {
		return s[i]
	}
	return math.NaN()
}

// leaf is the value of a node without operands, and its derivatives by the turn up to order k.
func leaf(n *Node, c *Context, k int) [Order + 1]float64 {
	switch n.Op {
	case Turn:
		return [Order + 1]float64{c.Turn, 1}
	case Travel:
		return [Order + 1]float64{index(c.Travel, n.Ref)}
	case X:
		return point(c.X, c.DX, c.DDX, n.Ref, k)
	case Y:
		return point(c.Y, c.DY, c.DDY, n.Ref, k)
	}
	return [Order + 1]float64{index(c.Whole, n.Ref)}
}

// step computes one node's value and its derivatives by the turn up to order k; its operands are in the plan.
func (p *plan) step(n *Node, c *Context, k int) (j [Order + 1]float64) {
	switch {
	case n.Op.Operands() == 0, n.Op.Whole():
		return leaf(n, c, k)
	case n.Op == Rate:
		a := p.jet[n.A]
		copy(j[:], a[1:])
		return j
	}
	var a, b [Order + 1]float64
	if n.A != None {
		a = p.jet[n.A]
	}
	if n.B != None {
		b = p.jet[n.B]
	}
	var f float64
	if n.Op == Heading {
		f = p.heading(n, a[0], b[0], c)
	} else {
		f = apply(n.Op, a[0], b[0])
	}
	return carry(n.Op, a, b, f, k)
}

// carry computes the derivatives of one operation with value f from those of its operands, up to order k.
func carry(op Op, a, b [Order + 1]float64, f float64, k int) (j [Order + 1]float64) {
	j[0] = f
	if k == 0 {
		return j
	}
	fa, fb := slopes(op, a[0], b[0], f)
	j[1] = chain(fa, a[1]) + chain(fb, b[1])
	if k > 1 {
		faa, fab, fbb := curvatures(op, a[0], b[0], f)
		j[2] = chain(fa, a[2]) + chain(fb, b[2]) + chain(faa, a[1]*a[1]) + 2*chain(fab, a[1]*b[1]) + chain(fbb, b[1]*b[1])
	}
	return j
}

// chain multiplies, but a constant operand adds nothing even where the slope is infinite.
func chain(f, d float64) float64 {
	if d == 0 {
		return 0
	}
	return f * d
}

func point(v, d, dd []float64, p int32, k int) (j [Order + 1]float64) {
	j[0] = index(v, p)
	if k > 0 {
		j[1] = index(d, p)
	}
	if k > 1 {
		j[2] = index(dd, p)
	}
	return j
}
