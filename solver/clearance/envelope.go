package clearance

import (
	"context"
	"math"

	"barover/solver/outline"
)

// Envelope bounds the distance of two outlines on some stretches of the turn, mm, over everything that tubes hold; it is
// NaN where no bound is known. A distance above most is given as most.
type Envelope struct{ Low, High []float64 }

// enveloped is one of the stretches while it is bounded.
type enveloped struct {
	low, high float64
	upTo      float64 // boxes hold it to here, rad
}

// Envelope bounds the distance of two outlines from below and from above on each stretch of the turn between two
// neighbouring places, at one setting of the travels. Unlike everything else here it may be asked on tubes that leave
// gaps, of which it says nothing. The upper bound holds as that of Most does, and is only given with above.
func (o *Over) Envelope(ctx context.Context, a, b *Form, ra, rb *outline.Region, turns, travel []float64, most float64, above bool) Envelope {
	o.fill()
	list := make([]enveloped, max(len(turns)-1, 0))
	for i := range list {
		list[i] = enveloped{math.Inf(1), math.Inf(-1), turns[i]}
	}
	if o.plan.Encloses(a.part) && o.plan.Encloses(b.part) {
		e := envelope{o.pair(a, b), o.most(a, b, ra, rb), most, above}
		for t := range o.tubes {
			e.along(ctx, t, turns, travel, list)
		}
	}
	out := Envelope{make([]float64, len(list)), make([]float64, len(list))}
	for i, s := range list {
		out.Low[i], out.High[i] = math.NaN(), math.NaN()
		if s.upTo < turns[i+1] || ctx.Err() != nil {
			continue
		}
		if (s.low >= 0 || a.solid && b.solid) && !math.IsInf(s.low, 0) { // the depth of others is not that of their forms
			out.Low[i] = s.low
		}
		if above && !math.IsInf(s.high, 0) {
			out.High[i] = s.high
		}
	}
	return out
}

// envelope is two outlines whose distance is bounded from both sides.
type envelope struct {
	*pairOver
	far   *mostOver
	most  float64
	above bool
}

// along bounds the distance over the stretches that the boxes of a tube cover at a setting of the travels.
func (e *envelope) along(ctx context.Context, t int, turns, travel []float64, list []enveloped) {
	tb := e.tubes[t]
	if !tb.OneBranch || !tb.Reached {
		return
	}
	for i := range tb.Boxes {
		box := &tb.Boxes[i]
		part, ok := tb.Across(box, travel)
		if !ok || ctx.Err() != nil {
			continue
		}
		far := e.apart(e.cells[t][i], e.a.hub, e.b.hub, e.a.reach+e.b.reach) >= e.most
		for k := range list {
			from, to := math.Max(turns[k], box.Turn.From), math.Min(turns[k+1], box.Turn.To)
			p := part
			if !(from < to) || !tb.Stretch(box, &p, from, to) {
				continue
			}
			s := &list[k]
			if from <= s.upTo { // boxes come by the turn: what is left out before this one stays open
				s.upTo = math.Max(s.upTo, to)
			}
			if far {
				s.low, s.high = math.Min(s.low, e.most), math.Max(s.high, e.most)
				continue
			}
			e.piece(&overNode{tube: t, box: i, part: p, cell: e.cells[t][i]}, s)
		}
	}
}

// piece adds the bounds on a part of a box to a stretch.
func (e *envelope) piece(n *overNode, s *enveloped) {
	for i := range e.a.pieces {
		for j := range e.b.pieces {
			m := *n
			m.lo, m.ia, m.ib = math.Inf(-1), i, j
			e.bound(&m)
			s.low = math.Min(s.low, math.Min(m.lo, e.most))
		}
	}
	if e.above {
		m := *n
		m.lo = math.Inf(-1)
		if e.far.bound(&m); s.low < 0 { // discs say nothing about how deep they overlap
			m.lo = math.Max(m.lo, -e.far.views[0].strayed(e.a, e.b, e.far.ra, e.far.rb))
		}
		s.high = math.Max(s.high, math.Min(-m.lo, e.most))
	}
}
