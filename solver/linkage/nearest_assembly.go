package linkage

import (
	"math"

	"barover/solver/position"
	"barover/solver/schedule"
)

// unreached says that a step cannot be assembled at the start.
func (l *Linkage) unreached(e *position.State, step *schedule.Step, first []float64) Faults {
	e.Put(step, first)
	if f := l.dependent(step); f != nil {
		return f
	}
	from := e.BestPose(step, first)
	e.Put(step, from)
	row, miss := e.Blame(step)
	if math.IsNaN(miss) {
		if f := l.directionless(e, step); f != nil {
			return Faults{f}
		}
	}
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

// directionless is the fault of a line or a part whose two ends are placed before a step or with it, and lie in one place; nil where
// none does.
func (l *Linkage) directionless(e *position.State, step *schedule.Step) *Fault {
	placed := map[schedule.Place]bool{}
	for k := range l.s.Steps {
		for i := range l.s.Steps[k].Ops {
			placed[l.s.Steps[k].Ops[i].Z] = true
		}
		if &l.s.Steps[k] == step {
			break
		}
	}
	met := func(p, q int) bool {
		a, b := l.s.Point[p], l.s.Point[q]
		return placed[a] && placed[b] && e.Z[a] == e.Z[b]
	}
	fault := func(stmt int, name string) *Fault {
		return &Fault{Kind: BadValue, Stmt: stmt, Msg: name + " has both ends in one place, and so no direction", Help: "give it two places"}
	}
	for _, line := range l.s.Model.Lines {
		if line.Q >= 0 && met(line.P, line.Q) {
			return fault(line.Stmt, line.Name)
		}
	}
	for _, part := range l.s.Model.Parts {
		if part.Kind == schedule.FromTo && met(part.P, part.Q) {
			return fault(part.Stmt, part.Name)
		}
	}
	return nil
}
