package linkage

import (
	"math"
	"slices"

	"barover/solver/position"
	"barover/solver/schedule"
)

// limit is where a span begins or ends in the turn: a dead centre beyond which a block cannot be assembled, or the last
// turn at which every sum has a value. The walk stops a hair short of it. From there on the scalars go like the square
// root of what is left, so the hair matters: the limit itself is solved.
type limit struct {
	turn float64   // rad
	x    []float64 // scalars there
	near int       // the position kept beside it
	fold position.Fold
}

const (
	// limitReach is how far beyond its last step a walk's limit may be, rad.
	limitReach = 4 * leastStep
	// sameLimit is how near one another, rad, the folds of two blocks count as one.
	sameLimit = 1e-11
	// limitHalves is how often the way to the end of a sum's values is halved.
	limitHalves = 60
	// onLimit is the share of the way from a limit to the position beside it that counts as the limit itself. Its root is the
	// share of the scalars' way.
	onLimit = 1e-12
)

// toLimit finds the limit at most limitReach ahead of the state, which the walk had to leave there: forward in the turn
// (sense 1) or backward (-1). It returns nil for none.
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

// toLastValue finds the last turn at which every sum that drives the linkage has a value, where that is the limit. c is a
// copy of the state.
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

// ends puts the limit of the present position, if there is one, at an end of the span that it ends or begins, and returns the
// turn of that end.
func (f *follower) ends(l *limit) float64 {
	if l == nil {
		return f.e.Turn
	}
	l.near = len(f.mo.turn) - 1
	f.mo.limits = append(f.mo.limits, *l)
	return l.turn
}

// limitOf is the limit beside a position kept; nil where there is none.
func (mo *Motion) limitOf(i int) *limit {
	for k := range mo.limits {
		if l := &mo.limits[k]; l.near == i {
			return l
		}
	}
	return nil
}

// end is the turn of the end of a span at a position kept: that of the limit there, if there is one.
func (mo *Motion) end(i int, sense float64) float64 {
	if l := mo.limitOf(i); l != nil && sense*(l.turn-mo.turn[i]) > 0 {
		return l.turn
	}
	return mo.turn[i]
}

// limitAt is the limit that a turn is beside: on it, or between it and the position kept there.
func (mo *Motion) limitAt(turn float64) *limit {
	for k := range mo.limits {
		l := &mo.limits[k]
		if rest := (turn - mo.turn[l.near]) / (l.turn - mo.turn[l.near]); rest > 0 && rest <= 1 {
			return l
		}
	}
	return nil
}

// Fold is a dead centre at which a span of a motion ends (Sense 1) or begins (-1): there a block turns back.
type Fold struct {
	Turn, Sense float64
	Scalar      int       // of the Schedule: by it the way round the dead centre is smooth
	Row         int       // of the block: with the scalar given, the others hold it without this one
	X           []float64 // the scalars there
	mo          *Motion
	limit       *limit
}

// Fold returns the first fold from one turn to another; nil for none.
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

// Turns returns the turns at which the scalar has some values, along the way round the dead centre. It reports false where
// they are not found.
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

// standAt solves at a turn on or beside a limit.
func (mo *Motion) standAt(e *position.State, l *limit, turn float64) Status {
	left := (l.turn - turn) / (l.turn - mo.turn[l.near])
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
