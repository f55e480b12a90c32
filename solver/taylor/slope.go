package taylor

import "math"

// tangent carries derivatives through a tape: along a path on which each input of speed moves at the speed of its second
// slot, while all other inputs are fixed.
type tangent struct {
	b     *Builder
	speed map[Slot]Slot
	memo  map[Slot]Slot
}

// Slope returns the derivative of f by the input u, as further instructions. Equal parts of several slopes are shared.
func (b *Builder) Slope(f, u Slot) Slot {
	t := b.slopes[u]
	if t == nil {
		t = &tangent{b, map[Slot]Slot{u: b.Number(1)}, map[Slot]Slot{}}
		b.slopes[u] = t
	}
	if f < u {
		return b.Number(0) // made before the input was
	}
	return t.of(f)
}

// Total returns the derivative of each of f when the inputs move at the given speeds.
func (b *Builder) Total(f []Slot, speed map[Slot]Slot) []Slot {
	t := &tangent{b, speed, map[Slot]Slot{}}
	out := make([]Slot, len(f))
	for i, s := range f {
		out[i] = t.of(s)
	}
	return out
}

func (t *tangent) of(f Slot) Slot {
	if s, ok := t.speed[f]; ok {
		return s
	}
	if s, ok := t.memo[f]; ok {
		return s
	}
	s := t.step(f)
	t.memo[f] = s
	return s
}

func (t *tangent) step(f Slot) Slot {
	b, n := t.b, t.b.code[f]
	switch n.op {
	case opInput, opNumber, opParam, opSign, opStep:
		return b.Number(0)
	case opAdd:
		return b.Add(t.of(n.a), t.of(n.b))
	case opSub:
		return b.Sub(t.of(n.a), t.of(n.b))
	case opNeg:
		return b.Neg(t.of(n.a))
	case opScale:
		return b.scale(t.of(n.a), n.k)
	case opMul, opTimes:
		return b.Add(b.Mul(n.a, t.of(n.b)), b.Mul(n.b, t.of(n.a)))
	case opDiv:
		return b.Div(b.Sub(t.of(n.a), b.Mul(f, t.of(n.b))), n.b)
	case opAngle:
		return b.Div(b.Sub(b.Mul(n.b, t.of(n.a)), b.Mul(n.a, t.of(n.b))), Slot(n.k))
	case opLess, opMore:
		return b.chosen(n, t.of(n.a), t.of(n.b))
	}
	d := t.of(n.a)
	if b.isZero(d) {
		return d
	}
	return b.Mul(d, b.steepness(n, f))
}

// chosen returns the slope of the smaller or the greater of two values with slopes p and q.
func (b *Builder) chosen(n instr, p, q Slot) Slot {
	half := b.scale(b.Add(p, q), 0.5)
	diff := b.Mul(b.scale(b.Sub(p, q), 0.5), b.put(instr{op: opSign, a: Slot(n.k), b: None}))
	if n.op == opLess {
		return b.Sub(half, diff)
	}
	return b.Add(half, diff)
}

// steepness returns df/da of an operation of one operand.
func (b *Builder) steepness(n instr, f Slot) Slot {
	switch n.op {
	case opSquare:
		return b.scale(n.a, 2)
	case opSqrt, opRoot:
		return b.Div(b.Number(0.5), f)
	case opSin:
		return f + 1
	case opCos:
		return b.Neg(f - 1)
	case opPower:
		return b.scale(b.Div(f, n.a), n.k)
	case opExp:
		return f
	case opLog:
		return b.Div(b.Number(1), n.a)
	case opAbs:
		return b.put(instr{op: opSign, a: n.a, b: None})
	}
	return b.Number(1) // opWrap
}

// Steepness returns the slope of a polynomial along the first coordinate at its centre, and how far at most the slope
// differs from it where that coordinate is from -reach to reach.
func (s *Space) Steepness(c []float64, reach float64) (steep, strays float64) {
	var by [MaxOrder + 1]float64 // n·reachⁿ⁻¹
	for n, power := 1, 1.0; n <= s.Order; n, power = n+1, power*reach {
		by[n] = float64(n) * power
	}
	for i, p := range s.Powers {
		if i == 1 {
			steep = c[i]
		} else {
			strays += math.Abs(c[i]) * by[p[0]]
		}
	}
	return steep, strays * grow
}
