package template

import (
	"math"

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
func (s slot) middle() stroke {
	return stroke{a: s.from, b: s.to, c: s.about, r: s.radius, turn: s.turn}
}

// slot reports whether the loop is a slot: two sides at one distance from one another, and two ends from side to side. A
// rectangle is one along its longer sides, unless it stands straight: then its width and height say it better.
func (l loop) slot() (slot, bool) {
	if len(l.strokes) != 4 {
		return slot{}, false
	}
	var best slot
	found := false
	for k := range 2 {
		side, end, far, other := l.strokes[k], l.strokes[k+1], l.strokes[k+2], l.strokes[(k+3)%4]
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

// alongside reports whether two strokes, gone along opposite ways, keep one distance, and which.
func alongside(s, t stroke) (slot, bool) {
	switch {
	case s.r == 0 && t.r == 0:
		u := s.b.Sub(s.a).Unit()
		d := t.a.Sub(s.b)
		wide := math.Abs(u.Cross(d))
		return slot{wide: wide}, math.Abs(d.Dot(u)) <= same && t.b.Sub(s.a).Sub(d).Len() <= same && wide > same
	case s.r != 0 && t.r != 0 && s.turn*t.turn < 0 && s.c.Sub(t.c).Len() <= same:
		wide := math.Abs(s.r - t.r)
		swing := math.Abs(s.turn+t.turn) * math.Max(s.r, t.r)
		return slot{wide: wide, about: s.c, radius: (s.r + t.r) / 2, turn: s.turn}, wide > same && swing <= same
	}
	return slot{}, false
}

// closes reports whether the stroke ends a slot of that width: straight across it, or by a half circle.
func closes(s stroke, wide float64) bool {
	across := math.Abs(s.b.Sub(s.a).Len()-wide) <= same
	return across && (s.r == 0 || s.turn < 0 && math.Abs(s.r-wide/2) <= same && math.Abs(s.turn+math.Pi) <= same/s.r)
}

// endOf is the place at which the middle line of a slot ends.
func endOf(s stroke) plane.Vec { return s.a.Add(s.b).Scale(0.5) }

// kindOf says what the end of a slot is.
func kindOf(s stroke) Kind {
	if s.r == 0 {
		return SlotFace
	}
	return SlotEnd
}

// upright reports whether a straight stroke runs along x or y.
func upright(s stroke) bool {
	d := s.b.Sub(s.a)
	return math.Abs(d.X) <= same || math.Abs(d.Y) <= same
}
