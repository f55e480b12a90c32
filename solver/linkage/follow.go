package linkage

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"barover/solver/position"
	"barover/solver/schedule"
	"barover/solver/spare"
)

// mostKept is the greatest number of positions that one Follow keeps.
const mostKept = 1 << 20

// Follow moves the linkage over the turn, from one turn to another (rad, from <= to), at a travel setting. It keeps a
// position every step, and more where the motion is fast. It reaches the setting from rest, and the first turn from the
// start, by moving there: one travel after the other, then the turn, so that it never changes branch unseen. Where the
// parts do not reach, the motion continues behind the gap from the nearest position on the same side of every dead
// centre. The error is ctx's, or says that the range is not valid.
func (l *Linkage) Follow(ctx context.Context, travel []float64, from, to, step float64) (*Motion, error) {
	switch {
	case !(from <= to) || math.IsInf(from, 0) || math.IsInf(to, 0):
		return nil, fmt.Errorf("a turn cannot go from %g to %g", from, to)
	case !(step > 0) || !((to-from)/step < mostKept):
		return nil, fmt.Errorf("a turn from %g to %g cannot go in steps of %g", from, to, step)
	case len(travel) != len(l.start.Travel):
		return nil, errors.New("not the number of travels that the linkage has")
	}
	e := l.borrow()
	defer l.pool.Put(e)
	f := &follower{ctx: ctx, e: e, mo: &Motion{l: l, travel: slices.Clone(travel), pool: new(spare.Pool[*position.State])}, to: to, step: step}
	f.prepare()
	if err := f.run(from); err != nil {
		return nil, err
	}
	return f.mo, nil
}

// follower makes a Motion.
type follower struct {
	ctx      context.Context
	e        *position.State
	w        *walker
	mo       *Motion
	slack    []int // the blocks of loose lengths that are as many as it takes
	from     float64
	last     int // number of the last position
	to, step float64
	even     int             // number of last positions kept that are a step apart and smooth
	stale    bool            // the state's scalars are those of an earlier position
	lost     bool            // it is not assembled: in a gap
	good     *position.State // where it was last assembled
	gapFrom  float64
	tried    float64        // the last turn of the gap that was tried, rad
	fault    *schedule.Step // the step that could not be assembled there; nil if all could
	islands  int            // number of searches for an island since the last position
}

func (f *follower) prepare() {
	for k, step := range f.e.Program.Square {
		if step != nil {
			f.slack = append(f.slack, k)
		}
	}
	f.w = newWalker(f.e)
}

func (f *follower) run(from float64) error {
	f.from = from
	f.lost = !f.journey(from)
	n := int(math.Ceil((f.to-from)/f.step - 1e-9))
	if f.to > from {
		n = max(n, 1) // a turn shorter than rounding of a step still has two ends
	}
	f.last = n
	f.mo.reserve(n + 1)
	even := n // the last turn that is whole steps from the first
	if from+float64(n)*f.step > f.to+1e-9*f.step {
		even--
	}
	for k := 0; k <= n; k++ {
		if f.ctx.Err() != nil {
			return f.ctx.Err()
		}
		if k > 0 && !f.lost && f.even >= leastEven {
			k += f.strides(k, min(even, k+64))
		}
		turn := f.turnAt(k)
		f.islands = 0
		switch {
		case k > n:
		case k == 0:
			f.first(turn)
		case f.lost:
			f.rejoin(turn)
		default:
			f.next(turn)
		}
	}
	if f.lost {
		f.closeGap(f.to)
	}
	return f.ctx.Err()
}

// turnAt is the turn of position k. The last one is exactly the end of the turn.
func (f *follower) turnAt(k int) float64 {
	if k == f.last {
		return f.to
	}
	return f.from + float64(k)*f.step
}

// journey moves the engine from rest to the travel setting and to the first turn.
func (f *follower) journey(from float64) bool {
	for k, t := range f.mo.travel {
		if t == f.e.Travel[k] {
			continue
		}
		f.w.changes = f.w.changes[:0]
		ok := f.w.walk(travelRoad(f.e, k, t))
		for i := range f.w.changes {
			f.mo.passed = append(f.mo.passed, f.w.changes[i].passed...)
		}
		if !ok {
			f.e.Set(from, f.mo.travel)
			return false
		}
	}
	return from == f.e.Turn || f.walk(from)
}

// walk goes to a turn in steps that cannot lose the branch, and notes the change points that it went over. The engine may
// end up a little beyond one.
func (f *follower) walk(turn float64) bool {
	f.sync()
	f.w.changes = f.w.changes[:0]
	ok := f.w.walk(turnRoad(f.e, turn))
	f.mo.changes = append(f.mo.changes, f.w.changes...)
	return ok
}

// first keeps the first position.
func (f *follower) first(turn float64) {
	f.good = f.e.Clone()
	f.gapFrom = turn
	if f.lost {
		f.rejoin(turn)
		return
	}
	f.begin(turn)
}

// begin starts a span at a turn to which the engine has gone.
func (f *follower) begin(turn float64) {
	f.lost = false
	f.even = 0
	f.mo.spans = append(f.mo.spans, span{len(f.mo.turn), len(f.mo.turn)})
	f.keep(turn)
}

// keep adds the position at a turn to which the engine has gone.
func (f *follower) keep(turn float64) {
	e, mo := f.e, f.mo
	if e.Turn == turn {
		mo.keep(turn, e.X, e.Det)
	} else if c := mo.changeAt(turn); c != nil {
		x := make([]float64, len(e.X))
		c.place(turn, x)
		mo.keep(turn, x, make([]float64, len(e.Det)))
	}
	i := len(mo.turn) - 1
	s := &mo.spans[len(mo.spans)-1]
	s.last = i
	f.even++
	if i == s.first || !(math.Abs(mo.turn[i]-mo.turn[i-1]-f.step) < 1e-9*f.step) || falls(mo.dets(i), mo.dets(i-1)) {
		f.even = 1
	}
}

// next goes to a turn carefully and keeps it.
func (f *follower) next(turn float64) {
	// The engine may be beyond a change point already.
	if f.e.Turn < turn && !f.walk(turn) {
		f.lose()
		f.rejoin(turn)
		return
	}
	f.keep(turn)
}

// leastEven is the number of even positions that a prediction needs.
const leastEven = 3

// strides continues by prediction from earlier positions, from position k to the last at most, and keeps the results. It
// returns their number. It stops where it is not sure of its branch. Meanwhile the engine works in the motion's own list,
// so nothing is copied.
func (f *follower) strides(k, last int) (done int) {
	e, mo := f.e, f.mo
	x, det, first := e.X, e.Det, len(mo.turn)
	mo.reserve(last - k + 1)
	turns, xs, dets := mo.turn[:cap(mo.turn)], mo.x[:cap(mo.x)], mo.det[:cap(mo.det)]
	n, d, i := len(x), len(det), first
	e.Leap = strideRel * strideRel
	for ; k <= last; k++ {
		e.X = foresee(xs[:(i+1)*n], n, f.even >= 4 && f.step >= fineStep)
		e.Det = dets[i*d : (i+1)*d : (i+1)*d]
		turns[i] = f.turnAt(k)
		e.Set(turns[i], nil)
		if _, ok := e.Solve(); !ok || falls(e.Det, dets[(i-1)*d:i*d]) || len(f.slack) > 0 && f.runsIn(dets[(i-1)*d:i*d]) {
			break
		}
		i++
		f.even++
	}
	e.X, e.Det, e.Leap = x, det, math.Inf(1)
	mo.turn, mo.x, mo.det = turns[:i], xs[:i*n], dets[:i*d]
	mo.spans[len(mo.spans)-1].last = i - 1
	f.stale = true
	if k <= last {
		f.sync()
		e.Set(mo.turn[i-1], nil)
		e.Solve()
	}
	return i - first
}

// runsIn reports whether a block of loose lengths comes near a dead centre, which their play may let it cross.
func (f *follower) runsIn(was []float64) bool {
	for _, k := range f.slack {
		d, o := math.Abs(f.e.Det[k]), math.Abs(was[k])
		if !(d >= o) && !(f.step*d/(o-d) > looseReach+f.step) {
			return true
		}
	}
	return false
}

// foresee is the predictor. It extrapolates from the earlier positions to the last of xs, n scalars each and a step
// apart, and returns it: by a cubic through four of them or a parabola through three.
func foresee(xs []float64, n int, cubic bool) []float64 {
	i := len(xs) - n
	next := xs[i : i+n : i+n]
	a, b, c := xs[i-n:i], xs[i-2*n:i-n], xs[i-3*n:i-2*n]
	if !cubic {
		for j := range next {
			next[j] = 3*(a[j]-b[j]) + c[j]
		}
		return next
	}
	d := xs[i-4*n : i-3*n]
	for j := range next {
		next[j] = 4*(a[j]+c[j]) - 6*b[j] - d[j]
	}
	return next
}

// falls reports whether a determinant falls so fast from one position to the next that it may pass zero before another.
func falls(det, was []float64) bool {
	for k, d := range det {
		if o := was[k]; !(d*o > fallLeast*o*o) {
			return true
		}
	}
	return false
}

// sync copies the last position kept into the state's scalars, where the state has been working in the motion's list.
func (f *follower) sync() {
	if i := len(f.mo.turn) - 1; f.stale {
		copy(f.e.X, f.mo.scalars(i))
		copy(f.e.Det, f.mo.dets(i))
	}
	f.stale = false
}
