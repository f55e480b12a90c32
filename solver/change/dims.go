package change

import (
	"cmp"
	"maps"
	"slices"

	"barover/solver"
	"barover/solver/expr"
)

// Dim is a dimension that was changed by itself: its value does not follow from its old sum and the new values of the
// others.
type Dim struct {
	Name          string
	Before, After float64
	before        int // its number in the old engine
	Number        int // and in the new one
}

// Dims lists the dimensions that were changed by themselves, and the names of those that only one engine has. It leaves
// out a dimension that merely follows from others by the same sum as before: the change is theirs. It lists one that is
// held because its part is made, while its sum gives another value now, although its value is the same.
func Dims(before, after *Engine) (changed []Dim, came, went []string) {
	now := make(map[string]int, len(after.Problem.Dims))
	for i, d := range after.Problem.Dims {
		now[d.Name] = i
	}
	there := make(map[int]float64) // the new values by the old numbers
	pairs := make([]int, len(before.Problem.Dims))
	for i, d := range before.Problem.Dims {
		pairs[i] = -1
		if k, ok := now[d.Name]; ok {
			pairs[i] = k
			there[i] = valueOf(after, k)
			delete(now, d.Name)
			continue
		}
		went = append(went, d.Name)
	}
	for _, d := range after.Problem.Dims {
		if _, ok := now[d.Name]; ok {
			came = append(came, d.Name)
		}
	}
	for i, k := range pairs {
		if k < 0 {
			continue
		}
		if v := there[i]; !sameValue(followed(before, there, i), v) {
			changed = append(changed, Dim{before.Problem.Dims[i].Name, valueOf(before, i), v, i, k})
		}
	}
	slices.SortFunc(changed, func(a, b Dim) int { return cmp.Compare(a.Name, b.Name) })
	slices.Sort(came)
	slices.Sort(went)
	return changed, came, went
}

func valueOf(e *Engine, dim int) float64 { return e.Values.At(e.Problem.Graph.Dims[dim]) }

// followed is the value of a dimension by its old sum with the new values of the others.
func followed(e *Engine, there map[int]float64, dim int) float64 {
	if v, ok := e.Values.Fixed[dim]; ok {
		return v
	}
	fixed := maps.Clone(there)
	delete(fixed, dim)
	return expr.Resolve(e.Problem.Graph, fixed).At(e.Problem.Graph.Dims[dim])
}

// held is the old values of the changed dimensions, with a new value for one. Held in this way, none follows another.
func held(changed []Dim, one int) map[int]float64 {
	out := make(map[int]float64, len(changed))
	for i, d := range changed {
		out[d.before] = d.Before
		if i == one {
			out[d.before] = d.After
		}
	}
	return out
}

// all is the new values of the changed dimensions.
func all(changed []Dim) map[int]float64 {
	out := make(map[int]float64, len(changed))
	for _, d := range changed {
		out[d.before] = d.After
	}
	return out
}

// Derived reports whether a dimension's sum uses other dimensions. It is for sums such as Dim.AskedSum, by their node.
func Derived(p *solver.Problem, sum expr.ID) bool {
	return p.Graph.Takes(sum, func(op expr.Op) bool { return op == expr.Dim })
}
