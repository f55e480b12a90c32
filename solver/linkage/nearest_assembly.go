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
