package machine

import (
	"barover/solver"
	"barover/solver/engine"
)

// sumsFirst is the order in which what is asked is shared out, checks by their places in a and then measures: sums before
// pairs, since some of them take a look at a whole turn, and what is begun last should be short.
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
