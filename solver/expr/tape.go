package expr

import (
	"cmp"
	"slices"
)

// Tape computes a fixed list of sums that depend on dimensions, the turn and the travels only. It is made once and run
// at every position: nothing is looked up and nothing allocated. It holds scratch space; give each goroutine its own.
type Tape struct {
	code    []move
	reg     []float64 // registers: the turn, the travels, constants, results
	ids     []ID      // of each sum
	out     []int32   // its register
	travels int
	by      []int32              // of each register, the operation that computes it; -1 for none
	seen    []bool               // of each operation; room for Part, false between uses
	jet     [][Order + 1]float64 // of each register, made when first wanted
}

// move is one operation on registers.
type move struct {
	op      Op
	a, b, z int32
}

// NewTape prepares to compute the sums ids with the dimensions of v. It returns nil if one of them also depends on
// points, or is None.
func NewTape(v *Values, ids []ID, travels int) *Tape {
	t := &Tape{reg: make([]float64, 1+travels), travels: travels}
	b := taper{v: v, t: t, at: make(map[ID]int32)}
	for _, id := range ids {
		if id == None || v.Graph.Uses(id)&^(UsesTurn|UsesTravel) != 0 {
			return nil
		}
		z, ok := b.put(id)
		if !ok {
			return nil
		}
		t.ids = append(t.ids, id)
		t.out = append(t.out, z)
	}
	t.by = make([]int32, len(t.reg))
	for z := range t.by {
		t.by[z] = -1
	}
	for i := range t.code {
		t.by[t.code[i].z] = int32(i)
	}
	return t
}

type taper struct {
	v  *Values
	t  *Tape
	at map[ID]int32
}

// put appends what computes node id and returns its register.
func (b *taper) put(id ID) (int32, bool) {
	if z, ok := b.at[id]; ok {
		return z, true
	}
	n := b.v.Graph.Nodes[id]
	t := b.t
	m := move{op: n.Op, a: -1, b: -1}
	switch {
	case n.Uses.Constant():
		m.z = int32(len(t.reg))
		t.reg = append(t.reg, b.v.Node[id])
		b.at[id] = m.z
		return m.z, true
	case n.Op == Turn:
		return 0, true
	case n.Op == Travel:
		return 1 + n.Ref, int(n.Ref) < t.travels
	}
	ok := true
	if n.A != None {
		m.a, ok = b.put(n.A)
	}
	if ok && n.B != None {
		m.b, ok = b.put(n.B)
	}
	m.z = int32(len(t.reg))
	t.reg = append(t.reg, 0)
	t.code = append(t.code, m)
	b.at[id] = m.z
	return m.z, ok
}

// Clone returns a Tape that can be run beside this one.
func (t *Tape) Clone() *Tape {
	c := *t
	c.reg = append([]float64(nil), t.reg...)
	c.jet, c.seen = nil, nil
	return &c
}

// Part puts into part a Tape of some of the sums of t, by their places in the list that t was made from. It uses the
// registers of t, so it is valid only as long as t.
func (t *Tape) Part(part *Tape, sums []int32) {
	if t.jet == nil {
		t.makeJet()
	}
	if t.seen == nil {
		t.seen = make([]bool, len(t.code))
	}
	p := Tape{code: part.code[:0], ids: part.ids[:0], out: part.out[:0],
		reg: t.reg, jet: t.jet, by: t.by, travels: t.travels}
	for _, i := range sums {
		p.ids, p.out = append(p.ids, t.ids[i]), append(p.out, t.out[i])
		p.code = t.want(p.code, t.out[i])
	}
	for i := 0; i < len(p.code); i++ {
		p.code = t.want(p.code, p.code[i].a)
		p.code = t.want(p.code, p.code[i].b)
	}
	slices.SortFunc(p.code, func(a, b move) int { return cmp.Compare(a.z, b.z) }) // each only uses registers before its own
	for i := range p.code {
		t.seen[t.by[p.code[i].z]] = false
	}
	*part = p
}

// want adds the operation that computes a register, if there is one that was not added yet.
func (t *Tape) want(code []move, reg int32) []move {
	if reg < 0 || t.by[reg] < 0 || t.seen[t.by[reg]] {
		return code
	}
	t.seen[t.by[reg]] = true
	return append(code, t.code[t.by[reg]])
}

// Sums lists the sums, in the order in which they were given. The caller must not change it.
func (t *Tape) Sums() []ID { return t.ids }

// Run puts the value of each sum at a position into its place in node, a list by node as in Values.
func (t *Tape) Run(turn float64, travel []float64, node []float64) {
	t.set(turn, travel)
	reg := t.reg
	for _, m := range t.code {
		a := reg[m.a]
		b := 0.0
		if m.b >= 0 {
			b = reg[m.b]
		}
		switch m.op {
		case Add:
			reg[m.z] = a + b
		case Sub:
			reg[m.z] = a - b
		case Mul:
			reg[m.z] = a * b
		default:
			reg[m.z] = apply(m.op, a, b)
		}
	}
	for i, z := range t.out {
		node[t.ids[i]] = reg[z]
	}
}

func (t *Tape) set(turn float64, travel []float64) {
	t.reg[0] = turn
	for i := range t.travels {
		t.reg[1+i] = index(travel, int32(i))
	}
}

// Along puts the value of each sum and its derivatives into out, as the turn and the travels move along a line: turn +
// k·τ and travel + along·τ at τ = 0. With k = 1 and no along these are the derivatives by the turn.
func (t *Tape) Along(turn, k float64, travel, along []float64, out [][Order + 1]float64) {
	t.set(turn, travel)
	if t.jet == nil {
		t.makeJet()
	}
	jet := t.jet
	jet[0] = [Order + 1]float64{turn, k}
	for i := range t.travels {
		jet[1+i] = [Order + 1]float64{t.reg[1+i]}
		if i < len(along) {
			jet[1+i][1] = along[i]
		}
	}
	for _, m := range t.code {
		var b [Order + 1]float64
		if m.b >= 0 {
			b = jet[m.b]
		}
		jet[m.z] = carry(m.op, jet[m.a], b, apply(m.op, jet[m.a][0], b[0]), Order)
	}
	for i, z := range t.out {
		out[i] = jet[z]
	}
}

// makeJet allocates the derivatives. Those of constants never change.
func (t *Tape) makeJet() {
	t.jet = make([][Order + 1]float64, len(t.reg))
	for i, v := range t.reg {
		t.jet[i] = [Order + 1]float64{v}
	}
}
