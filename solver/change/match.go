package change

import (
	"cmp"
	"slices"

	"barover/solver"
)

// match finds for each check of before the check of after that asks the same: first by its subject and the text of its
// statement, then, of the rest, by its subject alone. It gives −1 where there is none. The order of the statements has no
// effect.
func match(before, after *Engine) (pairs []int, came []int) {
	pairs = slices.Repeat([]int{-1}, len(before.About))
	taken := make([]bool, len(after.About))
	byBoth := func(e *Engine, i int) string { return e.About[i] + "\x00" + e.Line[i] }
	byAbout := func(e *Engine, i int) string { return e.About[i] }
	for _, key := range []func(*Engine, int) string{byBoth, byAbout} {
		free := make(map[string][]int)
		for _, k := range inOrder(after) {
			if !taken[k] {
				free[key(after, k)] = append(free[key(after, k)], k)
			}
		}
		for _, i := range inOrder(before) {
			name := key(before, i)
			if list := free[name]; pairs[i] < 0 && len(list) > 0 {
				pairs[i], free[name] = list[0], list[1:]
				taken[list[0]] = true
			}
		}
	}
	for _, k := range inOrder(after) {
		if !taken[k] {
			came = append(came, k)
		}
	}
	return pairs, came
}

// inOrder lists the checks by their subjects and their statements' text.
func inOrder(e *Engine) []int {
	out := solver.Numbers(len(e.About))
	slices.SortStableFunc(out, func(a, b int) int {
		return cmp.Or(cmp.Compare(e.About[a], e.About[b]), cmp.Compare(e.Line[a], e.Line[b]))
	})
	return out
}
