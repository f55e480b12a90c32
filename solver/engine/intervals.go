package engine

import (
	"cmp"
	"math"
	"slices"

	"barover/solver"
)

// Join joins two intervals that meet at the start of a turn, if the turn closes: the later one then ends beyond the turn.
func (r *Run) Join(in []solver.Interval, closed bool) []solver.Interval {
	n := len(in)
	for i := range in {
		if closed && in[i].From >= r.To-TurnTolerance { // one that begins at the start itself
			in[i].From, in[i].To = math.Max(in[i].From-r.Length(), r.From), in[i].To-r.Length()
		}
	}
	if n < 2 || !closed || in[0].From > r.From+sameTurn || in[n-1].To < r.To-sameTurn {
		return in
	}
	// If the two ends overlap, the interval is the whole turn and no more.
	in[n-1].To = math.Min(in[0].To, in[n-1].From) + r.Length()
	in[n-1].Out = math.Max(in[0].Out, in[n-1].Out)
	return in[1:]
}

// Together is the union of intervals, in order.
func Together(in ...[]solver.Interval) []solver.Interval {
	all := slices.Concat(in...)
	slices.SortFunc(all, func(a, b solver.Interval) int { return cmp.Compare(a.From, b.From) })
	var out []solver.Interval
	for _, i := range all {
		if n := len(out); n > 0 && i.From <= out[n-1].To+sameTurn {
			out[n-1].To = max(out[n-1].To, i.To)
			out[n-1].Out = max(out[n-1].Out, i.Out)
			continue
		}
		out = append(out, i)
	}
	return out
}
