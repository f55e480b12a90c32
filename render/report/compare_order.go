package report

import (
	"cmp"
	"fmt"
	"slices"

	"barover/render/report/figures"
	"barover/solver"
)

// MostMoved is how many checks that came out otherwise are listed for reading. What falls short or is mended is listed
// however many there are.
const MostMoved = 12

// holdsStill reports whether a check holds, and held.
func (c *checkChange) holdsStill() bool { return c.became == solver.Worse || c.became == solver.Better }

// told parts the checks into those that are listed for reading, and how many more there are.
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

// toldMarks parts the marks into those that are listed for reading, with the ranges of travels at rest, and how many more
// there are.
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
