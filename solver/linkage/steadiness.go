package linkage

import (
	"barover/solver/schedule"
)

// A pose of loose lengths may change by a jump, where one line takes over from another on a dead centre. So the scalars
// of a step with Loose rows cannot be predicted, and scalars that depend on them only roughly.

// steadiness says how well a scalar can be predicted.
type steadiness uint8

const (
	steady steadiness = iota
	shaken            // it follows from one that leaps
	leaps
)

// steadinessOf is the steadiness of each scalar; nil where all are steady.
func steadinessOf(s *schedule.Schedule) []steadiness {
	var out []steadiness
	for i := range s.Steps {
		step := &s.Steps[i]
		if len(step.Loose) > 0 {
			if out == nil {
				out = make([]steadiness, len(s.Scalars))
			}
			for _, c := range step.Scalars {
				out[c] = leaps
			}
		} else if out != nil && follows(s, step, out) {
			for _, c := range step.Scalars {
				out[c] = shaken
			}
		}
	}
	return out
}

// follows reports whether a block follows from a scalar that is not steady.
func follows(s *schedule.Schedule, step *schedule.Step, of []steadiness) bool {
	for i := range step.Rows {
		for _, c := range s.RowDepends(&step.Rows[i]) {
			if of[c] != steady {
				return true
			}
		}
	}
	return false
}
