package linkage

import (
	"slices"

	"barover/solver/expr"
	"barover/solver/schedule"
)

// Most of the time to assemble a linkage goes into the search for the ways of assembling blocks that no formula solves.
// Where only dimensions change, and little, the ways are the old ones, moved.

// Again returns the linkage that New makes of the same Schedule with other dimensions, but faster. It moves all ways of
// assembly found for this one to the new dimensions, and the hints choose among them again. So the choice is New's, and
// not merely the way nearest to this one. Where that is in doubt it assembles anew, as New does: a way moves far or comes to a dead centre,
// or the hints lead to an unknown way.
func (l *Linkage) Again(v *expr.Values) (*Linkage, error) {
	turn, rest := l.start.Turn, l.start.Travel
	if f := badValues(l.s.Model, v, turn, rest); len(f) > 0 {
		return nil, f
	}
	if !l.ahead {
		n := fill(l.s, v, turn, rest, l)
		a := &assembler{l: n, e: n.start, hints: n.hintsFor(), like: l}
		if a.run() && !a.ahead && len(a.faults) == 0 && len(n.settle()) == 0 {
			return n, nil
		}
	}
	return anew(l.s, v, turn, rest)
}

// again finds the ways of step i: from those of the linkage that this one is like, or by a search. It reports false where
// there are such ways and they do not certainly lead to those of this linkage.
func (a *assembler) again(i int) (ways [][]float64, ok bool) {
	step := &a.l.s.Steps[i]
	if a.l.found == nil {
		a.l.found = make([][][]float64, len(a.l.s.Steps))
	}
	if len(step.Scalars) <= 2 && len(step.Loose) == 0 {
		return a.ways(i), true
	}
	sure := true
	switch {
	case a.like != nil && a.like.found[i] != nil:
		if ways, ok = a.moved(i, a.like.found[i]); !ok {
			return nil, false
		}
	case len(step.Loose) > 0:
		ways, sure = a.e.Good(step, a.e.Ends(step, a.e.Starts(step, a.hints[i].guess(a.e, step), a.starts(len(step.Scalars)))))
	default:
		ways = a.ways(i)
	}
	if sure {
		a.l.found[i] = append([][]float64{}, ways...)
	}
	return ways, true
}

// moved moves the ways of a step that were found with other dimensions to these dimensions.
func (a *assembler) moved(i int, from [][]float64) (ways [][]float64, ok bool) {
	step := &a.l.s.Steps[i]
	a.starts(len(step.Scalars))
	if len(step.Loose) > 0 {
		return a.movedLoose(step, from, a.hints[i].guess(a.e, step))
	}
	for _, x := range from {
		y, ok := a.e.Polish(step, x)
		if !ok || !a.e.Beside(step, [][]float64{x}, y) || a.e.Known(step, ways, y) || !(a.e.Squareness(step.Block) >= soundMove) {
			return nil, false
		}
		ways = append(ways, y)
	}
	first := a.e.Search(step, [][]float64{a.hints[i].guess(a.e, step)})
	return ways, len(from) > 0 && (len(first) == 0 || a.e.Known(step, ways, first[0]))
}

// movedLoose is moved for a step that loose lengths hold. It searches from a guess as well.
func (a *assembler) movedLoose(step *schedule.Step, from [][]float64, guess []float64) (ways [][]float64, ok bool) {
	ends := a.e.Ends(step, append(slices.Clip(from), guess))
	ways, ok = a.e.Good(step, ends)
	ok = ok && len(ways) == len(from)
	for _, x := range ways {
		ok = ok && a.e.Beside(step, from, x)
	}
	return ways, ok
}

// soundMove is the squareness that a block must have for its way of assembly to be moved from other dimensions: well off
// the dead centre at which two ways meet, and beyond which there are none. No unit.
const soundMove = 1e-3
