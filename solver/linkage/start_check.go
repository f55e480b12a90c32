package linkage

import (
	"fmt"
	"math"

	"barover/solver/expr"
	"barover/solver/schedule"
)

// settle looks at the linkage that has been assembled: that the program finds it in the same place, that all of the sketch
// holds, and that it can move only the way that it is driven.
func (l *Linkage) settle() Faults {
	e := l.start
	k := 0
	for i := range l.s.Steps {
		step := &l.s.Steps[i]
		if len(step.Scalars) == 0 {
			continue
		}
		if len(step.Loose) == 0 && !(e.squareness(step, k) >= singularStart) {
			return l.stiffness(step)
		}
		k++
	}
	if _, ok := e.solve(); !ok {
		f := &Fault{Kind: Unreached, Msg: "the parts cannot be put together at the start"}
		if len(l.s.Whole) > 0 {
			f.Stmt = l.s.Whole[0].Stmt
		}
		return Faults{f}
	}
	e.complete()
	if f := l.onChange(); f != nil {
		return f
	}
	return l.unheld()
}

// squareness is near zero where a block stands on a dead centre, and 1 where its rows stand at right angles: for up to
// three of them the determinant as a share of the greatest that it could be, else the reciprocal of the condition.
func (e *workspace) squareness(step *schedule.Step, k int) float64 {
	m := e.room[k]
	n := len(step.Scalars)
	e.place(step)
	e.jacobian(step, m.a)
	for i := range n {
		row := m.a[i*n : i*n+n]
		sum := 0.0
		for j, s := range step.Scalars {
			if e.s.Scalars[s].Direction {
				row[j] /= e.p.size[s]
			}
			sum += row[j] * row[j]
		}
		for j := range row {
			row[j] /= math.Sqrt(sum)
		}
	}
	if n > 3 {
		return reciprocalCondition(m)
	}
	clear(m.r)
	return math.Abs(m.solve())
}

// follow assembles the linkage the same way as o is.
func (l *Linkage) follow(o *Linkage) Faults {
	e := l.start
	copy(e.x, o.start.x)
	copy(e.det, o.start.det)
	e.leap = strayShare * strayShare
	_, ok := e.solve()
	e.leap = math.Inf(1)
	if ok && e.sameSide(o.start.det) {
		return l.settle()
	}
	copy(e.x, o.start.x)
	copy(e.det, o.start.det)
	if step := e.reach(startsFor(1)); step != nil {
		return l.unreached(e, step, e.scalars(step))
	}
	return l.settle()
}

// tooBig finds blocks that take too long to solve.
func tooBig(s *schedule.Schedule) (faults Faults) {
	for i := range s.Steps {
		if n := len(s.Steps[i].Scalars); n > denseMost {
			f := freeAtAll(s, &s.Steps[i])
			f.Kind = BadValue
			f.Msg = fmt.Sprintf("too many points hang on one another at once: %d unknowns, and %d can be solved", n, denseMost)
			faults = append(faults, f)
		}
	}
	return faults
}

// misfit says why a Schedule has no Steps.
func misfits(s *schedule.Schedule, v *expr.Values, turnFrom float64, rest []float64) Faults {
	m := &misfit{Rest: s.Reduce()}
	if f := tooBig(m.Schedule); f != nil {
		return f
	}
	m.place(v, turnFrom, rest)
	return append(m.surplus(), m.free()...)
}
