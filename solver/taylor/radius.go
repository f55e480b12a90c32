package taylor

import "math"

// Fill computes the slots from a to b, polynomials and radii. It reports whether all could be enclosed. Where a function
// has a kink on the box, another polynomial that fits better may replace its own.
func (s *State) Fill(a, b Slot) bool {
	for i := a; i < b; i++ {
		if s.Tape.still[i] {
			if !s.enclosed(i) {
				return false
			}
			continue
		}
		end := i + 1
		if s.Tape.code[i].op == opSin {
			end++
		}
		s.whole(i, end)
		s.Sizes(i, end)
		for ; i < end; i++ {
			if !s.radius(i, s.all(i), true) {
				return false
			}
		}
		i--
	}
	return true
}

// Radii computes the radii of the slots from a to b, whose polynomials have been computed, from those of their
// operands. It reports whether all could be enclosed.
func (s *State) Radii(a, b Slot) bool {
	s.Sizes(a, b)
	return s.RadiiAgain(a, b)
}

// RadiiAgain is Radii for polynomials that have not changed since Sizes or Radii last passed over them.
func (s *State) RadiiAgain(a, b Slot) bool {
	for i := a; i < b; i++ {
		if s.Tape.still[i] {
			if !s.enclosed(i) {
				return false
			}
			continue
		}
		if !s.radius(i, s.all(i), false) {
			return false
		}
	}
	return true
}

// Sizes sums up the sizes of the coefficients of the slots from a to b, degree by degree.
func (s *State) Sizes(a, b Slot) {
	for i := a; i < b; i++ {
		if !s.Tape.still[i] {
			s.sizes(i)
		}
	}
}

// enclosed reports whether a constant slot could be enclosed when the State was made.
func (s *State) enclosed(i Slot) bool { return s.rad[i] < most }

// settle computes every constant slot, once for all boxes. An input has no value until Fill or Radii has passed over it,
// so a slot that depends on a forgotten input has no enclosure.
func (s *State) settle() {
	for i := range s.Tape.code {
		i := Slot(i)
		n := &s.Tape.code[i]
		if n.op == opInput || n.op == opParam {
			s.norms(i)[0] = math.NaN()
		}
		if !s.Tape.still[i] {
			continue
		}
		if n.op == opNumber {
			if s.level(i, n.k); !(math.Abs(n.k) < most) {
				s.rad[i] = math.Inf(1)
			}
			continue
		}
		s.head(n, i)
		if n.op == opSin {
			s.head(&s.Tape.code[i+1], i+1)
			s.sizes(i + 1)
		}
		if !s.radius(i, s.sizes(i), true) {
			s.rad[i] = math.Inf(1)
		}
	}
}

// radius computes the radius of one slot; all is the sum of its sizes. If free, the polynomial may be changed too.
func (s *State) radius(i Slot, all float64, free bool) bool {
	n := &s.Tape.code[i]
	var r float64
	switch n.op {
	case opParam, opInput:
		r = s.rad[i]
		return r >= 0 && all+r < math.MaxFloat64
	case opAdd, opSub:
		r = s.rad[n.a] + s.rad[n.b] + ulp*all
	case opNeg:
		r = s.rad[n.a]
	case opScale:
		r = math.Abs(n.k)*s.rad[n.a] + ulp*all
	case opTimes:
		r = s.times(n, all)
	case opMul, opSquare:
		r = s.product(n)
	case opDiv:
		r = s.quotient(n, i)
	case opSqrt, opRoot:
		r = s.root(n, i, free)
	case opSin:
		r = s.turned(n, i, i+1)
	case opCos:
		r = s.rad[i-1]
	case opAngle:
		r = s.angle(n, i)
	case opPower:
		r = s.power(n, i, free)
	case opExp:
		r = s.exp(n, i)
	case opLog:
		r = s.log(n, i)
	default:
		r = s.kinked(n, i, free)
	}
	r = r*grow + tiny
	s.rad[i] = r
	return r < most
}

// times bounds the radius of a·b where b is constant.
func (s *State) times(n *instr, all float64) float64 {
	b := math.Abs(s.c[int(n.b)*s.Space.N])
	r := b*s.rad[n.a] + ulp*all
	if rb := s.rad[n.b]; rb > 0 {
		r += rb * (s.all(n.a) + s.rad[n.a])
	}
	return r
}

func (s *State) product(n *instr) float64 {
	b := n.b
	if n.op == opSquare {
		b = n.a
	}
	over, all1, all2 := s.overflow(n.a, b)
	ra, rb := s.rad[n.a], s.rad[b]
	return over + all1*rb + all2*ra + ra*rb + s.Space.eps*all1*all2
}

// overflow bounds the part of degree above Order of the product of two polynomials, and returns the sizes of both.
func (s *State) overflow(a, b Slot) (over, allA, allB float64) {
	ga, gb := s.norms(a), s.norms(b)
	k := s.Space.Order
	tail := 0.0
	for i := 1; i <= k; i++ {
		tail += gb[k+1-i]
		over += ga[i] * tail
		allA += ga[i]
	}
	return s.Space.kept * over, allA + ga[0], tail + gb[0]
}

// overflowBy is overflow with the product of the parts i and j multiplied by |w·i + v·j| / (i + j).
func (s *State) overflowBy(a, b Slot, w, v float64) float64 {
	ga, gb := s.norms(a), s.norms(b)
	k := s.Space.Order
	over := 0.0
	for i := 1; i <= k; i++ {
		if ga[i] == 0 {
			continue
		}
		for j := k + 1 - i; j <= k; j++ {
			over += ga[i] * gb[j] * (math.Abs(w*float64(i)+v*float64(j)) / float64(i+j))
		}
	}
	return s.Space.kept * over
}

// quotient: with c = a/b, the true quotient less c is (a - c·b) over the true divisor.
func (s *State) quotient(n *instr, i Slot) float64 {
	least := s.leastSize(n.b)
	over, allB, allC := s.overflow(n.b, i)
	r := over + s.Space.eps*(s.all(n.a)+allB*allC) + s.rad[n.a] + allC*s.rad[n.b]
	return over0(r, least)
}

// over0 returns r/d for d > 0, +Inf otherwise.
func over0(r, d float64) float64 {
	if !(d > 0) {
		return math.Inf(1)
	}
	return r / d
}

// leastSize returns a lower bound of |a| over the box, zero or less where there is none.
func (s *State) leastSize(a Slot) float64 {
	lo, hi := s.Range(a)
	return max(lo, -hi)
}

// root: with c = √a, the true root less c is (a - c²) over their sum.
func (s *State) root(n *instr, i Slot, free bool) float64 {
	lo, hi := s.Range(n.a)
	if (n.op == opRoot || s.ends) && !(lo > 0) && hi < math.MaxFloat64 {
		s.doubt = s.doubt || !s.Tape.above[n.a]
		return s.lowRoot(i, math.Sqrt(max(hi, 0))*(1+ulp), free)
	}
	g := s.norms(i)
	tail := SizeOf(g[1:])
	if !(lo > 0) {
		return math.Inf(1)
	}
	sum := math.Sqrt(lo)*(1-2*ulp) + max(0, g[0]-tail*grow)
	over, all, _ := s.overflow(i, i)
	return over0(over+s.Space.eps*(s.all(n.a)+all*all)+s.rad[n.a], sum)
}

// lowRoot encloses a root or power between zero and top.
func (s *State) lowRoot(i Slot, top float64, free bool) float64 {
	if !free {
		return math.Inf(1)
	}
	s.level(i, top/2)
	return top/2 + ulp*top
}

// level makes the polynomial of a slot the number v.
func (s *State) level(i Slot, v float64) {
	p := s.Poly(i)
	copy(p, s.zero)
	p[0] = v
	g := s.norms(i)
	copy(g, s.zero)
	g[0] = math.Abs(v)
}

// turned bounds the sine and the cosine of a at once. With z their complex number, z' - i·a'·z along a straight line from
// the centre has only the products that overflow, and z turned back by a differs from its start by the integral.
func (s *State) turned(n *instr, sin, cos Slot) float64 {
	over := s.overflowBy(n.a, sin, 1, 0) + s.overflowBy(n.a, cos, 1, 0)
	z := s.all(sin) + s.all(cos)
	return over + s.Space.eps*z*(1+s.all(n.a)) + 4*ulp + s.rad[n.a]
}

// angle: along a straight line from the centre the slope of the true heading minus that of c is the overflow of x·y' -
// y·x' - c'·(x² + y²), over x² + y².
func (s *State) angle(n *instr, i Slot) float64 {
	d := Slot(n.k)
	lo, _ := s.Range(d)
	g := s.norms(i)
	tail := SizeOf(g[1:])
	yx := s.all(n.a) * s.all(n.b)
	r := s.overflowBy(n.a, n.b, 1, -1) + s.overflowBy(i, d, 1, 0)
	r += tail*s.rad[d] + s.Space.eps*(2*yx+tail*s.all(d))
	if !(lo > 0) {
		return math.Inf(1)
	}
	// Where x and y are off by their radii, the heading is off by at most a quarter turn's arc over the chord.
	off := (s.rad[n.a] + s.rad[n.b]) * (math.Pi / 2) / (math.Sqrt(lo) * (1 - 2*ulp))
	return r/lo + off + 4*ulp*(g[0]+4)
}

// power: with c for a^k, the slope of c·a^-k is a^(-k-1)·(a·c' - k·a'·c), of which only the overflow is left.
func (s *State) power(n *instr, i Slot, free bool) float64 {
	lo, hi := s.Range(n.a)
	if !(lo > 0) && s.ends && n.k > 0 && n.k != math.Trunc(n.k) && free && hi < math.MaxFloat64 {
		s.doubt = s.doubt || !s.Tape.above[n.a]
		return s.lowRoot(i, math.Pow(max(hi, 0), n.k)*(1+16*ulp), free)
	}
	if !(lo > 0) {
		return math.Inf(1)
	}
	high := func(k float64) float64 { return max(math.Pow(lo, k), math.Pow(hi, k)) * (1 + 16*ulp) }
	left := s.overflowBy(n.a, i, n.k, -1) + s.Space.eps*(2+math.Abs(n.k))*s.all(n.a)*s.all(i)
	head := 8 * ulp * high(n.k)
	return high(n.k)*high(-n.k-1)*left + head + math.Abs(n.k)*high(n.k-1)*s.rad[n.a]
}

// exp: with c for e^a, the slope of c·e^-a along a straight line from the centre is e^-a times the overflow of c' - a'·c.
func (s *State) exp(n *instr, i Slot) float64 {
	lo, hi := s.Range(n.a)
	if !(hi-lo < 700 && hi < 700 && lo > -700) {
		return math.Inf(1)
	}
	top := math.Exp(hi) * (1 + 8*ulp)
	left := s.overflowBy(n.a, i, 1, 0) + s.Space.eps*s.all(i)*(1+s.all(n.a))
	return math.Exp(hi-lo)*(1+8*ulp)*left + 8*ulp*top + top*s.rad[n.a]
}

// log: with c for ln a, the slope of the true logarithm minus that of c is the overflow of a' - c'·a, over a.
func (s *State) log(n *instr, i Slot) float64 {
	lo, _ := s.Range(n.a)
	left := s.overflowBy(i, n.a, 1, 0) + s.Space.eps*s.all(n.a)*(1+s.all(i))
	return over0(left+s.rad[n.a], lo) + 8*ulp*(1+math.Abs(s.c[int(i)*s.Space.N]))
}

// kinked encloses the operations that are not smooth everywhere. The polynomial is the one that is right at the centre, or if free one along
// the chord from end to end.
func (s *State) kinked(n *instr, i Slot, free bool) float64 {
	lo, hi := s.Range(n.a)
	switch n.op {
	case opAbs:
		if lo < 0 && hi > 0 && free {
			first := hi / (hi - lo)
			first, up := s.led(i, first, -lo*first)
			return s.chord(i, n.a, n.a, first, first-1, up)
		}
		if math.Signbit(s.c[int(n.a)*s.Space.N]) {
			return 2*max(0, hi) + s.rad[n.a]
		}
		return 2*max(0, -lo) + s.rad[n.a]
	case opSign:
		if lo > 0 || hi < 0 {
			return 0
		}
		s.jump = true
		return 2
	case opLess, opMore:
		return s.chosen(n, i, free)
	case opStep:
		v := s.c[int(i)*s.Space.N]
		r := max(math.Round(hi)-v, v-math.Round(lo))
		s.jump = s.jump || r > 0
		return r
	case opWrap:
		if lo > -math.Pi && hi < math.Pi {
			return s.rad[n.a]
		}
		s.jump = true
		if free {
			s.level(i, 0)
			return math.Pi * (1 + ulp)
		}
		return max(-lo, hi) + math.Pi*(1+ulp)
	}
	return math.Inf(1)
}

// chosen encloses the lesser or the greater of two. With d for the first less the second, the greater is the second plus max(d, 0).
func (s *State) chosen(n *instr, i Slot, free bool) float64 {
	lo, hi := s.Range(Slot(n.k))
	if lo < 0 && hi > 0 && free {
		first := hi / (hi - lo)
		up := -lo * first / 2
		if n.op == opLess {
			first, up = 1-first, -up
		}
		first, up = s.led(i, first, up)
		return s.chord(i, n.a, n.b, first, 1-first, up)
	}
	first := (s.c[int(n.a)*s.Space.N] <= s.c[int(n.b)*s.Space.N]) != (n.op == opMore) // the polynomial is that of the first
	off, of := max(0, hi), n.b
	if first {
		of = n.a
	}
	if first == (n.op == opMore) {
		off = max(0, -lo)
	}
	return off + s.rad[of]
}

// led is the share of the first side in the line of a kink and how far the line is shifted, both as given unless Lead says otherwise.
func (s *State) led(i Slot, first, up float64) (float64, float64) {
	if to, ok := s.lead[i]; ok {
		return to, 0
	}
	return first, up
}

// chord makes the polynomial of a slot v·a + w·b + up and returns its radius: the true value must be within |up| of that.
func (s *State) chord(i, a, b Slot, v, w, up float64) float64 {
	c, size := s.Poly(i), 0.0
	p, q := s.Poly(a), s.Poly(b)
	for k := range c {
		c[k] = v*p[k] + w*q[k]
		size += math.Abs(v*p[k]) + math.Abs(w*q[k])
	}
	c[0] += up
	s.sizes(i)
	lost := 8 * ulp * (size + s.rad[a] + s.rad[b] + math.Abs(up))
	if a == b {
		return math.Abs(up) + math.Abs(v+w)*s.rad[a] + lost
	}
	return math.Abs(up) + math.Abs(v)*s.rad[a] + math.Abs(w)*s.rad[b] + lost
}
