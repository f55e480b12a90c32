package taylor

// |a|, the lesser and the greater of two have kinks. Where a figure only rises or only falls with a kink, it can be bounded from below without
// an enclosure of the kink. If it bends upward there, it is nowhere below what it is along any slope between those of the two sides: |a| is at
// least λ·a, for λ from -1 to 1. If it bends downward, it is the lesser of what it is along the one side and along the other.

// Kink is a kink of which, on the box in hand, now the one side counts and now the other.
type Kink struct {
	At Slot
	Up bool // the figure bends upward there
	of Slot // the first side less the second, or what has the sign of that
}

// mixed is the sense of a slot with which a figure neither only rises nor only falls.
const mixed int8 = 2

// senses tells for each slot whether a figure, the slot root times a sign, only rises with it (1) or only falls (-1); 0 where it does not depend
// on it.
func (t *Tape) senses(root Slot, sign int8) []int8 {
	sense := make([]int8, len(t.code))
	sense[root] = sign
	to := func(i Slot, v int8) {
		if sense[i] != 0 && sense[i] != v || v < -1 {
			v = mixed
		}
		sense[i] = v
	}
	for i := root; i >= 0; i-- {
		v, n := sense[i], &t.code[i]
		switch {
		case v == 0:
		case n.op == opAdd || n.op == opLess || n.op == opMore:
			to(n.a, v)
			to(n.b, v)
		case n.op == opSub:
			to(n.a, v)
			to(n.b, -v)
		case n.op == opNeg || n.op == opScale && n.k < 0:
			to(n.a, -v)
		case n.op == opScale:
			to(n.a, v)
		default:
			for _, j := range t.Operands(nil, i) {
				to(j, mixed)
			}
		}
	}
	return sense
}

// Kinks lists the kinks of a figure, the slot root times a sign, on the box that Fill was last given. They are those with which it only rises or
// only falls.
func (s *State) Kinks(root Slot, sign float64) (list []Kink) {
	sense := s.Tape.senses(root, int8(sign))
	seen := make([]bool, len(sense))
	var walk func(i Slot)
	walk = func(i Slot) {
		if seen[i] || sense[i] == mixed {
			return
		}
		seen[i] = true
		n := &s.Tape.code[i]
		switch n.op {
		case opAdd, opSub:
			walk(n.a)
			walk(n.b)
		case opNeg, opScale:
			walk(n.a)
		case opAbs, opLess, opMore:
			k := Kink{i, (n.op == opLess) == (sense[i] < 0), n.a}
			if n.op != opAbs {
				k.of = Slot(n.k)
			}
			first, led := s.lead[i]
			switch lo, hi := s.Range(k.of); {
			case lo >= 0 || hi <= 0:
				first = 0
				if (lo >= 0) == (n.op != opLess) {
					first = 1
				}
			case !led:
				list, first = append(list, k), 0.5
			}
			if n.op != opAbs && first > 0 {
				walk(n.a)
			}
			if n.op != opAbs && first < 1 {
				walk(n.b)
			}
		}
	}
	walk(root)
	return list
}

// Lead has kinks enclosed along a slope between those of their two sides: by the share of the first side in it, from 0 to 1. Where the figure bends
// upward at all of them it is nowhere below what Fill then gives. Lead lasts until the next.
func (s *State) Lead(first map[Slot]float64) { s.lead = first }

// Ahead is by how much the first side of a kink is ahead of the second, at a place and with some deviations: where it is above zero, the first
// counts.
func (s *State) Ahead(k Kink, tau *[MaxVars]float64, dev []float64) float64 {
	v := s.Space.ValueOf(s.Poly(k.of), tau, dev)
	if s.Tape.code[k.At].op == opLess {
		return -v
	}
	return v
}
