package linkage

import (
	"math"
	"slices"

	"barover/solver/expr"
	"barover/solver/position"
	"barover/solver/schedule"
)

// lose ends the span where the engine had to stop.
func (f *follower) lose() {
	f.lost = true
	if mo := f.mo; mo.turn[len(mo.turn)-1] < f.e.Turn {
		f.keep(f.e.Turn)
	}
	f.gapFrom = f.ends(f.toLimit(1))
	f.good.Copy(f.e)
	f.tried = f.gapFrom + 10*leastStep
	f.fault = f.reach(f.tried)
}

// reach tries to assemble the linkage at a turn (rad) from where it was last assembled. It returns the step that cannot be
// assembled; nil where all can.
func (f *follower) reach(turn float64) *schedule.Step {
	f.e.Copy(f.good)
	f.e.Set(turn, f.mo.travel)
	return f.e.Reach(startsAgain)
}

const (
	// islandHalves is the number of bisections between two turns that were tried.
	islandHalves = 24
	// mostIslands is the most islands searched for between two positions.
	mostIslands = 8
)

// island searches for a short stretch within a gap in which the linkage can be assembled. It searches between the turn tried
// last and a turn (rad) where another step cannot be assembled: in between both may be. It reports whether it found one; the
// motion then goes on from there.
func (f *follower) island(turn float64, fault *schedule.Step) bool {
	from, to, first := f.tried, turn, f.fault
	if f.tried, f.fault = turn, fault; first == nil || first == fault || !(from < to) || f.islands == mostIslands {
		return false
	}
	f.islands++
	for range islandHalves {
		mid := from + (to-from)/2
		switch f.reach(mid) {
		case nil:
			f.rejoin(mid)
			return !f.lost
		case first:
			from = mid
		default:
			to = mid
		}
	}
	return false
}

// rejoin tries to assemble the linkage at a turn behind a gap. If that succeeds it goes back to the end of the gap, and
// the motion continues from there.
func (f *follower) rejoin(turn float64) {
	if len(f.mo.spans) > 0 && turn-f.gapFrom < 10*leastStep {
		return // that is the end of the span itself
	}
	e := f.e
	if fault := f.reach(turn); fault != nil {
		if f.island(turn, fault) {
			f.next(turn)
		}
		return
	}
	e.Complete()
	if _, ok := e.Solve(); !ok {
		return
	}
	there := e.Clone()
	if turn > f.gapFrom {
		f.w.changes = f.w.changes[:0]
		f.w.walk(turnRoad(e, f.gapFrom))
		if len(f.w.changes) > 0 { // over whatever could not be crossed in this direction
			f.nearSide(&f.w.changes[0], there)
		}
	}
	var l *limit
	if e.Turn > f.gapFrom {
		l = f.toLimit(-1)
	}
	f.begin(e.Turn)
	f.closeGap(f.ends(l))
	if e.Turn < turn {
		e.Copy(there)
		f.keep(turn)
	}
}

// nearSide puts the engine on the side from which a walk backward crossed a change or, where that is before the gap's
// beginning, where the walk began.
func (f *follower) nearSide(c *change, there *position.State) {
	e := f.e
	e.Copy(there)
	if c.turn > f.gapFrom {
		copy(e.X, c.from.x)
		e.Set(c.turn, f.mo.travel)
		e.Solve()
	}
}

// gapSamples is the number of places at which a gap is searched for its worst.
const gapSamples = 24

// gap is a stretch of the turn without positions, and the engine where it had to stop. The statement that cannot be met there is
// searched for when somebody asks. The search takes as long as many positions, and whoever follows many motions reads one gap.
type gap struct {
	from, to float64
	good     *position.State
}

// sure reports whether a gap is certain before its miss is measured: it is wide, and some block may be at fault.
func (g *gap) sure() bool {
	return g.to-g.from >= 10*leastStep && slices.ContainsFunc(g.good.Schedule.Steps, func(s schedule.Step) bool {
		return len(s.Scalars) > 0 && len(s.Loose) == 0
	})
}

// closeGap files the gap that ends at a turn.
func (f *follower) closeGap(end float64) {
	f.mo.gaps = append(f.mo.gaps, gap{f.gapFrom, end, f.good.Clone()})
}

// measured returns a gap with the statement that cannot be met and its greatest miss. It reports false where there is none.
func (mo *Motion) measured(g gap) (Broken, bool) {
	b := Broken{From: g.from, To: g.to, Travel: slices.Clone(mo.travel)}
	e, end := g.good.Clone(), g.to
	worst := 0.0
	var without *Lack
	at := g.from
	for i := range gapSamples + 1 {
		turn := b.From + (end-b.From)*float64(i)/gapSamples
		if stmt, miss := missAt(e, turn, mo.travel); math.IsNaN(miss) {
			if without == nil {
				without = mo.lack(turn, stmt)
			}
		} else if math.Abs(miss) > worst {
			worst, at = math.Abs(miss), turn
			b.Stmt, b.Miss = stmt, math.Abs(miss)
		}
	}
	step := (end - b.From) / gapSamples
	for range 40 {
		step /= 2
		for _, turn := range [2]float64{at - step, at + step} {
			if turn < b.From || turn > end {
				continue
			}
			if stmt, miss := missAt(e, turn, mo.travel); stmt == b.Stmt && math.Abs(miss) > worst {
				worst, at, b.Miss = math.Abs(miss), turn, math.Abs(miss)
			}
		}
		if step < leastStep {
			break
		}
	}
	switch {
	case worst > e.Scale.Agrees():
	case without != nil:
		b.Stmt, b.Miss, b.Lack = without.Stmt, 0, without
	default:
		b.Stmt, b.Miss = stopped(g.good, end-b.From)
	}
	return b, b.Stmt >= 0
}

// lack says which sum has no value at a position, and why; where none is found, it names the statement that is missed.
func (mo *Motion) lack(turn float64, stmt int) *Lack {
	for _, bad := range badValues(mo.l.s.Model, mo.l.v, turn, mo.travel) {
		if bad.Lack != nil {
			return bad.Lack
		}
	}
	return &Lack{Lack: expr.Lack{Sum: expr.None, Node: expr.None}, Stmt: stmt, Turn: turn}
}

// flat is the squareness at which a block is as good as on a dead centre, such as one that a walk has run up to. No unit.
const flat = 1e-3

// stopped says what the engine stands at where a gap of that width begins though every statement can be met in it: a point that
// has run off (the miss is +Inf), a dead centre (0), or neither (NaN), where its way was lost. The statement is -1 where what drives
// the linkage may have made it jump.
func stopped(e *position.State, wide float64) (stmt int, miss float64) {
	if stmt := runaway(e); stmt >= 0 {
		return stmt, math.Inf(1)
	}
	if stmt := flattest(e, flat); stmt >= 0 || wide < 10*leastStep {
		return stmt, 0
	}
	return flattest(e, math.Inf(1)), math.NaN()
}

// runOff is how many times as far as the sketch is large a point has run off that goes on without end. No unit.
const runOff = 1000

// runaway returns the statement of a row that holds a point which has run off, as where two lines come to run parallel: where
// they cross goes out one way without end and comes back from the other. It is -1 where none has.
func runaway(e *position.State) int {
	for i := range e.Schedule.Steps {
		step := &e.Schedule.Steps[i]
		for _, s := range step.Scalars {
			if k := &e.Schedule.Scalars[s]; !k.Direction && e.Z[k.Place].Len() > runOff*e.Scale.Reach {
				return step.Rows[len(step.Rows)-1].Stmt
			}
		}
	}
	return -1
}

// flattest returns the statement of a row of the block that is nearest to a dead centre; -1 where none is nearer than a
// share.
func flattest(e *position.State, least float64) int {
	stmt := -1
	for k := range e.Program.Blocks {
		step := e.Program.Blocks[k].Step
		if len(step.Loose) > 0 {
			continue
		}
		if q := e.Squareness(k); !(q > least) {
			stmt, least = step.Rows[len(step.Rows)-1].Stmt, q
		}
	}
	return stmt
}

// missAt puts e in the nearest pose at a turn and says which statement is missed, by mm or rad; 0 where none is.
func missAt(e *position.State, turn float64, travel []float64) (stmt int, miss float64) {
	e.Set(turn, travel)
	step := e.Reach(0)
	if step == nil {
		return worstOfAll(e)
	}
	was := e.Scalars(step)
	row, miss := e.Blame(step)
	e.Put(step, was)
	return row.Stmt, miss
}

// worstOfAll looks at every row of the sketch where all blocks could be assembled. Rows that elimination satisfied may
// still miss, as with a length that has become negative. Misses within tolerance do not count.
func worstOfAll(e *position.State) (stmt int, miss float64) {
	for i := range e.Schedule.Steps {
		e.Place(&e.Schedule.Steps[i])
	}
	for i := range e.Schedule.Whole {
		r := &e.Schedule.Whole[i]
		m := r.Miss(e.C, e.Z)
		if math.IsNaN(m) {
			return r.Stmt, m
		}
		if !(math.Abs(m) <= max(math.Abs(miss), e.Scale.Holds())) {
			stmt, miss = r.Stmt, m
		}
	}
	return stmt, miss
}
