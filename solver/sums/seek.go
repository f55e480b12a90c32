package sums

import (
	"context"
	"math"

	"barover/solver/queue"
	"barover/solver/taylor"
	"barover/solver/tube"
)

// sumNode is a part of a box with a lower bound of the sum there.
type sumNode struct {
	lo        float64
	wide      float64 // twice the radius; some of it is the tube's, which splitting does not reduce
	tube, box int
	part      tube.Part
	at        [taylor.MaxVars]float64
	widest    int  // coordinate along which to split
	open      bool // it is left open: the sum may have no value on it
}

const (
	// sumsAllowed is how many parts of boxes may be tried for one extreme.
	sumsAllowed = 20000
	// leastSumHalf is the least size of a part, as a share of its box.
	leastSumHalf = 0x1p-30
	// openHalf is the size at which a part is left open where the sum may have no value on it, and openHalf2 the same
	// where more than the turn varies; mostOpen is how many such parts there may be.
	openHalf  = 0x1p-14
	openHalf2 = 0x1p-7
	mostOpen  = 2000
)

// seeker looks for the least of sign·sum.
type seeker struct {
	*Figure
	sign float64
	heap queue.Least[sumNode] // by their bounds
	best Answer
	node sumNode // where best was found
	lost bool    // the sum may have no value in too many places
	left int     // parts left open
	// drawn says that of engines with sizes only the one with all of them in the middle counts.
	drawn bool
}

func (f *Figure) seek(ctx context.Context, tolerance, sign float64) Answer {
	s := newSeeker(f, sign)
	for _, t := range f.on {
		for i := range f.tubes[t].Boxes {
			s.add(sumNode{lo: math.Inf(-1), tube: t, box: i, part: tube.Full()})
		}
	}
	s.search(ctx, tolerance)
	return s.best
}

func newSeeker(f *Figure, sign float64) *seeker {
	s := &seeker{Figure: f, sign: sign}
	s.best.Lo, s.best.Hi = math.Inf(1), math.Inf(1)
	return s
}

// search continues until the least is known to the tolerance plus the width of the tubes.
func (s *seeker) search(ctx context.Context, tolerance float64) {
	wide := 0.0
	for s.heap.Len() > 0 && !s.lost {
		top := s.heap.First()
		if gap := s.best.Hi - top.lo; gap <= tolerance || gap <= tolerance+top.wide && gap <= tolerance+s.blur(top) {
			wide = s.blur(top)
			break
		}
		if s.best.Boxes++; s.best.Boxes > s.prover.Parts(sumsAllowed) || s.best.Boxes&63 == 0 && ctx.Err() != nil {
			break
		}
		s.split(s.heap.Pop())
	}
	if s.best.Lo = s.best.Hi; s.heap.Len() > 0 {
		s.best.Lo = min(s.best.Lo, s.heap.Top())
	}
	if s.lost || s.best.Hi == math.Inf(1) {
		s.best.Lo = math.Inf(-1)
	}
	s.best.Done = s.best.Hi-s.best.Lo <= tolerance+wide
}

// blur is how far apart the bounds stay at the very place where a node may be least.
func (s *seeker) blur(n *sumNode) float64 {
	p := n.part
	for k := range p.Mid {
		p.Mid[k] += p.Half[k] * n.at[k]
		p.Half[k] = 0
	}
	v, ok := s.run[n.tube].Over(n.box, &p)
	if !ok || s.run[n.tube].Jump() { // a jump is no width of the tube: the sum is as little as its worse side
		return 0
	}
	return 3 * v.Rad
}

// add bounds the sum on a part and keeps the part if it may matter. Where the sum cannot be enclosed, or may have no
// value, the part is cut until it can be, or is so small that it is left open.
func (s *seeker) add(n sumNode) {
	v, ok := s.run[n.tube].Over(n.box, &n.part)
	n.widest = s.widest(&n, &v)
	if !n.open && (!ok || s.run[n.tube].Doubt()) {
		n.widest = s.widest(&n, &tube.Series{})
		if !s.small(&n) {
			s.split(n)
			return
		}
		s.leave(&n)
		n.open = true
	}
	if !ok {
		return
	}
	sp := s.tubes[n.tube].Space
	if s.drawn {
		v.Poly = sp.Undeviated(v.Poly)
	}
	lo, at := sp.Least(v.Poly)
	if s.sign < 0 {
		lo, at = sp.Greatest(v.Poly)
		lo = -lo
	}
	n.at, n.wide = at, 2*v.Rad
	if n.lo = max(n.lo, lo-v.Rad); s.sign > 0 {
		n.lo = max(n.lo, s.floor)
	}
	size := taylor.SizeOf(v.Poly)
	hi := s.sign*sp.Value(v.Poly, &at) + v.Rad + slip*size
	if s.sign > 0 && n.lo <= s.floor && hi < s.best.Hi+2*v.Rad {
		// A distance that may be zero on the part is bounded there as a whole: its value at the middle shows more.
		if mid, ok := s.middle(&n); ok && mid < hi {
			hi, at = mid, [taylor.MaxVars]float64{}
		}
	}
	if hi < s.best.Hi {
		s.best.Hi, s.node = hi, n
		tb := s.tubes[n.tube]
		s.best.At.Tube = n.tube
		s.best.At.Turn, s.best.At.Travel = tb.Position(&tb.Boxes[n.box], &n.part, &at)
	}
	if n.lo < s.best.Hi {
		s.heap.Push(n.lo, &n)
	}
}

// middle bounds the sum in the middle of a part from above.
func (s *seeker) middle(n *sumNode) (float64, bool) {
	p := n.part
	p.Half = [taylor.MaxVars]float64{}
	v, ok := s.run[n.tube].Over(n.box, &p)
	if !ok {
		return 0, false
	}
	return v.Poly[0] + v.Rad + slip*math.Abs(v.Poly[0]), true
}

// widest is the coordinate along which to split a part: the one in which the sum moves most. Without an enclosure it is
// the one in which the part is widest. The error of a least or greatest within the sum counts for the travels. Where the
// sum moves less than its error, as at a kink or at a distance that may be zero, its polynomial does not decide: -1.
func (s *seeker) widest(n *sumNode, v *tube.Series) int {
	sp := s.tubes[n.tube].Space
	weight := n.part.Half
	if v.Poly != nil {
		clear(weight[:])
		for i, p := range sp.Powers {
			for k := range sp.Vars {
				weight[k] += math.Abs(v.Poly[i]) * float64(p[k])
			}
		}
		for k := 1; k < sp.Vars && s.takes != nil; k++ {
			weight[k] += v.Rad
		}
	}
	best := 0
	for k := range sp.Vars {
		if weight[k] > weight[best] && n.part.Half[k] > 0 || n.part.Half[best] == 0 {
			best = k
		}
	}
	if v.Poly != nil && sp.Vars > 1 && weight[best] < v.Rad {
		return -1
	}
	return best
}

// sharpest is the coordinate on which the error of the sum on a part depends: the one along which the errors of the
// halves differ most from that of the whole. If that differs little, it is the one in which the part is widest. Halves
// may have a larger error than the whole, where one of two sums that cross was taken for the greater all over it.
func (s *seeker) sharpest(n *sumNode) int {
	best, most := 0, 0.0
	for k := range s.tubes[n.tube].Space.Vars {
		differs := 0.0
		for side := range 2 {
			half := n.part.HalvedAlong(k, side)
			if v, ok := s.run[n.tube].Over(n.box, &half); ok {
				differs = max(differs, math.Abs(v.Rad-n.wide/2))
			}
		}
		if alike := differs > 0.99*most; differs > 1.01*most || alike && n.part.Half[k] > n.part.Half[best] {
			best, most = k, differs
		}
	}
	return best
}

// split halves a part.
func (s *seeker) split(n sumNode) {
	if n.widest < 0 {
		n.widest = s.sharpest(&n)
	}
	k := n.widest
	if n.part.Half[k] < leastSumHalf {
		s.lost = true
		return
	}
	for side := range 2 {
		m := n
		m.part = n.part.HalvedAlong(k, side)
		s.add(m)
	}
}

// small reports whether a part is so small that it may be left open.
func (s *seeker) small(n *sumNode) bool {
	if s.best.Boxes++; s.best.Boxes > s.prover.Parts(sumsAllowed) {
		s.lost = true
		return true
	}
	if s.tubes[n.tube].Space.Vars > 1 {
		return n.part.Half[n.widest] < openHalf2
	}
	return n.part.Half[n.widest] < openHalf
}

// leave leaves a part open: nothing is claimed for its stretch of the turn.
func (s *seeker) leave(n *sumNode) {
	if s.left++; s.left > mostOpen {
		s.lost = true
		return
	}
	tb := s.tubes[n.tube]
	from, _ := tb.Position(&tb.Boxes[n.box], &n.part, &[taylor.MaxVars]float64{-1})
	to, _ := tb.Position(&tb.Boxes[n.box], &n.part, &[taylor.MaxVars]float64{1})
	s.best.Open = append(s.best.Open, tube.Range{From: from, To: to})
}

// soon is how many parts of boxes are split to find out whether a sum stays within bounds.
const soon = 500

// Keeps reports whether a short search proves the sum to be nowhere below lo and nowhere above hi. False may also mean
// that a longer search is needed.
func (f *Figure) Keeps(ctx context.Context, lo, hi float64) bool {
	return f.keepsAbove(ctx, lo, 1) && f.keepsAbove(ctx, -hi, -1)
}

// keepsAbove reports whether sign·sum is quickly proved to be nowhere below a limit. It splits parts where that is open,
// until one holds a place below the limit.
func (f *Figure) keepsAbove(ctx context.Context, limit, sign float64) bool {
	if math.IsInf(limit, -1) {
		return true
	}
	s := newSeeker(f, sign)
	s.best.Hi = limit
	boxes := 0
	for _, t := range f.on {
		for i := range f.tubes[t].Boxes {
			s.add(sumNode{lo: math.Inf(-1), tube: t, box: i, part: tube.Full()})
			boxes++
		}
	}
	for n := 0; s.heap.Len() > 0; n++ {
		if s.best.Hi < limit || s.lost || s.left > 0 || n == soon || n&63 == 63 && ctx.Err() != nil {
			return false
		}
		s.split(s.heap.Pop())
	}
	return boxes > 0 && !s.lost && s.left == 0 && s.best.Hi == limit
}
