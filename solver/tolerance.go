package solver

// How much a figure may miss its limit and still hold. A clearance drawn exactly as asked must not fail by the rounding
// of 12.7 − 12.2, and it must be possible to prove that it holds: the bounds of a proof stay about 4e-5 mm apart, however
// long it runs. A tenth of a micrometre is less than any tool can measure.
const (
	MeetsLength = 1e-4 // mm
	meetsOther  = 1e-5 // rad, or a bare number
)

// Meets is by how much a check may miss its limit and still hold, in its own unit.
func (c *Check) Meets() float64 {
	if c.Angle || c.Number {
		return meetsOther
	}
	return MeetsLength
}

// Overlap reports whether a distance, mm, is that of two that run into each other. Two that touch come out a little below
// zero by rounding.
func Overlap(distance float64) bool { return distance < -MeetsLength }

// Suffices reports whether a check with so much room to its limit holds, in its own unit.
func (c *Check) Suffices(room float64) bool { return room >= -c.Meets() }
