package position

import (
	"math"
	"slices"

	"barover/solver/schedule"
)

// Reach assembles the whole linkage at the position that is set, each block as near as possible to its present scalars
// and on the same side of its dead centre. Where a block cannot be assembled it returns its step, left in the nearest
// pose; nil when all could. A block that no formula solves is searched from that many starts.
func (e *State) Reach(starts int) *schedule.Step {
	for i := range e.Schedule.Steps {
		step := &e.Schedule.Steps[i]
		if len(step.Scalars) == 0 {
			e.Place(step)
			continue
		}
		if !e.reachBlock(step, starts) {
			e.Closest(step, nil, ClosestSteps)
			return step
		}
	}
	return nil
}

// reachBlock assembles a block, or leaves its scalars as they were.
func (e *State) reachBlock(step *schedule.Step, starts int) bool {
	was, side := e.Scalars(step), e.Det[step.Block]
	best, found := math.Inf(1), []float64(nil)
	for _, w := range e.nearWays(step, was, starts) {
		e.Put(step, w)
		if len(step.Loose) == 0 && !(e.Determinant(step.Block)*side >= 0) {
			continue
		}
		far := 0.0
		for j := range w {
			far = max(far, math.Abs(w[j]-was[j]))
		}
		if far < best {
			best, found = far, w
		}
	}
	if found == nil {
		e.Put(step, was)
		return false
	}
	e.Put(step, found)
	return true
}

// nearWays returns ways to assemble a block: all of them where a formula gives them, else the one that the present
// scalars lead to and those from a few starts near them.
func (e *State) nearWays(step *schedule.Step, was []float64, starts int) [][]float64 {
	if len(step.Loose) > 0 {
		e.Put(step, was)
		if _, ok := e.loosely(step); ok {
			return [][]float64{e.Scalars(step)}
		}
		return e.Ways(step, was, starts)
	}
	if found, ok := e.formula(step); ok {
		return e.good(step, found)
	}
	if x, ok := e.Polish(step, was); ok {
		return [][]float64{x}
	}
	return e.Ways(step, was, starts)
}

// Blame returns the row of a step in its nearest pose that is missed by most, and its miss when every other row is met.
func (e *State) Blame(step *schedule.Step) (row *schedule.Row, miss float64) {
	if len(step.Rows) == 0 {
		return &step.Loose[0], step.Loose[0].Miss(e.C, e.Z)
	}
	r := make([]float64, len(step.Rows))
	e.Place(step)
	e.Residuals(step, r)
	worst := -1
	for i, v := range r {
		if worst < 0 || !(math.Abs(v) <= math.Abs(r[worst])*(1+1e-6)) ||
			math.Abs(v) > math.Abs(r[worst])*(1-1e-6) && step.Rows[i].Stmt > step.Rows[worst].Stmt {
			worst = i
		}
	}
	for i := range step.Rows { // a heading that is turned right round leaves nothing in its row
		if back := step.Rows[i].Miss(e.C, e.Z); step.Rows[i].Directed() && math.Abs(back) > math.Pi/2 && math.Abs(r[worst]) <= e.Scale.solved() {
			return &step.Rows[i], back
		}
	}
	return &step.Rows[worst], e.MissAlone(step, worst)
}

// MissAlone is the miss of row i of a step when every other row is met, as nearly as possible.
func (e *State) MissAlone(step *schedule.Step, i int) float64 {
	favour := slices.Repeat([]float64{1}, len(step.Rows))
	favour[i] = blameWeight
	e.Closest(step, favour, ClosestSteps)
	return step.Rows[i].Miss(e.C, e.Z)
}

// BestPose returns the scalars of the nearest pose from a few starts, the first among them.
func (e *State) BestPose(step *schedule.Step, first []float64) []float64 {
	best := math.Inf(1)
	x := make([]float64, len(step.Scalars))
	for _, start := range e.Starts(step, first, min(StartsFor(len(step.Scalars)), 16)) {
		e.Put(step, start)
		if off := e.Closest(step, nil, ClosestSteps); off < best {
			best, x = off, e.Scalars(step)
		}
	}
	return x
}
