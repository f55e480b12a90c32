package linkage

import (
	"math"

	"barover/solver/schedule"
)

// reach assembles the whole linkage at the position that is set, each block as near as can be to where the scalars in hand
// have it and on the same side of its dead centre. Where a block cannot be assembled it returns its step, left in the
// nearest pose; nil when all could. A block that no formula solves is searched from that many starts.
func (e *workspace) reach(starts int) *schedule.Step {
	k := 0
	for i := range e.s.Steps {
		step := &e.s.Steps[i]
		if len(step.Scalars) == 0 {
			e.place(step)
			continue
		}
		if !e.reachBlock(step, k, starts) {
			e.closest(step, nil, closestSteps)
			return step
		}
		k++
	}
	return nil
}

// reachBlock assembles block k, or leaves its scalars as they were.
func (e *workspace) reachBlock(step *schedule.Step, k, starts int) bool {
	was, side := e.scalars(step), e.det[k]
	best, found := math.Inf(1), []float64(nil)
	for _, w := range e.nearWays(step, was, starts) {
		e.put(step, w)
		if len(step.Loose) == 0 && !(e.determinant(step, k)*side >= 0) {
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
		e.put(step, was)
		return false
	}
	e.put(step, found)
	return true
}

// nearWays returns ways to assemble a block: all of them where a formula gives them, else the one that the scalars in hand
// lead to and those that a few starts round about them do.
func (e *workspace) nearWays(step *schedule.Step, was []float64, starts int) [][]float64 {
	if len(step.Loose) > 0 {
		e.put(step, was)
		if _, ok := e.loosely(step); ok {
			return [][]float64{e.scalars(step)}
		}
		return e.looseWays(step, e.starts(step, was, starts))
	}
	if found, ok := e.formula(step); ok {
		return e.good(step, found)
	}
	if x, ok := e.polish(step, was); ok {
		return [][]float64{x}
	}
	return e.ways(step, was, starts)
}

// determinant is that of block k's slopes where it stands, as Newton's method would find it.
func (e *workspace) determinant(step *schedule.Step, k int) float64 {
	if len(step.Loose) > 0 {
		if step = e.p.square[k]; step == nil {
			return 1
		}
	}
	m := e.room[k]
	e.jacobian(step, m.a)
	clear(m.r)
	return m.solve()
}

// blame returns the row of a step in its nearest pose that is missed by most, and by how much it misses when every other
// row is met.
func (e *workspace) blame(step *schedule.Step) (row *schedule.Row, miss float64) {
	if len(step.Rows) == 0 {
		return &step.Loose[0], step.Loose[0].Miss(e.c, e.z)
	}
	r := make([]float64, len(step.Rows))
	e.place(step)
	e.residuals(step, r)
	worst := -1
	for i, v := range r {
		if worst < 0 || !(math.Abs(v) <= math.Abs(r[worst])*(1+1e-6)) ||
			math.Abs(v) > math.Abs(r[worst])*(1-1e-6) && step.Rows[i].Stmt > step.Rows[worst].Stmt {
			worst = i
		}
	}
	return &step.Rows[worst], e.missAlone(step, worst)
}

// missAlone is by how much row i of a step misses when every other row is met, or as nearly as can be.
func (e *workspace) missAlone(step *schedule.Step, i int) float64 {
	favour := make([]float64, len(step.Rows))
	for j := range favour {
		favour[j] = 1
	}
	favour[i] = blameWeight
	e.closest(step, favour, closestSteps)
	return step.Rows[i].Miss(e.c, e.z)
}

// unreached says that a step cannot be assembled at the start.
func (l *Linkage) unreached(e *workspace, step *schedule.Step, first []float64) Faults {
	e.put(step, first)
	if f := l.dependent(step); f != nil {
		return f
	}
	from := l.bestPose(e, step, first)
	e.put(step, from)
	row, miss := e.blame(step)
	f := &Fault{Kind: Unreached, Stmt: row.Stmt}
	f.Msg = l.s.Say(row) + " cannot be met at the start"
	switch row.Kind {
	case schedule.RowHeading, schedule.RowAngle:
		f.Msg += f.angle(": it misses by {}", math.Abs(miss))
	default:
		f.Msg += f.length(": it misses by {}", math.Abs(miss))
	}
	for i := range step.Rows {
		if s := step.Rows[i].Stmt; s != row.Stmt {
			f.Also = append(f.Also, s)
		}
	}
	return Faults{f}
}

// bestPose returns the scalars of the nearest pose that a few starts lead to, the first among them.
func (l *Linkage) bestPose(e *workspace, step *schedule.Step, first []float64) []float64 {
	best := math.Inf(1)
	x := make([]float64, len(step.Scalars))
	for _, start := range e.starts(step, first, min(startsFor(len(step.Scalars)), 16)) {
		e.put(step, start)
		if off := e.closest(step, nil, closestSteps); off < best {
			best, x = off, e.scalars(step)
		}
	}
	return x
}
