package change

import (
	"cmp"
	"slices"

	"barover/solver/expr"
)

// Follower is a dimension whose value changed only because its sum follows others that were changed.
type Follower struct {
	Dim           int // its number
	Before, After float64
	From          []int // the changed dimensions that its value follows from: their numbers, by their names
}

// Followers lists, by name, the dimensions that have other values than before and were not changed by themselves. Before
// is their values by number, where they have one; changed are the dimensions that were changed by themselves.
func Followers(e *Engine, before map[int]float64, changed []int) []Follower {
	now := func(v *expr.Values, dim int) float64 { return v.At(e.Problem.Graph.Dims[dim]) }
	var out []Follower
	for i := range e.Problem.Dims {
		was, known := before[i]
		if is := now(e.Values, i); known && !slices.Contains(changed, i) && !sameValue(was, is) {
			out = append(out, Follower{Dim: i, Before: was, After: is})
		}
	}
	if len(out) == 0 {
		return nil
	}
	byName := func(a, b int) int { return cmp.Compare(e.Problem.Dims[a].Name, e.Problem.Dims[b].Name) }
	for _, c := range slices.SortedFunc(slices.Values(changed), byName) {
		was, known := before[c]
		if !known || sameValue(was, now(e.Values, c)) {
			continue
		}
		without := e.Values.With(map[int]float64{c: was})
		for k := range out {
			if f := &out[k]; !sameValue(now(without, f.Dim), f.After) {
				f.From = append(f.From, c)
			}
		}
	}
	slices.SortFunc(out, func(a, b Follower) int { return byName(a.Dim, b.Dim) })
	return out
}

// followers are the dimensions of the new engine that follow those that were changed by themselves.
func (c *Comparison) followers(before, after *Engine) []Follower {
	old := make(map[string]float64, len(before.Problem.Dims))
	for i, d := range before.Problem.Dims {
		old[d.Name] = valueOf(before, i)
	}
	was := make(map[int]float64, len(old))
	for i, d := range after.Problem.Dims {
		if v, ok := old[d.Name]; ok {
			was[i] = v
		}
	}
	var changed []int
	for _, d := range c.Dims {
		changed = append(changed, d.Number)
	}
	return Followers(after, was, changed)
}
