package machine

import (
	"barover/solver"
	"barover/solver/engine"
)

// sumsFirst is the order in which questions are given to goroutines, checks by their places in a and then measures. Sums
// come before pairs: some of them sample a whole turn, and the last pieces to begin should be short.
func (m *Machine) sumsFirst(a engine.Asked) []int {
	var sums, pairs []int
	for k, i := range a.Checks {
		if kind := m.Problem.Checks[i].Kind; kind == solver.Clear || kind == solver.Gap {
			pairs = append(pairs, k)
		} else {
			sums = append(sums, k)
		}
	}
	for k := range a.Measures {
		sums = append(sums, len(a.Checks)+k)
	}
	return append(sums, pairs...)
}
