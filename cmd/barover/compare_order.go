package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// mostMoved is how many checks that came out otherwise are listed for reading. What falls short or is mended is listed
// however many there are.
const mostMoved = 12

// roomLost is what share of the room that a check had it has lost. A pair that lay apart and now passes has lost all that
// can be told of; one that lies apart now has lost nothing.
func roomLost(was, is float64) float64 {
	switch {
	case is != is:
		return math.Inf(-1)
	case was != was:
		return 1
	case !(was > 0):
		return was - is
	}
	return (was - is) / was
}

// outcome ranks what became of a check: those that fall short after the change first, newly and then still; then
// what is mended, then what holds as it did. What is as short as it was has not changed and is not among them.
func (c *checkChange) outcome() int {
	return map[string]int{"falls": 0, "short": 1, "mended": 2, "holds": 3}[c.word()]
}

// byWeight are the checks that came out otherwise, those first whose outcome is another, then those that lost the most of
// their room.
func (r *compareReport) byWeight() []*checkChange {
	rows := r.rows()
	slices.SortStableFunc(rows, func(a, b *checkChange) int {
		return cmp.Or(a.outcome()-b.outcome(), cmp.Compare(b.lost, a.lost))
	})
	return rows
}

// told parts the checks into those that are listed for reading, and how many more there are.
func (r *compareReport) told() (rows []*checkChange, more int) {
	rows = r.byWeight()
	n := mostMoved
	for n < len(rows) && rows[n].word() != "holds" {
		n++
	}
	if r.long || len(rows) <= n {
		return rows, 0
	}
	return rows[:n], len(rows) - n
}

func moreMoved(n int) string {
	return fmt.Sprintf("and %s with room; --long lists them", countOf(n, "more that holds", "more that hold"))
}

// toldMarks parts the marks into those that are listed for reading, with the ranges of travels at rest, and how many more
// there are.
func (r *compareReport) toldMarks() (list []*markChange, more int) {
	isRange := map[string]bool{}
	for _, t := range r.moves {
		isRange[t.name] = t.isRange
	}
	for i := range r.Marks {
		m := &r.Marks[i]
		off := slices.ContainsFunc(cmp.Or(m.After, m.Before).At[1:], func(n named) bool { return isRange[n.name] && !n.rest })
		if off && !r.long {
			more++
			continue
		}
		list = append(list, m)
	}
	return list, more
}
