package report

// What a command ends with that could answer. Scripts go by these numbers.
const (
	AllHolds   = 0 // it did its work, and all holds
	FallsShort = 1 // something falls short, binds, or cannot be assembled over part of the turn
)

// StatusOf returns the exit status of a verb that asks whether all holds, or whether the parts assemble all the way round.
func StatusOf(holds bool) int {
	if holds {
		return AllHolds
	}
	return FallsShort
}
