package tube

import (
	"barover/solver/schedule"
)

// Series is a polynomial over a box and the radius within which the truth lies about it.
type Series struct {
	Poly []float64 // not to be changed
	Rad  float64
}

// Placement is the place of a part over a box: its origin, mm in the frame, and the cosine and sine of its u axis. These
// are the components of a unit direction at every position, except for their radii.
type Placement struct{ X, Y, Cos, Sin Series }

// Placement returns the place of a part over a box.
func (t *Tube) Placement(b *Box, part int) Placement {
	s := t.Plan.slots(part)
	return Placement{t.series(b, s[0], 0), t.series(b, s[1], 0), t.series(b, s[2], 1), t.series(b, s[3], 0)}
}

// slots returns the slots of a part's origin and of its direction; none for those of the frame.
func (p *Plan) slots(part int) [4]slot {
	at, dir := pair{none, none}, pair{none, none}
	if m := &p.Schedule.Model.Parts[part]; m.Kind != schedule.Frame {
		at, dir = p.point(m.P), p.at(p.Schedule.Part[part])
	}
	return [4]slot{at.x, at.y, dir.x, dir.y}
}

// Still reports whether a part does not move at all.
func (p *Plan) Still(part int) bool {
	for _, s := range p.slots(part) {
		if s != none && !p.tape.Still(s) {
			return false
		}
	}
	return true
}

// series returns a slot over a box; without is the value of no slot.
func (t *Tube) series(b *Box, s slot, without float64) Series {
	if s == none || t.Plan.kept[s] < 0 {
		c := make([]float64, t.Space.N)
		c[0] = without
		return Series{Poly: c}
	}
	i, n := t.Plan.kept[s], t.Space.N
	return Series{b.poly[i*n : i*n+n : i*n+n], b.rad[i]}
}
