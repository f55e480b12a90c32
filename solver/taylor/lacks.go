package taylor

import "math"

// Lacks reports whether a root or a power among the slots from a to b has no value anywhere on the box. The slots must have been
// filled. A whole power has a value everywhere; a logarithm without one leaves its slot unfilled.
func (s *State) Lacks(a, b Slot) bool {
	for i := a; i < b; i++ {
		n := &s.Tape.code[i]
		if n.op == opSqrt || n.op == opPower && n.k != math.Trunc(n.k) {
			if _, hi := s.Range(n.a); hi < 0 {
				return true
			}
		}
	}
	return false
}
