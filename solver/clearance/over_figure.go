package clearance

import (
	"context"
	"math"
	"slices"

	"barover/solver/expr"
	"barover/solver/sums"
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
	s = &sumOver{Over: o, sign: sign, overSearch: newSearch(), wholes: len(f.Wholes) > 0, all: o.space.Few(math.MaxUint64), guess: math.Inf(1), run: make([]*tube.Runner, len(o.tubes))}
	rides, held := o.plan.Schedule.SumRides(sum), o.plan.Values.Graph.Held(sum)
	if less != expr.None {
		rides, held = rides|o.plan.Schedule.SumRides(less), held && o.plan.Values.Graph.Held(less)
	}
	for _, t := range tube.Unlike(o.tubes, rides) {
		if s.run[t], err = o.sums.Runner(ctx, f, t); err != nil {
			return nil, nil, err
		}
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
const SumOpen sums.Reason = "with some sizes the sum may have no value"

// sumOver is a sum whose least over all sizes is sought.
type sumOver struct {
	*Over
	sign, tolerance float64
	run             []*tube.Runner
	wholes          bool // it takes something over all of the turn
	held            bool // and nothing else moves it
	overSearch
	all   taylor.Few // every size
	guess float64    // the least figure of an engine that was enclosed by itself, before it was
}

// add bounds the sum on a part. It reports false where it has no enclosure there, however small the part is.
func (s *sumOver) add(n overNode) bool {
	b, ok := s.least(&n)
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
	n.sum, n.gain = &b, max(0, b.Lo-n.lo)
	n.lo, n.wide, n.moved = max(n.lo, b.Lo), 2*b.Off, s.space.Moved(b.Poly)
	s.meets(&n, &b)
	s.exactly(&n, &b)
	s.put(&n)
	return true
}

// meets takes the engine of a bound for the worst, if it is.
func (s *sumOver) meets(n *overNode, b *tube.Bound) {
	if b.Near < s.best.Near {
		tb := s.tubes[n.tube]
		s.best.Near, s.best.Dev, s.best.At.Tube = b.Near, n.cell.uncut(slices.Clone(b.Dev)), n.tube
		s.best.At.Turn, s.best.At.Travel = tb.Position(&tb.Boxes[n.box], &n.part, &b.At)
	}
}

// little is the share of a part and of its sizes that are enclosed again to know how near the sum comes.
const little = 0x1p-10

// exactly encloses little more than the engine of a bound at its place, where radii hide how near it comes.
func (s *sumOver) exactly(n *overNode, b *tube.Bound) {
	gap := b.Near - b.Off
	if s.wholes || b.Off < nearer(s.space, s.tolerance, n.moved)/4 || gap >= min(s.guess, s.best.Near) {
		return
	}
	s.guess = gap
	m := *n
	cut := taylor.About(b.Dev, s.space.Devs, little)
	m.part = n.part.About(&b.At, s.space.Vars, little)
	if m.cell = n.cell.some(&m.part, &cut); m.cell == nil {
		return
	}
	if b, ok := s.least(&m); ok {
		s.meets(&m, &b)
	}
}

// least bounds the sum on a part; see tube.Runner.
func (s *sumOver) least(n *overNode) (tube.Bound, bool) {
	return s.run[n.tube].Least(n.box, &n.part, n.cell.anew, n.sides, s.sign, s.disc)
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
	if !s.until(ctx, s.Over, s.space, s.tolerance, s.closer) {
		return SumOpen
	}
	s.end(ctx)
	return ctx.Err()
}

// closer bounds the sum on the parts of a node. It returns false where it has no enclosure there.
func (s *sumOver) closer(n overNode) bool {
	radii := n.wide > muchRadii*(s.upTo-n.lo)
	var kids []overNode
	switch {
	case radii && n.sum.Fork != taylor.None:
		for side := range 2 {
			m := n
			m.sides = n.sides.With(n.sum.Fork, float64(side))
			kids = append(kids, m)
		}
	case radii && !s.held && !s.wholes && s.mayCut(&n, s.space):
		kids = s.some(&n, s.Over, s.nearest(&n), &s.all)
	case !s.held:
		kids = s.finer(&n, s.upTo)
	}
	for i := range kids {
		if !s.add(kids[i]) {
			return false
		}
	}
	switch {
	case kids != nil:
	case n.part.Half[n.widest] < leastOver || s.settled(&n):
		s.floor = min(s.floor, n.lo)
	default:
		return s.split(n)
	}
	return true
}

// nearest finds the engines of a node in which the sum may be less than is sought.
func (s *sumOver) nearest(n *overNode) *taylor.Cutting {
	c := taylor.NewCutting(s.space, s.disc, s.upTo)
	lo, _, _ := s.space.LeastOf(n.sum.Poly, s.disc)
	c.Add(n.sum.Poly, lo, n.sum.Off)
	c.Turn()
	return c
}

// leastGain is the least share of what is missing from a bound that halves must gain to be halved again.
const leastGain = 1.0 / 16

// settled reports whether splitting a node is no gain: what is missing from its bound are radii, and as far as the halves so far show these are
// less neither on a smaller part nor over fewer travels.
func (s *sumOver) settled(n *overNode) bool {
	return (s.held || n.lo >= s.near-n.wide) && n.gain < leastGain*(s.near-n.lo)
}
