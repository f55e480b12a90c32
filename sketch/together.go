package sketch

// Pairs says of two profiles, by their numbers, whether their parts are pinned to each other, that is, share a
// point, and whether the sketch allows them to touch.
func (s *Sketch) Pairs() (pinned, allowed func(a, b int) bool) {
	l := *s.loaded
	allow, pins := l.allowedPairs(), l.pinned()
	parts := func(a, b int) (p, q int) { return s.Problem.Profiles[a].Part, s.Problem.Profiles[b].Part }
	pinned = func(a, b int) bool {
		_, ok := pins[pairOf(parts(a, b))]
		return ok
	}
	allowed = func(a, b int) bool {
		p, q := parts(a, b)
		_, one := allow[pairOf(a, b)]
		_, whole := allow[pair{-1 - min(p, q), -1 - max(p, q)}]
		return one || whole
	}
	return pinned, allowed
}
