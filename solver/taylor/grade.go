package taylor

import "math"

// Grade computes the part of degree m of the slots from a to b, from the parts of lower degree of them all and the
// part of degree m of earlier ones.
func (s *State) Grade(m int, a, b Slot) {
	if m > 0 && s.Space.one {
		s.grade1(m, a, b)
		return
	}
	for i := a; i < b; i++ {
		if n := &s.Tape.code[i]; n.op > opParam && !s.Tape.still[i] {
			if m == 0 {
				s.head(n, i)
			} else {
				s.part(m, n, i)
			}
		}
	}
}

// grade1 is Grade for one coordinate, with the commonest operations written out.
func (s *State) grade1(m int, a, b Slot) {
	w := s.Space.N
	c := s.c
	still := s.Tape.still
	for i := a; i < b; i++ {
		if still[i] {
			continue
		}
		n := &s.Tape.code[i]
		at := int(i) * w
		switch n.op {
		case opInput, opParam:
		case opAdd:
			c[at+m] = c[int(n.a)*w+m] + c[int(n.b)*w+m]
		case opSub:
			c[at+m] = c[int(n.a)*w+m] - c[int(n.b)*w+m]
		case opNeg:
			c[at+m] = -c[int(n.a)*w+m]
		case opScale:
			c[at+m] = n.k * c[int(n.a)*w+m]
		case opTimes:
			c[at+m] = c[int(n.a)*w+m] * c[int(n.b)*w]
		case opMul:
			p, q := c[int(n.a)*w:int(n.a)*w+m+1], c[int(n.b)*w:int(n.b)*w+m+1]
			t := 0.0
			for k, x := range p {
				t += x * q[m-k]
			}
			c[at+m] = t
		case opSquare:
			p := c[int(n.a)*w : int(n.a)*w+m+1]
			t := 0.0
			for k := 0; 2*k < m; k++ {
				t += p[k] * p[m-k]
			}
			t *= 2
			if m&1 == 0 {
				t += p[m/2] * p[m/2]
			}
			c[at+m] = t
		default:
			s.part(m, n, i)
		}
	}
}

// whole is Grade of every degree for the slots from a to b: no more than one, or a sine and its cosine.
func (s *State) whole(a, b Slot) {
	m := 0
	if n := &s.Tape.code[a]; b == a+1 && n.op > opParam {
		if s.head(n, a); s.plain(n, a, 1, s.Space.N) {
			return
		}
		m = 1
	}
	for ; m <= s.Space.Order; m++ {
		s.Grade(m, a, b)
	}
}

// head computes the value of a slot at the centre of the box.
func (s *State) head(n *instr, i Slot) {
	w := s.Space.N
	a := s.c[int(n.a)*w]
	b := 0.0
	if n.b >= 0 {
		b = s.c[int(n.b)*w]
	}
	v := 0.0
	switch n.op {
	case opAdd:
		v = a + b
	case opSub:
		v = a - b
	case opNeg:
		v = -a
	case opScale:
		v = n.k * a
	case opTimes, opMul:
		v = a * b
	case opSquare:
		v = a * a
	case opDiv:
		v = a / b
	case opSqrt, opRoot:
		v = math.Sqrt(a)
	case opSin:
		v = math.Sin(a)
	case opCos:
		v = math.Cos(a)
	case opAngle:
		v = math.Atan2(a, b)
		if near, ok := s.near[i]; ok && !math.IsNaN(near) {
			v += 2 * math.Pi * math.Round((near-v)/(2*math.Pi))
		}
	case opPower:
		v = math.Pow(a, n.k)
	case opExp:
		v = math.Exp(a)
	case opLog:
		v = math.Log(a)
	case opAbs:
		v = math.Abs(a)
	case opSign:
		v = math.Copysign(1, a)
	case opLess:
		v = min(a, b)
	case opMore:
		v = max(a, b)
	case opStep:
		v = math.Round(a)
	case opWrap:
		v = a
	}
	s.c[int(i)*w] = v
}

// part computes the part of degree m > 0 of a slot. For functions it uses the series of E f(p) = f'(p)·E p, where E
// multiplies each part by its degree: it holds along every straight line through the box's centre.
func (s *State) part(m int, n *instr, i Slot) {
	sp := s.Space
	from, to := sp.At[m], sp.At[m+1]
	if s.plain(n, i, from, to) {
		return
	}
	c, p := s.Poly(i), s.Poly(n.a)
	var q []float64
	if n.b >= 0 {
		q = s.Poly(n.b)
	}
	part := c[from:to]
	clear(part)
	switch n.op {
	case opMul:
		sp.conv(c, p, q, m, 0, m)
	case opSquare:
		sp.squared(c, p, m)
	case opDiv:
		sp.conv(c, q, c, m, 1, m)
		for k := range part {
			part[k] = (p[from+k] - part[k]) / q[0]
		}
	case opSqrt, opRoot:
		sp.conv(c, c, c, m, 1, m-1)
		for k := range part {
			part[k] = (p[from+k] - part[k]) / (2 * c[0])
		}
	case opSin:
		sp.convBy(c, p, s.Poly(i+1), m, m, 0, 1/float64(m))
	case opCos:
		sp.convBy(c, p, s.Poly(i-1), m, m, 0, -1/float64(m))
	case opAngle:
		s.anglePart(m, c, p, q, s.Poly(Slot(n.k)))
	case opPower:
		sp.convBy(c, p, c, m, m, -float64(m), n.k+1)
		scalePart(part, 1/(float64(m)*p[0]))
	case opExp:
		sp.convBy(c, p, c, m, m, 0, 1/float64(m))
	case opLog:
		sp.convBy(c, c, p, m, m-1, 0, -1/float64(m))
		for k := range part {
			part[k] = (p[from+k] + part[k]) / p[0]
		}
	case opAbs:
		setPart(part, p[from:to], math.Copysign(1, p[0]))
	case opLess, opMore, opWrap:
		if n.op != opWrap && (p[0] <= q[0]) != (n.op == opLess) {
			p = q
		}
		copy(part, p[from:to])
	}
}

// plain computes the coefficients from one to another of a slot, where each follows from those of the same number of the
// operands. It returns false for sums of products.
func (s *State) plain(n *instr, i Slot, from, to int) bool {
	w := s.Space.N
	at := int(n.a) * w
	c, p := s.c[int(i)*w+from:int(i)*w+to], s.c[at+from:at+to]
	switch n.op {
	case opAdd:
		q := s.c[int(n.b)*w+from:][:len(c)]
		for k, v := range p[:len(c)] {
			c[k] = v + q[k]
		}
	case opSub:
		q := s.c[int(n.b)*w+from:][:len(c)]
		for k, v := range p[:len(c)] {
			c[k] = v - q[k]
		}
	case opNeg:
		setPart(c, p, -1)
	case opScale:
		setPart(c, p, n.k)
	case opTimes:
		setPart(c, p, s.c[int(n.b)*w])
	case opDiv:
		if !s.Tape.still[n.b] {
			return false
		}
		setPart(c, p, 1/s.c[int(n.b)*w]) // quotient allows more than this rounding
	default:
		return false
	}
	return true
}

// anglePart computes the part of degree m of the heading of (x, y) from E θ·(x² + y²) = x·E y - y·E x.
func (s *State) anglePart(m int, c, y, x, d []float64) {
	sp := s.Space
	part := c[sp.At[m]:sp.At[m+1]]
	sp.convBy(c, y, x, m, m, 0, 1)
	sp.convBy(c, x, y, m, m, 0, -1)
	sp.convBy(c, c, d, m, m-1, 0, -1)
	scalePart(part, 1/(float64(m)*d[0]))
}

func setPart(part, p []float64, k float64) {
	p = p[:len(part)]
	for i := range part {
		part[i] = k * p[i]
	}
}

func scalePart(part []float64, k float64) {
	for i := range part {
		part[i] *= k
	}
}
