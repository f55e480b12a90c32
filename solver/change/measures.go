package change

import (
	"cmp"
	"math"
	"slices"

	"barover/solver"
)

// Measure is a measure whose least or greatest changed, by its numbers in the two engines.
type Measure struct{ Before, After int }

// Mark is one event of a mark that moved to another position or shows something else. One of the two events is missing
// where it happens in one engine only.
type Mark struct{ Before, After *solver.Event }

// measures finds the measures that came out differently, by name.
func (c *Comparison) measures(before, after *Engine) {
	old := make(map[string]int)
	for i, m := range before.Problem.Measures {
		old[m.Name] = i
	}
	for k, m := range after.Problem.Measures {
		i, ok := old[m.Name]
		if !ok {
			continue
		}
		was, is := &c.Before.Extremes[i], &c.After.Extremes[k]
		if !same(was.Least, is.Least) || !same(was.Greatest, is.Greatest) {
			c.Measures = append(c.Measures, Measure{i, k})
		}
	}
	slices.SortFunc(c.Measures, func(a, b Measure) int {
		return cmp.Compare(after.Problem.Measures[a.After].Name, after.Problem.Measures[b.After].Name)
	})
}

// marks finds the marks that happen elsewhere or show something else. It compares the first time in one engine with the
// first time in the other at the same travel setting, and so on. It does not compare a mark that only one of the sketches
// has. They are sorted by name.
func (c *Comparison) marks(before, after *Engine) {
	old := make(map[string]bool)
	for _, m := range before.Problem.Marks {
		old[m.Name] = true
	}
	var names []string
	for _, m := range after.Problem.Marks {
		if old[m.Name] {
			names = append(names, m.Name)
		}
	}
	slices.Sort(names)
	for _, name := range names {
		was, is := happened(before, c.Before, name), happened(after, c.After, name)
		for len(was)+len(is) > 0 {
			travel := first(was, is).At.Travel
			var a, b []*solver.Event
			was, a = apart(was, travel)
			is, b = apart(is, travel)
			for i := range max(len(a), len(b)) {
				p := Mark{at(a, i), at(b, i)}
				if p.Before == nil || p.After == nil || !sameEvent(before, after, p) {
					c.Marks = append(c.Marks, p)
				}
			}
		}
	}
}

func happened(e *Engine, r *solver.Result, name string) (out []*solver.Event) {
	for i := range r.Events {
		if e.Problem.Marks[r.Events[i].Mark].Name == name {
			out = append(out, &r.Events[i])
		}
	}
	return out
}

func first(a, b []*solver.Event) *solver.Event {
	if len(a) > 0 {
		return a[0]
	}
	return b[0]
}

func at(list []*solver.Event, i int) *solver.Event {
	if i < len(list) {
		return list[i]
	}
	return nil
}

// apart takes the events of one travel setting out of a list.
func apart(list []*solver.Event, travel []float64) (rest, of []*solver.Event) {
	for _, e := range list {
		if sameTravel(e.At.Travel, travel) {
			of = append(of, e)
			continue
		}
		rest = append(rest, e)
	}
	slices.SortStableFunc(of, func(a, b *solver.Event) int { return cmp.Compare(a.At.Turn, b.At.Turn) })
	return rest, of
}

func sameTravel(a, b []float64) bool {
	return slices.EqualFunc(a, b, func(x, y float64) bool { return math.Abs(x-y) <= little })
}

// sameEvent reports whether a mark happens at the same place and shows the same for the measures that it shows in both.
func sameEvent(before, after *Engine, p Mark) bool {
	if !same(p.Before.At.Turn, p.After.At.Turn) {
		return false
	}
	was := before.Problem.Marks[p.Before.Mark].Shows
	for k, m := range after.Problem.Marks[p.After.Mark].Shows {
		name := after.Problem.Measures[m].Name
		for i, n := range was {
			if before.Problem.Measures[n].Name == name && !same(p.Before.Shows[i], p.After.Shows[k]) {
				return false
			}
		}
	}
	return true
}
