package clearance

import (
	"container/heap"
	"context"
	"math"

	"barover/solver/expr"
	"barover/solver/taylor"
	"barover/solver/tube"
)

// LeastSum bounds a sum, minus another where one is given, from below over everything that the tubes hold; with a sign of
// -1 it bounds the negative of that. It is enough to know that the figure stays above keeps. The error says why it cannot
// be done.
func (o *Over) LeastSum(ctx context.Context, sum, less expr.ID, sign, tolerance, keeps float64) (Worst, error) {
	s, open, err := o.sumOver(ctx, sum, less, sign)
	if err != nil {
		return Worst{}, err
	}
	s.tolerance, s.keeps = tolerance, keeps
	for _, n := range open {
		if !s.add(n) {
			return Worst{}, SumOpen
		}
	}
	if err := s.search(ctx); err != nil {
		return Worst{}, err
	}
	return s.best, nil
}

// sumOver prepares to bound a sum, and lists the boxes to look at.
func (o *Over) sumOver(ctx context.Context, sum, less expr.ID, sign float64) (s *sumOver, open []overNode, err error) {
	if !o.whole {
		return nil, nil, SumOpen
	}
	o.fill()
	f, err := tube.NewFigure(o.plan, o.plan.Values, sum, less)
	if err != nil {
		return nil, nil, err
	}
	p := &Prover{tubes: o.tubes, values: o.plan.Values, tolerance: o.tolerance, store: o.store}
	s = &sumOver{Over: o, sign: sign, best: Worst{Lo: math.Inf(-1), Near: math.Inf(1)}, run: make([]*tube.Runner, len(o.tubes))}
	rides, held := o.plan.Schedule.SumRides(sum), o.plan.Values.Graph.Held(sum)
	if less != expr.None {
		rides, held = rides|o.plan.Schedule.SumRides(less), held && o.plan.Values.Graph.Held(less)
	}
	for _, t := range unlike(o.tubes, true, rides) {
		r, ok := tube.NewRunner(f, o.tubes[t])
		if !ok {
			return nil, nil, HeadingLost
		}
		if s.wholes = len(f.Wholes) > 0; s.wholes {
			w, err := p.wholes(ctx, t, f.Wholes)
			if err != nil {
				return nil, nil, err
			}
			r.SetWholes(w.over)
		}
		s.run[t] = r
		boxes := len(o.tubes[t].Boxes)
		if s.held = held && s.wholes; held { // the whole effect of the travels shows at the start of the turn
			boxes = o.tubes[t].Started()
		}
		for i := range boxes {
			part, tb := tube.Full(), o.tubes[t]
			if held {
				tb.Stretch(&tb.Boxes[i], &part, tb.Turn.From, tb.Turn.From)
			}
			if o.only == nil || held || tb.Stretch(&tb.Boxes[i], &part, o.only.From, o.only.To) {
				open = append(open, overNode{tube: t, box: i, part: part, lo: math.Inf(-1), cell: o.cells[t][i]})
			}
		}
	}
	return s, open, nil
}

// SumOpen says why a sum cannot be proved over sizes.
const SumOpen Reason = "with some sizes the sum may have no value"

// sumOver is a sum whose least over all sizes is sought.
type sumOver struct {
	*Over
	sign, tolerance float64
	keeps           float64 // it is enough to know that the sum stays above this
	run             []*tube.Runner
	wholes          bool // it takes something over all of the turn
	held            bool // and nothing else moves it
	queue           overQueue
	best            Worst
}

// add bounds the sum on a part. It reports false where it has no enclosure there, however small the part is.
func (s *sumOver) add(n overNode) bool {
	b, ok := s.run[n.tube].Least(n.box, &n.part, n.cell.anew, n.sides, s.sign, s.disc)
	if !ok {
		n.widest = n.part.Longest(s.space.Vars)
		if s.best.Boxes++; s.best.Boxes > s.allowed {
			return false
		}
		return n.part.Half[n.widest] > leastOver && s.split(n)
	}
	if n.widest = s.space.Foremost(b.Poly); s.held && n.part.Half[n.widest] == 0 { // nothing is known of how travels move it
		n.widest = n.part.Longest(s.space.Vars)
	}
	n.fork, n.gain = b.Fork, max(0, b.Lo-n.lo)
	n.lo, n.wide, n.moved = max(n.lo, b.Lo), 2*b.Off, s.space.Moved(b.Poly)
	if b.Near < s.best.Near {
		tb := s.tubes[n.tube]
		s.best.Near, s.best.Dev, s.best.At.Tube = b.Near, b.Dev, n.tube
		s.best.At.Turn, s.best.At.Travel = tb.Position(&tb.Boxes[n.box], &n.part, &b.At)
	}
	heap.Push(&s.queue, n)
	return true
}

func (s *sumOver) split(n overNode) bool {
	for side := range 2 {
		if !s.add(n.halved(n.widest, side)) {
			return false
		}
	}
	return true
}

func (s *sumOver) search(ctx context.Context) error {
	floor := math.Inf(1)
	for len(s.queue) > 0 {
		near := s.best.Near - nearer(s.space, s.tolerance, s.queue[0].moved)
		if s.queue[0].lo >= min(floor, near, s.keeps) || s.best.Near < s.keeps && !math.IsInf(s.keeps, 1) {
			break
		}
		if s.best.Boxes++; s.best.Boxes > s.allowed || s.best.Boxes&15 == 0 && ctx.Err() != nil {
			break
		}
		n := heap.Pop(&s.queue).(overNode)
		if n.fork != taylor.None && n.wide > muchRadii*(min(near, s.keeps)-n.lo) {
			for side := range 2 {
				m := n
				if m.sides = n.sides.With(n.fork, float64(side)); !s.add(m) {
					return SumOpen
				}
			}
			continue
		}
		switch kids := s.finer(&n, min(near, s.keeps)); {
		case kids != nil:
			for i := range kids {
				if !s.add(kids[i]) {
					return SumOpen
				}
			}
		case n.part.Half[n.widest] < leastOver || s.settled(&n, near):
			floor = min(floor, n.lo)
		case !s.split(n):
			return SumOpen
		}
	}
	s.best.Lo = floor
	if len(s.queue) > 0 {
		s.best.Lo = min(floor, s.queue[0].lo)
	}
	return ctx.Err()
}

// finer is Over.finer, unless the radii are not those of the box.
func (s *sumOver) finer(n *overNode, near float64) []overNode {
	if s.held {
		return nil
	}
	return s.Over.finer(n, near)
}

// leastGain is the least share of what is missing from a bound that halves must gain to be halved again.
const leastGain = 1.0 / 16

// settled reports whether splitting a node is no gain: what is missing from its bound are radii, and as far as the halves so far show these are
// less neither on a smaller part nor over fewer travels.
func (s *sumOver) settled(n *overNode, near float64) bool {
	return (s.held || n.lo >= near-n.wide) && n.gain < leastGain*(near-n.lo)
}
