package report

import "barover/solver/linkage"

// What a command ends with that could answer. Scripts go by these numbers.
const (
	AllHolds   = 0 // it did its work, and all holds
	FallsShort = 1 // something falls short, binds, or cannot be assembled over part of the turn
)

// StatusOf is what a verb ends with that does not judge the checks: parts of the turn may still not assemble.
func StatusOf(res []linkage.Broken) int {
	if len(res) > 0 {
		return FallsShort
	}
	return AllHolds
}
