package clearance

import (
	"context"
	"math"

	"barover/solver/outline"
	"barover/solver/tube"
)

// Stretches are parts of the turn, in order.
type Stretches struct {
	At []tube.Range
	// Done says that each end is within what was asked of where it truly is. Outside the stretches the claim holds even if
	// it is not set: what could not be told in the time allowed lies within them.
	Done bool
}

// partsAllowed is how many parts of boxes may be looked at for the stretches of one pair.
const partsAllowed = 20000

// Below finds where on the turn two bodies come nearer than limit, mm, at one travel setting of one of the tubes: outside the
// stretches they are proved not to, wherever the tube reaches. Their ends are right to fine, rad.
func (p *Prover) Below(ctx context.Context, a, b Body, at Place, limit, fine float64) Stretches {
	d := p.pair(a, b)
	s := &sweep{duo: d, ctx: ctx, tube: at.Tube, limit: limit, fine: fine, left: partsAllowed, all: pairsOf(len(d.pa), len(d.pb))}
	s.out.Done = true
	t := p.tubes[at.Tube]
	for i := range t.Boxes {
		box := &t.Boxes[i]
		if part, ok := t.Across(box, at.Travel); ok {
			s.look(i, box, part, s.all, box.Turn)
		}
	}
	return s.out
}

// sweep looks at one travel setting over the turn.
type sweep struct {
	*duo
	ctx         context.Context
	tube        int
	limit, fine float64
	left        int
	all         [][2]int16
	out         Stretches
}

func pairsOf(n, m int) (all [][2]int16) {
	for i := range n {
		for j := range m {
			all = append(all, [2]int16{int16(i), int16(j)})
		}
	}
	return all
}

// look decides over a part of a box, which spans the given turn, for those pairs of pieces that may come too near there.
func (s *sweep) look(i int, box *tube.Box, part tube.Part, pairs [][2]int16, turn tube.Range) {
	s.left--
	near := s.near(i, part, pairs)
	if len(near) == 0 {
		return
	}
	if s.surely(i, box, part) {
		s.add(turn)
		return
	}
	spent := s.left <= 0 || s.left&63 == 0 && s.ctx.Err() != nil
	if turn.To-turn.From <= s.fine || spent {
		s.out.Done = s.out.Done && !spent
		s.add(turn)
		return
	}
	mid := turn.Mid()
	for side, half := range [2]tube.Range{{From: turn.From, To: mid}, {From: mid, To: turn.To}} {
		m := part
		m.Half[0] /= 2
		m.Mid[0] += float64(2*side-1) * m.Half[0]
		s.look(i, box, m, near, half)
	}
}

// near lists the pairs of pieces that may come nearer than the limit on a part of a box.
func (s *sweep) near(i int, part tube.Part, pairs [][2]int16) (near [][2]int16) {
	for _, ij := range pairs {
		n := node{lo: math.Inf(-1), tube: int32(s.tube), box: int32(i), ia: ij[0], ib: ij[1], part: part}
		if s.circles(&n); n.lo >= s.limit {
			continue
		}
		if s.narrow(&n); n.lo < s.limit {
			near = append(near, ij)
		}
	}
	return near
}

// surely reports whether the bodies are nearer than the limit all over a part: they are at its centre, by more than all
// that they move.
func (s *sweep) surely(i int, box *tube.Box, part tube.Part) bool {
	tau := part.Mid
	t := s.tubes[s.tube]
	pa, offA := placed(t, box, s.a, &tau)
	pb, offB := placed(t, box, s.b, &tau)
	v := s.views[s.tube]
	v.set(s.relative(s.tube, i, 0), &part)
	reach := s.b.Region.Centre.Len() + s.b.Region.Radius
	move := v.tail[0] + v.tail[1] + reach*(v.tail[2]+v.tail[3])
	return outline.Distance(s.a.Region, pa, s.b.Region, pb).D+offA+offB+move < s.limit
}

// add joins a stretch to the last one if they meet.
func (s *sweep) add(r tube.Range) {
	if n := len(s.out.At); n > 0 && r.From <= s.out.At[n-1].To {
		s.out.At[n-1].To = max(s.out.At[n-1].To, r.To)
		return
	}
	s.out.At = append(s.out.At, r)
}
