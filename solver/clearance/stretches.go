package clearance

import (
	"context"
	"math"
	"slices"

	"barover/solver/outline"
	"barover/solver/plane"
	"barover/solver/taylor"
	"barover/solver/tube"
)

// Stretches are parts of the turn, in order.
type Stretches struct {
	At []tube.Range
	// Done says that each end is within the tolerance of its true place. Outside the stretches the claim holds even if it
	// is not set: whatever could not be decided in the time allowed is within them.
	Done bool
}

// partsAllowed is how many parts of boxes may be tried for the stretches of one pair.
const partsAllowed = 20000

// Below finds where on the turn two bodies come nearer than limit, mm, at one travel setting of one of the tubes. Outside
// the stretches they are proved not to, wherever the tube reaches. Their ends are right to fine, rad.
func (p *Prover) Below(ctx context.Context, a, b Body, at Place, limit, fine float64) Stretches {
	d := p.pair(a, b)
	if d.beyond() {
		return Stretches{At: []tube.Range{p.tubes[at.Tube].Turn}}
	}
	s := &sweep{duo: d, ctx: ctx, tube: at.Tube, limit: limit, fine: fine, left: partsAllowed, all: pairsOf(len(d.pa), len(d.pb))}
	s.out.Done = true
	t := p.tubes[at.Tube]
	for i := range t.Boxes {
		box := &t.Boxes[i]
		if part, ok := t.Across(box, at.Travel); ok {
			s.look(i, box, part, s.all, box.Turn)
		}
	}
	s.out.close(t)
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

// look decides over a part of a box that spans the given turn, for the pairs of pieces that may come too near there.
func (s *sweep) look(i int, box *tube.Box, part tube.Part, pairs [][2]int16, turn tube.Range) {
	s.left--
	near := s.near(i, part, pairs)
	if len(near) == 0 {
		return
	}
	if s.surely(i, box, part) {
		s.out.add(turn)
		return
	}
	spent := s.left <= 0 || s.left&63 == 0 && s.ctx.Err() != nil
	if box.Fine(&part, turn, s.fine) || spent {
		s.out.Done = s.out.Done && !spent
		s.out.add(turn)
		return
	}
	for side, half := range box.Halve(turn) {
		s.look(i, box, part.Halved(side), near, half)
	}
}

// near lists the pairs of pieces that may come nearer than the limit on a part of a box. It cuts a pair into sectors that
// seems to, if the outlines are farther apart at the part's centre.
func (s *sweep) near(i int, part tube.Part, pairs [][2]int16) (near [][2]int16) {
	todo, far := slices.Clone(pairs), math.NaN()
	for k := 0; k < len(todo); k++ {
		ij := todo[k]
		n := node{lo: math.Inf(-1), tube: int32(s.tube), box: int32(i), ia: ij[0], ib: ij[1], part: part}
		s.views[s.tube].set(s.relative(s.tube, i, 0), &part)
		if s.circles(&n); n.lo >= s.limit {
			continue
		}
		if s.narrow(&n); n.lo >= s.limit {
			continue
		}
		if s.bitten && n.mid < s.limit && n.slack <= max(s.pa[n.ia].slack(), s.pb[n.ib].slack()) {
			if math.IsNaN(far) {
				far = s.measured(s.tube, i, &part, new([taylor.MaxVars]float64))
			}
			if kids := s.kids(ij, s.tolerance/8); far >= s.limit && kids != nil {
				todo = append(todo, kids...)
				continue
			}
		}
		near = append(near, ij)
	}
	return near
}

// surely reports whether the bodies are nearer than the limit all over a part: the two places that are nearest at its
// centre stay so near, or the bodies are so near there that their whole motion leaves them nearer.
func (s *sweep) surely(i int, box *tube.Box, part tube.Part) bool {
	tau := part.Mid
	t := s.tubes[s.tube]
	pa, offA := placed(t, box, s.a, &tau)
	pb, offB := placed(t, box, s.b, &tau)
	v := s.views[s.tube]
	v.set(s.relative(s.tube, i, 0), &part)
	near := outline.Distance(s.a.Region, pa, s.b.Region, pb)
	if near.D+offA+offB >= s.limit {
		return false
	}
	if near.D > 0 && s.stay(v, pa.In(near.P), pb.In(near.Q)) {
		return true
	}
	move := v.strays(s.b.Region.Centre.Sub(s.origin[1]), s.b.Region.Radius)
	return near.D+offA+offB+move < s.limit
}

// stay reports whether two places, each in the axes of its part, stay nearer than the limit all over the part of a view.
// That they are on the outlines is right to rounding.
func (s *sweep) stay(v *view, p, q plane.Vec) bool {
	var at [taylor.MaxVars]float64
	off := (p.Len() + q.Len() + s.a.Region.Radius + s.b.Region.Radius) * slip
	return v.distance(q.Sub(s.origin[1]), p.Sub(s.origin[0]), &at, 0)+off < s.limit
}

// Below finds where on the turn the sum is less than limit, at one travel setting of one of the tubes. Outside the
// stretches it is proved not to be, wherever the tube reaches. Their ends are right to fine, rad.
func (f *Figure) Below(ctx context.Context, at Place, limit, fine float64) Stretches {
	return f.beyond(ctx, at, limit, fine, 1)
}

// Above is Below for where the sum is more than limit.
func (f *Figure) Above(ctx context.Context, at Place, limit, fine float64) Stretches {
	return f.beyond(ctx, at, -limit, fine, -1)
}

// beyond finds where sign·sum is less than limit.
func (f *Figure) beyond(ctx context.Context, at Place, limit, fine, sign float64) Stretches {
	s := &sumSweep{Figure: f, ctx: ctx, tube: at.Tube, limit: limit, fine: fine, sign: sign, left: partsAllowed}
	s.out.Done = true
	t := f.tubes[at.Tube]
	if f.ready(ctx, at.Tube) != nil {
		return Stretches{At: []tube.Range{t.Turn}}
	}
	for i := range t.Boxes {
		if part, ok := t.Across(&t.Boxes[i], at.Travel); ok {
			s.look(i, part, t.Boxes[i].Turn)
		}
	}
	s.out.close(t)
	return s.out
}

// sumSweep looks at a sum at one travel setting over the turn.
type sumSweep struct {
	*Figure
	ctx               context.Context
	tube              int
	limit, fine, sign float64
	left              int
	out               Stretches
}

func (s *sumSweep) look(i int, part tube.Part, turn tube.Range) {
	s.left--
	lo, hi := math.Inf(-1), math.Inf(1)
	if v, ok := s.run[s.tube].Over(i, &part); ok {
		sp := s.tubes[s.tube].Space
		lo, _ = sp.Least(v.Poly)
		hi, _ = sp.Greatest(v.Poly)
		lo, hi = lo-v.Rad, hi+v.Rad
		if s.sign < 0 {
			lo, hi = -hi, -lo
		}
	}
	spent := s.left <= 0 || s.left&63 == 0 && s.ctx.Err() != nil
	box := &s.tubes[s.tube].Boxes[i]
	switch {
	case lo >= s.limit:
	case hi < s.limit || box.Fine(&part, turn, s.fine) || spent:
		s.out.Done = s.out.Done && !(spent && hi >= s.limit)
		s.out.add(turn)
	default:
		for side, half := range box.Halve(turn) {
			s.look(i, part.Halved(side), half)
		}
	}
}

// add joins a stretch to the last one if they meet.
func (s *Stretches) add(r tube.Range) {
	if n := len(s.At); n > 0 && r.From <= s.At[n-1].To {
		s.At[n-1].To = max(s.At[n-1].To, r.To)
		return
	}
	s.At = append(s.At, r)
}

// close joins the last stretch to the first in a closed turn, so that it continues beyond the end of the turn.
func (s *Stretches) close(t *tube.Tube) {
	n := len(s.At)
	if !t.Closes || n < 2 || s.At[0].From > t.Turn.From || s.At[n-1].To < t.Turn.To {
		return
	}
	s.At[n-1].To = s.At[0].To + 2*math.Pi
	s.At = s.At[1:]
}
