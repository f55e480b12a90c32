package linkage

import (
	"math"
	"slices"

	"barover/solver/position"
	"barover/solver/schedule"
)

// limit is where a span begins or ends in the turn: a dead centre beyond which a block cannot be assembled, or the last
// turn at which every sum has a value. The walk stops a little before it. Near it the scalars change as the square root of
// what is left of the turn, so even that little matters, and the limit itself is solved.
type limit struct {
	turn   float64       // rad
	x      []float64     // the scalars there
	near   int           // the index of the kept position beside it
	fold   position.Fold // X is nil where the limit is the end of a sum's values
	folded []int         // a scalar of each block that turns back there
}

const (
	// limitReach is how far beyond its last step a walk's limit may be, rad.
	limitReach = 4 * leastStep
	// sameLimit is the distance, rad, below which the folds of two blocks count as one.
	sameLimit = 1e-11
	// limitHalves is the number of bisections for the last turn at which every sum has a value.
	limitHalves = 60
	// onLimit is the share of the turn between a limit and the position beside it that counts as the limit itself. The scalars
	// change over that share by its square root.
	onLimit = 1e-12
)

// toLimit finds the limit at most limitReach ahead of the state at which the walk stopped, forward in the turn (sense 1) or
// backward (-1). It returns nil where there is none.
func (f *follower) toLimit(sense float64) *limit {
	c := f.e.Clone()
	var folds []position.Fold
	first := -1
	for k := range c.Program.Blocks {
		c.Copy(f.e)
		fold, ok := c.FoldAhead(k, sense, limitReach)
		if !ok {
			continue
		}
		folds = append(folds, fold)
		if first < 0 || sense*fold.Turn < sense*folds[first].Turn {
			first = len(folds) - 1
		}
	}
	c.Copy(f.e)
	if first < 0 {
		return f.toLastValue(c, sense)
	}
	l := &limit{turn: folds[first].Turn, fold: folds[first]}
	for i := range folds {
		if sense*(folds[i].Turn-l.turn) <= sameLimit {
			l.folded = append(l.folded, folds[i].Driven)
		}
	}
	c.Set(l.turn, nil)
	ok := c.Onward(math.MaxInt, func(k int, step *schedule.Step) bool {
		for i := range folds {
			if g := &folds[i]; g.Block == k {
				left := math.Sqrt(max(0, sense*(g.Turn-l.turn)) / (sense * (g.Turn - f.e.Turn)))
				for j, s := range step.Scalars {
					c.X[s] = g.X[j] + left*(f.e.X[s]-g.X[j])
				}
				return sense*(g.Turn-l.turn) <= sameLimit || c.SolveBlock(k)
			}
		}
		return c.SolveBlock(k) && c.Det[k]*f.e.Det[k] >= 0
	})
	if l.x = c.X; !ok {
		return nil
	}
	return l
}

// toLastValue finds by bisection the last turn at which every sum that drives the linkage has a value. It returns nil where
// that is not the limit. c is a copy of the state.
func (f *follower) toLastValue(c *position.State, sense float64) *limit {
	good, bad := c.Turn, c.Turn+sense*limitReach
	if c.Set(bad, nil); c.Valued() {
		return nil
	}
	l := &limit{turn: good}
	for range limitHalves {
		mid := good + (bad-good)/2
		was := slices.Clone(c.X)
		c.Set(mid, nil)
		if _, ok := c.Solve(); ok && c.SameSide(f.e.Det) {
			good = mid
			continue
		}
		bad = mid
		copy(c.X, was)
	}
	l.turn = good
	c.Set(good, nil)
	if _, ok := c.Solve(); !ok || good == f.e.Turn {
		return nil
	}
	l.x = c.X
	return l
}

// ends stores the limit l beside the last kept position, and returns the turn at which the span ends or begins. That is the
// present turn if l is nil.
func (f *follower) ends(l *limit) float64 {
	if l == nil {
		return f.e.Turn
	}
	l.near = len(f.mo.turn) - 1
	f.mo.limits = append(f.mo.limits, *l)
	return l.turn
}

// limitOf returns the limit beside kept position i; nil where there is none.
func (mo *Motion) limitOf(i int) *limit {
	for k := range mo.limits {
		if l := &mo.limits[k]; l.near == i {
			return l
		}
	}
	return nil
}

// end returns the turn at which a span ends beside kept position i: that of the limit there, if there is one.
func (mo *Motion) end(i int, sense float64) float64 {
	if l := mo.limitOf(i); l != nil && sense*(l.turn-mo.turn[i]) > 0 {
		return l.turn
	}
	return mo.turn[i]
}

// limitAt returns the limit for a turn on it, or between it and the kept position beside it; nil for other turns.
func (mo *Motion) limitAt(turn float64) *limit {
	for k := range mo.limits {
		l := &mo.limits[k]
		if rest := (turn - mo.turn[l.near]) / (l.turn - mo.turn[l.near]); rest > 0 && rest <= 1 {
			return l
		}
	}
	return nil
}

// foldedAt lists the scalars of the folds that a turn is on; nil beside one, where there are rates.
func (mo *Motion) foldedAt(turn float64) []int {
	if l := mo.limitAt(turn); l != nil && mo.left(l, turn) <= onLimit {
		return l.folded
	}
	return nil
}

// left is how far a turn is from a limit, as a share of the way to the position kept beside it.
func (mo *Motion) left(l *limit, turn float64) float64 {
	return (l.turn - turn) / (l.turn - mo.turn[l.near])
}

// Fold is a dead centre at which a block turns back: a span of a motion ends there (Sense 1) or begins there (-1). See
// position.Fold.
type Fold struct {
	Turn, Sense float64   // Turn in rad
	Scalar      int       // index in the Schedule: the turn and the other scalars are smooth functions of it
	Row         int       // index in the block: the row to leave out when the scalar and the turn are given
	X           []float64 // all scalars at the fold, mm or components of unit directions
	mo          *Motion
	limit       *limit
}

// Fold returns the first fold between two turns (rad, both included); nil where there is none.
func (mo *Motion) Fold(from, to float64) *Fold {
	var first *limit
	for k := range mo.limits {
		if l := &mo.limits[k]; l.fold.X != nil && l.turn >= from && l.turn <= to && (first == nil || l.turn < first.turn) {
			first = l
		}
	}
	if first == nil {
		return nil
	}
	f := &Fold{Turn: first.turn, Sense: 1, Scalar: first.fold.Driven, Row: first.fold.Row, X: slices.Clone(first.x), mo: mo, limit: first}
	if mo.turn[first.near] > first.turn {
		f.Sense = -1
	}
	for i := range f.X {
		f.X[i] += mo.l.start.Shift(i)
	}
	return f
}

// Turns returns the turns, rad, at which f.Scalar has the given values, on the solution curve through the fold. It reports
// false where Newton's method does not converge.
func (f *Fold) Turns(values []float64) (turns []float64, ok bool) {
	e := f.mo.l.borrow()
	defer f.mo.l.pool.Put(e)
	shift := e.Shift(f.Scalar)
	for _, v := range values {
		copy(e.X, f.limit.x)
		e.Set(f.Turn, f.mo.travel)
		if !e.Along(&f.limit.fold, v-shift) {
			return nil, false
		}
		turns = append(turns, e.Turn)
	}
	return turns, true
}

// standAt solves the position at a turn that is on a limit or between it and the kept position beside it.
func (mo *Motion) standAt(e *position.State, l *limit, turn float64) Status {
	left := mo.left(l, turn)
	guess := func() {
		for i, x := range mo.scalars(l.near) {
			e.X[i] = l.x[i] + math.Sqrt(left)*(x-l.x[i])
		}
	}
	guess()
	e.Set(turn, mo.travel)
	if left > onLimit || l.fold.X == nil {
		if _, ok := e.Solve(); ok && e.SameSide(mo.dets(l.near)) {
			return status(e)
		}
		guess()
	}
	e.SettleAt()
	return DeadCentre
}
