package taylor

// Lacks reports whether a root, a power or a logarithm among the slots from a to b has no value anywhere on the box. The slots
// must have been filled.
func (s *State) Lacks(a, b Slot) bool {
	for i := a; i < b; i++ {
		switch n := &s.Tape.code[i]; n.op {
		case opSqrt, opPower, opLog:
			if _, hi := s.Range(n.a); hi < 0 {
				return true
			}
		}
	}
	return false
}
