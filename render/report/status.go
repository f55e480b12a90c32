package report

import "barover/solver/linkage"

// Exit statuses of a command that could answer. Scripts use these numbers.
const (
	AllHolds   = 0 // it did its work, and all holds
	FallsShort = 1 // something falls short, binds, or cannot be assembled over part of the turn
)

// StatusOf is the exit status of a verb that does not judge the checks: parts of the turn may still not assemble.
func StatusOf(res []linkage.Broken) int {
	if len(res) > 0 {
		return FallsShort
	}
	return AllHolds
}
