package report

import (
	"cmp"
	"fmt"
	"slices"

	"barover/render/report/figures"
	"barover/solver"
)

// MostMoved is the number of checks in the list that came out differently. Checks that fall short or are mended are all
// listed.
const MostMoved = 12

// holdsStill reports whether a check holds, and held.
func (c *checkChange) holdsStill() bool { return c.became == solver.Worse || c.became == solver.Better }

// told separates the checks that are listed from the number of the rest.
func (r *CompareReport) told() (rows []*checkChange, more int) {
	rows = r.rows()
	n := MostMoved
	for n < len(rows) && !rows[n].holdsStill() {
		n++
	}
	if r.long || len(rows) <= n {
		return rows, 0
	}
	return rows[:n], len(rows) - n
}

func moreMoved(n int) string {
	return fmt.Sprintf("and %s with room; --long lists them", CountOf(n, "more that holds", "more that hold"))
}

// toldMarks separates the marks that are listed, with the ranges of travels at rest, from the number of the rest.
func (r *CompareReport) toldMarks() (list []*markChange, more int) {
	isRange := map[string]bool{}
	for _, t := range r.moves {
		isRange[t.name] = t.isRange
	}
	for i := range r.Marks {
		m := &r.Marks[i]
		off := slices.ContainsFunc(cmp.Or(m.After, m.Before).At[1:], func(n figures.Named) bool { return isRange[n.Name] && !n.Rest })
		if off && !r.long {
			more++
			continue
		}
		list = append(list, m)
	}
	return list, more
}
