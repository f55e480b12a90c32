package position

import (
	"math"
	"slices"

	"barover/solver/schedule"
)

// A step with Loose rows has freedoms that its Rows leave. Its pose is the one in which the greatest share, the worst
//miss| / play, is as small as possible. Among several such poses it is the one in which the worst of the
// shares that are not settled by that is smallest, and so on (J. R. Rice's strict approximation, applied to nonlinear
// shares).
//
// It is found in stages. A stage descends (see descend) to the smallest maximum. The shares that are worst together
// there, each held down by the others, are settled: from now on they stay level. So are freedoms along which the worst
// itself has a minimum: next to its own dead centre a rod's miss is least in the middle, and not where another's becomes
// as great. The next stage has the remaining freedoms and shares.

// looser solves one step with Loose rows.
type looser struct {
	e     *State
	step  *schedule.Step // its Rows are the hard rows and then the loose ones
	hard  int            // how many are hard
	n     int
	unit  []float64 // of each scalar: how far something moves when it changes by one, mm
	noise float64   // the rounding error of a distance, mm
	open  []int     // loose rows that are not settled, by their number among the rows
	bonds []bond    // what holds the scalars

	r      []float64 // residuals: mm, and shares
	jac    []float64 // their slopes by rows, for each mm of the scalars
	q      frame     // of the bonds, at the place of the last survey
	levels levelling
	looked []float64 // the scalars at which jac was found; nil before that
	ends   ending    // how the last descent ended
	past   *past     // nil where any end is good
	ridges int       // how many more ridges may be left or crossed
}

// bond holds the scalars in one way: a sum of rows that is zero, or a place along a direction.
type bond struct {
	terms []term
	way   []float64 // direction along which the scalars stay where they are, in mm; nil for a sum of rows
	from  float64   // where along it
	lean  []float64 // of a direction: the weight of each row in its second derivative
}

// term is a row and its weight.
type term struct {
	row int
	by  float64
}

func (e *State) newLooser(step *schedule.Step) *looser {
	m, n := len(step.Rows)+len(step.Loose), len(step.Scalars)
	l := &looser{e: e, hard: len(step.Rows), n: n, noise: roundingRel * e.Scale.Reach, unit: make([]float64, n), ridges: ridgesMost,
		r: make([]float64, m), jac: make([]float64, m*n), bonds: make([]bond, 0, n), open: make([]int, 0, len(step.Loose))}
	l.step = step.Tight()
	for j, s := range step.Scalars {
		l.unit[j] = 1
		if e.Schedule.Scalars[s].Direction {
			l.unit[j] = e.Scale.Size
		}
	}
	for i := range step.Rows {
		l.bonds = append(l.bonds, bond{terms: []term{{i, 1}}})
	}
	for i := range step.Loose {
		l.open = append(l.open, l.hard+i)
	}
	return l
}

// loosely solves a step with Loose rows from the present scalars, and reports whether it converged. It returns the
// looser, which knows what holds the step.
func (e *State) loosely(step *schedule.Step) (l *looser, ok bool) {
	was := e.Scalars(step)
	if l, ok = e.settled(step, nil); !ok {
		return l, false
	}
	if e.Flanks[0] == nil {
		l = e.elsewhere(step, l)
	} else if l.off(was) > sameRel*e.Scale.Size {
		l = e.fromFlanks(step, l)
	}
	far := l.off(was)
	size := e.sizeOf(step)
	return l, far*far <= e.Leap*size*size && e.aheadIn(step)
}

// off is how far the engine is from other scalars, mm.
func (l *looser) off(x []float64) (far float64) {
	for j, s := range l.step.Scalars {
		far = max(far, math.Abs(l.e.X[s]-x[j])*l.unit[j])
	}
	return far
}

// settled descends to a smallest maximum from the present scalars. It reports false where that is no better than what was
// found before.
func (e *State) settled(step *schedule.Step, p *past) (l *looser, ok bool) {
	l = e.newLooser(step)
	l.past = p
	if !l.restore() {
		return l, false
	}
	for len(l.open) > 0 && l.free() > 0 {
		if !l.descend() {
			return l, false
		}
		if l.ridges > 0 && l.overRidge() {
			l.ridges--
			continue
		}
		open := len(l.open)
		if !l.settle() || len(l.open) < open && l.past.beats(l) {
			return l, false
		}
	}
	return l, true
}

// free is the number of remaining freedoms.
func (l *looser) free() int { return l.n - len(l.bonds) }

// play is that of a loose row, mm.
func (l *looser) play(row int) float64 { return l.e.C.At(l.step.Rows[row].Play) }

// look finds the residuals and their slopes at the present place.
func (l *looser) look() bool {
	l.e.Place(l.step)
	l.e.Residuals(l.step, l.r)
	if !l.here() {
		l.slopes(l.jac)
		l.looked, l.q.sound = l.looked[:0], false
		for _, s := range l.step.Scalars {
			l.looked = append(l.looked, l.e.X[s])
		}
	}
	return AllNumbers(l.r) && AllNumbers(l.jac)
}

// here reports whether jac was computed at the present scalars.
func (l *looser) here() bool {
	for j, x := range l.looked {
		if l.e.X[l.step.Scalars[j]] != x {
			return false
		}
	}
	return len(l.looked) > 0
}

func (l *looser) slopes(jac []float64) {
	l.e.Jacobian(l.step, jac)
	for i := range l.step.Rows {
		for j, u := range l.unit {
			jac[i*l.n+j] /= u
		}
	}
}

// worst is the greatest of the open shares.
func (l *looser) worst() (most float64) {
	for _, i := range l.open {
		if v := math.Abs(l.r[i]); !(v <= most) {
			most = v
		}
	}
	return most
}

// quiet is the share that rounding alone may cause.
func (l *looser) quiet() float64 {
	least := math.Inf(1)
	for _, i := range l.open {
		least = min(least, l.play(i))
	}
	return l.noise / least
}

// value is by how much a bond is violated, mm.
func (l *looser) value(b *bond) (v float64) {
	if b.way != nil {
		for j, s := range l.step.Scalars {
			v += b.way[j] * l.unit[j] * l.e.X[s]
		}
		return v - b.from
	}
	for _, t := range b.terms {
		v += t.by * l.r[t.row]
	}
	return v
}

// slope puts the slopes of a bond by the scalars in mm into a.
func (l *looser) slope(b *bond, a []float64) {
	clear(a)
	copy(a, b.way)
	for _, t := range b.terms {
		for j, v := range l.jac[t.row*l.n : (t.row+1)*l.n] {
			a[j] += t.by * v
		}
	}
}

// restore moves the scalars no further than needed for the bonds to hold. It uses the slopes of the last survey as long
// as they converge fast, since a survey costs as much as ten residuals.
func (l *looser) restore() bool {
	last := math.Inf(1)
	v := make([]float64, len(l.bonds))
	for range restoreSteps {
		l.e.Place(l.step)
		l.e.Residuals(l.step, l.r)
		off := 0.0
		for i := range l.bonds {
			v[i] = -l.value(&l.bonds[i])
			off = max(off, math.Abs(v[i]))
		}
		if off <= l.noise || off <= l.e.Scale.solved() && off > last/2 {
			return AllNumbers(l.r)
		}
		if (l.q.m != len(l.bonds) || !(off <= last*chordGain)) && !l.survey() {
			return false
		}
		last = off
		l.move(l.q.answer(v))
	}
	return false
}

// move moves the scalars by so many mm, but none by more than a part of the sketch's size.
func (l *looser) move(by []float64) {
	k, far := 1.0, greatest(by)
	if most := 0.2 * l.e.Scale.Size; far > most {
		k = most / far
	}
	for j, s := range l.step.Scalars {
		l.e.X[s] += k * by[j] / l.unit[j]
	}
}

// settle makes what ended the descent a bond, or leaves a ridge.
func (l *looser) settle() bool {
	before := len(l.bonds)
	wasOpen := slices.Clone(l.open)
	on := l.ends.on
	for _, s := range on[1:] {
		p := min(l.play(on[0].row), l.play(s.row))
		l.bonds = append(l.bonds, bond{terms: []term{{on[0].row, on[0].sign * p}, {s.row, -s.sign * p}}})
	}
	l.q.stale()
	l.open = slices.DeleteFunc(l.open, func(i int) bool {
		return slices.ContainsFunc(on, func(s side) bool { return s.row == i })
	})
	if l.free() <= 0 {
		return l.free() == 0
	}
	down, ok := l.settleBends()
	if !ok || down == nil {
		return ok
	}
	l.bonds, l.open = l.bonds[:before], wasOpen
	l.q.stale()
	l.offRidge(down)
	return true
}
