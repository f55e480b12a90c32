package tube

import (
	"context"
	"math"
)

// Stretches are parts of the turn, in order.
type Stretches struct {
	At []Range
	// Done says that each end is within the tolerance of its true place. Outside the stretches the claim holds even if it
	// is not set: whatever could not be decided in the time allowed is within them.
	Done bool
}

// partsAllowed is how many parts of boxes may be tried for one list of stretches.
const partsAllowed = 20000

// StretchesOf finds the stretches of the turn, at one travel setting, on which a condition holds. For a part of a box, look
// reports whether the condition may hold somewhere on it, and whether it surely holds everywhere on it. A part that is
// neither is halved: look gets for each half the value left that it returned for the whole, and from for a whole box. The
// ends of the stretches are accurate to fine, rad.
func StretchesOf[S any](ctx context.Context, t *Tube, travel []float64, fine float64, from S,
	look func(box int, part *Part, from S) (left S, may, surely bool)) (out Stretches) {
	out.Done = true
	parts := partsAllowed
	var over func(i int, part Part, turn Range, from S)
	over = func(i int, part Part, turn Range, from S) {
		parts--
		left, may, surely := look(i, &part, from)
		if !may {
			return
		}
		spent := parts <= 0 || parts&63 == 0 && ctx.Err() != nil
		if box := &t.Boxes[i]; !surely && !spent && !box.Fine(&part, turn, fine) {
			for side, half := range box.Halve(turn) {
				over(i, part.Halved(side), half, left)
			}
			return
		}
		out.Done = out.Done && (surely || !spent)
		out.add(turn)
	}
	for i := range t.Boxes {
		if part, ok := t.Across(&t.Boxes[i], travel); ok {
			over(i, part, t.Boxes[i].Turn, from)
		}
	}
	out.close(t)
	return out
}

// add joins a stretch to the last one if they meet.
func (s *Stretches) add(r Range) {
	if n := len(s.At); n > 0 && r.From <= s.At[n-1].To {
		s.At[n-1].To = max(s.At[n-1].To, r.To)
		return
	}
	s.At = append(s.At, r)
}

// close joins the last stretch to the first in a closed turn, so that it continues beyond the end of the turn.
func (s *Stretches) close(t *Tube) {
	n := len(s.At)
	if !t.Closes || n < 2 || s.At[0].From > t.Turn.From || s.At[n-1].To < t.Turn.To {
		return
	}
	s.At[n-1].To = s.At[0].To + 2*math.Pi
	s.At = s.At[1:]
}
