package tube

import (
	"barover/solver/expr"
	"barover/solver/schedule"
)

// Points without a question may be many, and move faster than all others. They are computed only as far as needed to
// prove that they have a place. No box is made shorter for them or keeps them.

// wanted lists the places of a Schedule that a Plan must enclose closely.
type wanted struct {
	place []bool
	below []bool // places that are not wanted themselves, but computed for others that are
	sure  []bool // of each sum, as expr.Values.Sure gives it
}

// anywhere wants every place.
func anywhere(s *schedule.Schedule) *wanted {
	w := &wanted{place: make([]bool, s.Places), below: make([]bool, s.Places)}
	for z := range w.place {
		w.place[z] = true
	}
	return w
}

// NewPlanFor is NewPlan for some parts and points, and what they are made from. The proof that the linkage assembles
// covers all of it.
func NewPlanFor(s *schedule.Schedule, v *expr.Values, parts, points []int) (*Plan, error) {
	sure := v.Sure()
	for _, e := range s.Model.Equations {
		if e.Kind == schedule.Length && !v.Graph.Uses(e.V).Constant() {
			sure[e.V] = false // there is no place where it is below zero
		}
	}
	return newPlan(s, v, nil, wantedFor(s, sure, parts, points))
}

// wantedFor wants some parts, some points and what they are made from.
func wantedFor(s *schedule.Schedule, sure []bool, parts, points []int) *wanted {
	w := &wanted{place: make([]bool, s.Places), below: make([]bool, s.Places), sure: sure}
	for i := range s.Model.Parts {
		if s.Model.Parts[i].Kind == schedule.Frame {
			mark(w.place, s.Part[i])
		}
	}
	for _, i := range parts {
		mark(w.place, s.Part[i])
		if part := &s.Model.Parts[i]; part.Kind != schedule.Frame {
			mark(w.place, s.Point[part.P])
		}
	}
	for _, i := range points {
		mark(w.place, s.Point[i])
	}
	w.takeIn(s)
	return w
}

func mark(list []bool, places ...schedule.Place) {
	for _, z := range places {
		if z >= 0 {
			list[z] = true
		}
	}
}

// takeIn adds what blocks look at, and all that it is made from.
func (w *wanted) takeIn(s *schedule.Schedule) {
	for i := len(s.Steps) - 1; i >= 0; i-- {
		step := &s.Steps[i]
		for _, rows := range [2][]schedule.Row{step.Rows, step.Loose} {
			for k := range rows {
				for _, z := range rows[k].Places() {
					mark(w.place, z)
				}
			}
		}
		for k := len(step.Ops) - 1; k >= 0; k-- {
			op := &step.Ops[k]
			if len(step.Scalars) > 0 {
				mark(w.place, op.Z)
			}
			if w.place[op.Z] {
				mark(w.place, op.P, op.Q, op.D)
			} else if !w.skips(op) {
				mark(w.below, op.P, op.Q, op.D)
			}
		}
	}
}

// skips reports whether to leave out the place that an op makes outside blocks: nothing wants it, and it has a place
// whatever the turn and the travels.
func (w *wanted) skips(op *schedule.Op) bool {
	if w.place[op.Z] || w.below[op.Z] {
		return false
	}
	switch op.Kind {
	case schedule.OpAt, schedule.OpHeading, schedule.OpPolar, schedule.OpRigid:
		for _, id := range [3]expr.ID{op.A, op.B, op.C} {
			if id != expr.None && !w.sure[id] {
				return false
			}
		}
		return true
	}
	return false
}
