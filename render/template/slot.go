package template

import (
	"math"

	"barover/solver/outline"
	"barover/solver/plane"
)

// slot is a hole of one width along a straight or a circular middle line. Its ends are where that line ends: the centre
// of a round end, the middle of a straight one.
type slot struct {
	from, to plane.Vec
	ends     [2]Kind
	wide     float64
	about    plane.Vec // of a curved one
	radius   float64   // of a curved one, else 0
	turn     float64   // of a curved one, rad about about, from the one end to the other
}

// middle is the line along the middle of the slot.
func (s slot) middle() outline.Edge {
	if s.radius == 0 {
		return outline.Straight(s.from, s.to)
	}
	return outline.Arc(s.from, s.to, s.about, s.turn)
}

// slot reports whether the loop is a slot: two sides at one distance from one another, and two ends from side to side. A
// rectangle is one along its longer sides, unless it stands straight: then its width and height say it better.
func (l loop) slot() (slot, bool) {
	if len(l.edges) != 4 {
		return slot{}, false
	}
	var best slot
	found := false
	for k := range 2 {
		side, end, far, other := &l.edges[k], &l.edges[k+1], &l.edges[k+2], &l.edges[(k+3)%4]
		s, ok := alongside(side, far)
		if !ok || !closes(end, s.wide) || !closes(other, s.wide) {
			continue
		}
		s.from, s.to = endOf(other), endOf(end)
		s.ends = [2]Kind{kindOf(other), kindOf(end)}
		if s.radius == 0 && s.ends == [2]Kind{SlotFace, SlotFace} && upright(side) {
			return slot{}, false
		}
		if !found || s.from.Sub(s.to).Len() > best.from.Sub(best.to).Len() {
			best, found = s, true
		}
	}
	return best, found
}

// alongside reports whether two edges, gone along opposite ways, keep one distance, and which.
func alongside(s, t *outline.Edge) (slot, bool) {
	switch {
	case s.R == 0 && t.R == 0:
		u := s.B.Sub(s.A).Unit()
		d := t.A.Sub(s.B)
		wide := math.Abs(u.Cross(d))
		return slot{wide: wide}, math.Abs(d.Dot(u)) <= same && t.B.Sub(s.A).Sub(d).Len() <= same && wide > same
	case s.R != 0 && t.R != 0 && s.Turn*t.Turn < 0 && s.C.Sub(t.C).Len() <= same:
		wide := math.Abs(s.R - t.R)
		swing := math.Abs(s.Turn+t.Turn) * math.Max(s.R, t.R)
		return slot{wide: wide, about: s.C, radius: (s.R + t.R) / 2, turn: s.Turn}, wide > same && swing <= same
	}
	return slot{}, false
}

// closes reports whether the edge ends a slot of that width: straight across it, or by a half circle.
func closes(s *outline.Edge, wide float64) bool {
	across := math.Abs(s.B.Sub(s.A).Len()-wide) <= same
	return across && (s.R == 0 || s.Turn < 0 && math.Abs(s.R-wide/2) <= same && math.Abs(s.Turn+math.Pi) <= same/s.R)
}

// endOf is the place at which the middle line of a slot ends.
func endOf(s *outline.Edge) plane.Vec { return s.A.Add(s.B).Scale(0.5) }

// kindOf says what the end of a slot is.
func kindOf(s *outline.Edge) Kind {
	if s.R == 0 {
		return SlotFace
	}
	return SlotEnd
}

// upright reports whether a straight edge runs along x or y.
func upright(s *outline.Edge) bool {
	d := s.B.Sub(s.A)
	return math.Abs(d.X) <= same || math.Abs(d.Y) <= same
}
