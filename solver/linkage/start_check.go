package linkage

import (
	"fmt"
	"math"

	"barover/solver/expr"
	"barover/solver/position"
	"barover/solver/schedule"
)

// settle checks the linkage that has been assembled: that the program finds it in the same place, that the whole sketch
// holds, and that it can move only as it is driven.
func (l *Linkage) settle() Faults {
	e := l.start
	for k := range l.p.Blocks {
		step := l.p.Blocks[k].Step
		if len(step.Loose) == 0 && !(e.Squareness(k) >= singularStart) {
			return l.stiffness(step)
		}
	}
	if _, ok := e.Solve(); !ok {
		f := &Fault{Kind: Unreached, Msg: "the parts cannot be put together at the start"}
		if len(l.s.Whole) > 0 {
			f.Stmt = l.s.Whole[0].Stmt
		}
		return Faults{f}
	}
	e.Complete()
	if f := l.onChange(); f != nil {
		return f
	}
	return l.unheld()
}

// follow assembles the linkage in the same way as o.
func (l *Linkage) follow(o *Linkage) Faults {
	e := l.start
	copy(e.X, o.start.X)
	copy(e.Det, o.start.Det)
	e.Leap = position.StrayShare * position.StrayShare
	_, ok := e.Solve()
	e.Leap = math.Inf(1)
	if ok && e.SameSide(o.start.Det) {
		return l.settle()
	}
	copy(e.X, o.start.X)
	copy(e.Det, o.start.Det)
	if step := e.Reach(position.StartsFor(1)); step != nil {
		return l.unreached(e, step, e.Scalars(step))
	}
	return l.settle()
}

// tooBig finds blocks that take too long to solve.
func tooBig(s *schedule.Schedule) (faults Faults) {
	for i := range s.Steps {
		if n := len(s.Steps[i].Scalars); n > denseMost {
			f := freeAtAll(s, &s.Steps[i])
			f.Kind = BadValue
			f.Msg = fmt.Sprintf("too many points depend on one another: %d unknowns, and at most %d can be solved at once", n, denseMost)
			faults = append(faults, f)
		}
	}
	return faults
}

// misfits says why a Schedule has no Steps.
func misfits(s *schedule.Schedule, v *expr.Values, from, to float64, rest []float64) Faults {
	m := &misfit{Rest: s.Reduce(), to: to}
	if f := tooBig(m.Schedule); f != nil {
		return f
	}
	m.place(v, from, rest)
	return append(m.surplus(), m.free()...)
}
