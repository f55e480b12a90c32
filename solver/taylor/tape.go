package taylor

import (
	"math"

	"barover/solver/expr"
)

// Slot names a value of a Tape: the place of the instruction that makes it.
type Slot int32

// None is no slot.
const None Slot = -1

type op uint8

const (
	opInput  op = iota // given from outside: an unknown, or a point found before
	opNumber           // k
	opParam            // the parameter a of the box: centre and half widths are put in from outside
	opAdd
	opSub
	opNeg
	opScale // k·a
	opTimes // a·b where b is constant
	opMul
	opSquare
	opDiv
	opSqrt
	opRoot  // √a of a sum of squares, which may reach zero
	opSin   // of a; the cosine is in the next slot
	opCos   // follows opSin; a is the angle
	opAngle // heading of (b, a), continued from the value given by Near; k is the slot of the squared length
	opPower // a^k, a > 0
	opAbs   // |a|
	opSign  // of a
	opExp   // e^a
	opLog   // ln a, a > 0
	opLess  // min(a, b); k is the slot of a - b
	opMore  // max(a, b); k is the slot of a - b
	opStep  // a to the nearest whole number
	opWrap  // the angle a where it stays within (-π, π]
)

type instr struct {
	op   op
	a, b Slot
	k    float64
}

// Tape is a list of instructions, each of which refers to earlier ones only. Make it with a Builder; many States may
// run one Tape at the same time.
type Tape struct {
	code  []instr
	still []bool // the same all over the box, except for rounding
	above []bool // nowhere below zero, by its operations
}

// Len returns the number of slots.
func (t *Tape) Len() int { return len(t.code) }

// Builder makes a Tape.
type Builder struct {
	Tape
	seen   map[instr]Slot
	slopes map[Slot]*tangent
}

// NewBuilder returns a Builder with an empty Tape.
func NewBuilder() *Builder {
	return &Builder{seen: map[instr]Slot{}, slopes: map[Slot]*tangent{}}
}

// Fence stops later instructions from being shared with those from the slot from on: what was computed with an unknown's
// first radius must be computed again with its last. Parameters have only one.
func (b *Builder) Fence(from Slot) { b.fence(from, opParam) }

// Abandon stops later instructions from being shared with those from the slot from on, which are never computed.
func (b *Builder) Abandon(from Slot) { b.fence(from, opNumber) }

func (b *Builder) fence(from Slot, shared op) {
	for _, n := range b.code[from:] {
		if n.op != opNumber && n.op != shared {
			delete(b.seen, n)
		}
	}
	b.slopes = map[Slot]*tangent{}
}

func (b *Builder) put(n instr) Slot {
	if s, ok := b.seen[n]; ok {
		return s
	}
	s := b.add(n)
	b.seen[n] = s
	return s
}

func (b *Builder) add(n instr) Slot {
	still := n.op == opNumber
	if n.op > opParam && n.op != opAngle { // the value of an angle is chosen later
		still = b.still[n.a] && (n.b < 0 || b.still[n.b])
	}
	b.code = append(b.code, n)
	b.still = append(b.still, still)
	b.above = append(b.above, b.neverBelow(n))
	return Slot(len(b.code) - 1)
}

// neverBelow reports whether a value is nowhere below zero whatever the inputs are.
func (b *Builder) neverBelow(n instr) bool {
	switch n.op {
	case opNumber:
		return n.k >= 0
	case opAbs, opSquare, opSqrt, opRoot, opPower, opExp:
		return true
	case opAdd, opMul, opTimes, opDiv, opLess:
		return b.above[n.a] && b.above[n.b]
	case opMore:
		return b.above[n.a] || b.above[n.b]
	case opScale:
		return n.k >= 0 && b.above[n.a]
	}
	return false
}

// Mark returns the slot that the next new instruction will have.
func (b *Builder) Mark() Slot { return Slot(len(b.code)) }

// Input returns a new slot that is filled from outside. It has a value once Fill or Radii has passed over it.
func (b *Builder) Input() Slot {
	return b.add(instr{op: opInput, a: None, b: None})
}

// Number returns the slot of a number.
func (b *Builder) Number(k float64) Slot { return b.put(instr{op: opNumber, a: None, b: None, k: k}) }

// Param returns the slot of the parameter j of the box: 0 the turn, 1 and on the travels.
func (b *Builder) Param(j int) Slot { return b.put(instr{op: opParam, a: Slot(j), b: None}) }

// Value returns the number that a slot holds, if it holds one.
func (b *Builder) Value(s Slot) (float64, bool) {
	n := b.code[s]
	return n.k, n.op == opNumber
}

func (b *Builder) isZero(s Slot) bool {
	k, ok := b.Value(s)
	return ok && k == 0
}

// Add returns p + q.
func (b *Builder) Add(p, q Slot) Slot {
	switch {
	case b.isZero(p):
		return q
	case b.isZero(q):
		return p
	}
	return b.put(instr{op: opAdd, a: min(p, q), b: max(p, q)})
}

// Sub returns p - q.
func (b *Builder) Sub(p, q Slot) Slot {
	switch {
	case b.isZero(q):
		return p
	case b.isZero(p):
		return b.Neg(q)
	case p == q:
		return b.Number(0)
	}
	return b.put(instr{op: opSub, a: p, b: q})
}

// Neg returns -p.
func (b *Builder) Neg(p Slot) Slot {
	switch n := b.code[p]; n.op {
	case opNumber:
		return b.Number(-n.k)
	case opNeg:
		return n.a
	}
	return b.put(instr{op: opNeg, a: p, b: None})
}

// Mul returns p·q.
func (b *Builder) Mul(p, q Slot) Slot {
	if k, ok := b.Value(q); ok {
		if _, both := b.Value(p); !both {
			return b.scale(p, k)
		}
	}
	if k, ok := b.Value(p); ok {
		return b.scale(q, k)
	}
	switch {
	case p == q:
		return b.put(instr{op: opSquare, a: p, b: None})
	case b.still[p] && !b.still[q]:
		return b.put(instr{op: opTimes, a: q, b: p})
	case b.still[q] && !b.still[p]:
		return b.put(instr{op: opTimes, a: p, b: q})
	}
	return b.put(instr{op: opMul, a: min(p, q), b: max(p, q)})
}

func (b *Builder) scale(p Slot, k float64) Slot {
	switch k {
	case 0:
		return b.Number(0)
	case 1:
		return p
	case -1:
		return b.Neg(p)
	}
	return b.put(instr{op: opScale, a: p, b: None, k: k})
}

// Div returns p/q. Zero divided by a variable stays a quotient: where the divisor may be zero too, there is no enclosure.
func (b *Builder) Div(p, q Slot) Slot {
	if k, ok := b.Value(q); ok && (k == 1 || k != 0 && b.isZero(p)) {
		return p
	}
	return b.put(instr{op: opDiv, a: p, b: q})
}

// Sqrt returns √p.
func (b *Builder) Sqrt(p Slot) Slot { return b.put(instr{op: opSqrt, a: p, b: None}) }

// Hypot returns √(p² + q²). Where it may reach zero it is enclosed by a constant.
func (b *Builder) Hypot(p, q Slot) Slot {
	return b.put(instr{op: opRoot, a: b.Add(b.Mul(p, p), b.Mul(q, q)), b: None})
}

// Sin returns sin p.
func (b *Builder) Sin(p Slot) Slot {
	n := instr{op: opSin, a: p, b: None}
	if s, ok := b.seen[n]; ok {
		return s
	}
	s := b.put(n)
	b.add(instr{op: opCos, a: p, b: None})
	return s
}

// Cos returns cos p.
func (b *Builder) Cos(p Slot) Slot { return b.Sin(p) + 1 }

// Angle returns the heading of (x, y) without a jump on the box. It is the principal value at the box's centre unless
// State.Near sets another.
func (b *Builder) Angle(y, x Slot) Slot {
	d := b.Add(b.Mul(x, x), b.Mul(y, y))
	return b.put(instr{op: opAngle, a: y, b: x, k: float64(d)})
}

// running returns a heading that is shared with no other, since State.Near sets its value.
func (b *Builder) running(y, x Slot) Slot {
	d := b.Add(b.Mul(x, x), b.Mul(y, y))
	return b.add(instr{op: opAngle, a: y, b: x, k: float64(d)})
}

// Wrap returns the angle p, which is a principal value at the box's centre, where it does not pass ±π on the box.
func (b *Builder) Wrap(p Slot) Slot { return b.put(instr{op: opWrap, a: p, b: None}) }

// Power returns p^k for a number k.
func (b *Builder) Power(p Slot, k float64) Slot {
	switch {
	case k == 0:
		return b.Number(1)
	case k < 0 && k == math.Trunc(k) || k == -0.5:
		return b.Div(b.Number(1), b.Power(p, -k))
	case k == 0.5:
		return b.Sqrt(p)
	case k == math.Trunc(k) && k <= 64:
		return b.whole(p, int(k))
	}
	return b.put(instr{op: opPower, a: p, b: None, k: k})
}

// Raise returns p^q where q varies too, for p > 0.
func (b *Builder) Raise(p, q Slot) Slot {
	ln := b.put(instr{op: opLog, a: p, b: None})
	return b.put(instr{op: opExp, a: b.Mul(ln, q), b: None})
}

func (b *Builder) whole(p Slot, k int) Slot {
	switch {
	case k == 1:
		return p
	case k%2 == 0:
		h := b.whole(p, k/2)
		return b.Mul(h, h)
	}
	return b.Mul(p, b.whole(p, k-1))
}

// Abs returns |p|.
func (b *Builder) Abs(p Slot) Slot { return b.put(instr{op: opAbs, a: p, b: None}) }

// Min returns the smaller of p and q.
func (b *Builder) Min(p, q Slot) Slot { return b.choose(opLess, p, q) }

// Max returns the greater of p and q.
func (b *Builder) Max(p, q Slot) Slot { return b.choose(opMore, p, q) }

func (b *Builder) choose(o op, p, q Slot) Slot {
	if p == q {
		return p
	}
	d := b.Sub(p, q)
	return b.put(instr{op: o, a: p, b: q, k: float64(d)})
}

// Round returns p to the nearest multiple of q, halves away from zero, with the same rule for a half as expr.Round.
func (b *Builder) Round(p, q Slot) Slot {
	return b.Mul(b.put(instr{op: opStep, a: b.scale(b.Div(p, q), 1+expr.HalfSlack), b: None}), q)
}

// Still reports whether a slot is constant: the same value over every box.
func (t *Tape) Still(s Slot) bool { return t.still[s] }

// NeverBelow reports whether a slot is nowhere below zero by its form.
func (t *Tape) NeverBelow(s Slot) bool { return t.above[s] }

// ParamOf returns the parameter of the box that a slot is, if it is one.
func (t *Tape) ParamOf(s Slot) (j int, ok bool) {
	n := &t.code[s]
	return int(n.a), n.op == opParam
}

// Operands appends the slots that a slot is computed from.
func (t *Tape) Operands(list []Slot, i Slot) []Slot {
	n := &t.code[i]
	if n.op <= opParam {
		return list
	}
	list = append(list, n.a)
	if n.b >= 0 {
		list = append(list, n.b)
	}
	switch n.op {
	case opAngle, opLess, opMore:
		list = append(list, Slot(n.k))
	}
	return list
}
