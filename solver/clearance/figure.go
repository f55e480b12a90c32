package clearance

import (
	"container/heap"
	"context"
	"math"

	"barover/solver/expr"
	"barover/solver/taylor"
	"barover/solver/tube"
)

// Figure is a sum on the tubes of a Prover.
type Figure struct {
	tubes []*tube.Tube
	run   []*tube.Runner // of each tube
}

// Reason says why a sum is not provable.
type Reason string

func (r Reason) Error() string { return string(r) }

// Why a sum may not be provable.
const (
	HeadingLost Reason = "a heading cannot be followed without a jump over the whole turn"
	WholeMoves  Reason = "the least or greatest over a turn is not the same at every travel"
	WholeOpen   Reason = "the least or greatest over a turn could not be enclosed"
)

// Figure makes a sum ready to be bounded. The error says what in it cannot be enclosed: it is to be sampled then.
func (p *Prover) Figure(ctx context.Context, sum expr.ID) (*Figure, error) {
	if len(p.tubes) == 0 {
		return nil, WholeOpen
	}
	f, err := tube.NewFigure(p.tubes[0].Plan, sum)
	if err != nil {
		return nil, err
	}
	g := &Figure{tubes: p.tubes}
	for i, t := range p.tubes {
		r, ok := tube.NewRunner(f, t)
		if !ok {
			return nil, HeadingLost
		}
		for k, id := range f.Wholes {
			lo, hi, err := p.whole(ctx, i, id)
			if err != nil {
				return nil, err
			}
			r.SetWhole(k, lo, hi)
		}
		g.run = append(g.run, r)
	}
	return g, nil
}

// whole encloses a least, greatest or span over the turn of one tube.
func (p *Prover) whole(ctx context.Context, i int, id expr.ID) (lo, hi float64, err error) {
	t := p.tubes[i]
	g := t.Plan.Values.Graph
	n := g.Nodes[id]
	if t.Varies() && g.Uses(n.A)&^expr.UsesTurn != 0 {
		return 0, 0, WholeMoves
	}
	q := &Prover{tubes: p.tubes[i : i+1], tolerance: p.tolerance}
	f, err := q.Figure(ctx, n.A)
	if err != nil {
		return 0, 0, err
	}
	if !t.Whole() {
		return 0, 0, WholeOpen
	}
	var least, most Extreme
	if n.Op != expr.Greatest {
		least = f.Least(ctx, p.tolerance/wholeFiner)
	}
	if n.Op != expr.Least {
		most = f.Greatest(ctx, p.tolerance/wholeFiner)
	}
	switch n.Op {
	case expr.Least:
		lo, hi = least.Lo, least.Hi
	case expr.Greatest:
		lo, hi = most.Lo, most.Hi
	default:
		lo, hi = most.Lo-least.Hi, most.Hi-least.Lo
	}
	if !(hi-lo < math.Inf(1)) {
		return 0, 0, WholeOpen
	}
	return lo, hi, nil
}

// wholeFiner is by how much finer than distances a least or greatest within a sum is worked out.
const wholeFiner = 10

// Extreme is what is known of the least or the greatest of a sum: wherever the tubes reach it is nowhere below Lo (above Hi),
// and at the place At it is no more than Hi (no less than Lo).
type Extreme struct {
	Lo, Hi float64
	At     Place
	Done   bool // Hi - Lo is within the tolerance and what the tubes are wide
	Boxes  int
}

// sumNode is a part of a box with a lower bound of the sum there.
type sumNode struct {
	lo        float64
	wide      float64 // how far the bounds are kept apart by the tube and not by the size of the part
	tube, box int
	part      tube.Part
	at        [taylor.MaxVars]float64
}

type sumHeap []sumNode

func (h sumHeap) Len() int           { return len(h) }
func (h sumHeap) Less(i, j int) bool { return h[i].lo < h[j].lo }
func (h sumHeap) Swap(i, j int)      { h[i], h[j] = h[j], h[i] }
func (h *sumHeap) Push(x any)        { *h = append(*h, x.(sumNode)) }
func (h *sumHeap) Pop() any {
	n := (*h)[len(*h)-1]
	*h = (*h)[:len(*h)-1]
	return n
}

const (
	// sumsAllowed is how many parts of boxes may be looked at for one extreme.
	sumsAllowed = 20000
	// leastSumHalf is how small a part may become, in parts of its box, before a sum that has no enclosure is given up.
	leastSumHalf = 0x1p-30
)

// seeker looks for the least of sign·sum.
type seeker struct {
	*Figure
	sign float64
	heap sumHeap
	best Extreme
	lost bool // a place was found where the sum cannot be enclosed
}

// Least finds the least of the sum to a tolerance of its own unit.
func (f *Figure) Least(ctx context.Context, tolerance float64) Extreme {
	return f.seek(ctx, tolerance, 1)
}

// Greatest finds the greatest of the sum.
func (f *Figure) Greatest(ctx context.Context, tolerance float64) Extreme {
	e := f.seek(ctx, tolerance, -1)
	e.Lo, e.Hi = -e.Hi, -e.Lo
	return e
}

func (f *Figure) seek(ctx context.Context, tolerance, sign float64) Extreme {
	s := &seeker{Figure: f, sign: sign}
	s.best.Lo, s.best.Hi = math.Inf(1), math.Inf(1)
	for t, tb := range f.tubes {
		for i := range tb.Boxes {
			s.add(sumNode{lo: math.Inf(-1), tube: t, box: i, part: tube.Full()})
		}
	}
	for len(s.heap) > 0 && !s.lost {
		top := &s.heap[0]
		if s.best.Hi-top.lo <= tolerance+top.wide {
			break
		}
		if s.best.Boxes++; s.best.Boxes > sumsAllowed || s.best.Boxes&63 == 0 && ctx.Err() != nil {
			break
		}
		s.split(heap.Pop(&s.heap).(sumNode))
	}
	wide := 0.0
	if s.best.Lo = s.best.Hi; len(s.heap) > 0 {
		s.best.Lo, wide = min(s.best.Lo, s.heap[0].lo), s.heap[0].wide
	}
	if s.lost {
		s.best.Lo = math.Inf(-1)
	}
	s.best.Done = s.best.Hi-s.best.Lo <= tolerance+wide
	return s.best
}

// add bounds the sum on a part and keeps it if it may matter.
func (s *seeker) add(n sumNode) {
	v, ok := s.run[n.tube].Over(n.box, &n.part)
	if !ok {
		heap.Push(&s.heap, n)
		return
	}
	sp := s.tubes[n.tube].Space
	lo, at := sp.Least(v.Poly)
	if s.sign < 0 {
		lo, at = sp.Greatest(v.Poly)
		lo = -lo
	}
	n.at, n.wide = at, 2*v.Rad
	n.lo = max(n.lo, lo-v.Rad)
	size := 0.0
	for _, c := range v.Poly {
		size += math.Abs(c)
	}
	if hi := s.sign*sp.Value(v.Poly, &at) + v.Rad + slip*size; hi < s.best.Hi {
		s.best.Hi = hi
		tb := s.tubes[n.tube]
		s.best.At.Tube = n.tube
		s.best.At.Turn, s.best.At.Travel = tb.Position(&tb.Boxes[n.box], &n.part, &at)
	}
	if n.lo < s.best.Hi {
		heap.Push(&s.heap, n)
	}
}

// split halves a part along the coordinate in which it is widest.
func (s *seeker) split(n sumNode) {
	k := 0
	for j := range s.tubes[n.tube].Space.Vars {
		if n.part.Half[j] > n.part.Half[k] {
			k = j
		}
	}
	if n.part.Half[k] < leastSumHalf {
		s.lost = true
		return
	}
	for _, side := range [2]float64{-0.5, 0.5} {
		m := n
		m.part.Mid[k] += side * n.part.Half[k]
		m.part.Half[k] /= 2
		s.add(m)
	}
}
