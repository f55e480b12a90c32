package machine

import (
	"math"
	"slices"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/queue"
	"barover/solver/taylor"
)

// stillSum is the search for the least of a sum of dimensions alone over all sizes: by branch and bound on the sizes, so
// kinks and turning points do no harm.
type stillSum struct {
	v     *OverSizes
	st    *taylor.State
	box   taylor.Box
	root  taylor.Slot
	end   taylor.Slot
	sign  float64
	poly  []float64
	queue queue.Least[stillPart] // keyed by their bounds
	near  float64                // an estimate of the least value; dev are its deviations
	dev   []float64
	floor float64 // of parts that are not halved any more
}

// stillPart is a part of the sizes: each from mid - half to mid + half of its deviation.
type stillPart struct {
	lo        float64
	mid, half []float64
	widest    int // the deviation to halve; -1 for none
}

const (
	// stillParts is how many parts may be halved for one sum, and stillHalf the smallest half-width of a part.
	stillParts = 1000
	stillHalf  = 0x1p-20
	// stillShare is how near the bound and the least found must be, as a share of the effect of the sizes, and stillNear
	// how near is near enough.
	stillShare = 1e-4
	stillNear  = 1e-9
)

func newStillSum(v *OverSizes, b *taylor.Builder, root taylor.Slot, sign float64) *stillSum {
	sp := taylor.ForSizes(1, 2*taylor.Weight, len(v.sizes.List))
	n := 1 + v.m.Problem.Linkage.Travels
	s := &stillSum{v: v, st: taylor.NewState(&b.Tape, sp), root: root, end: taylor.Slot(b.Len()), sign: sign, poly: make([]float64, sp.N),
		near: math.Inf(1), floor: math.Inf(1)}
	s.box = taylor.Box{Mid: make([]float64, n), Half: make([][taylor.MaxVars]float64, n)}
	v.plan.Deviate(&s.box)
	return s
}

// search returns a lower bound, and the deviations with which the sum is about least. It returns false where the sum has
// no enclosure.
func (s *stillSum) search() (lo float64, dev []float64, ok bool) {
	n := len(s.v.sizes.List)
	whole := stillPart{lo: math.Inf(-1), mid: make([]float64, n), half: slices.Repeat([]float64{1}, n)}
	if !s.add(whole) {
		return 0, nil, false
	}
	near := max(stillNear, stillShare*s.width())
	for range stillParts {
		if s.queue.Len() == 0 || s.queue.Top() >= min(s.floor, s.near-near) {
			break
		}
		top := s.queue.Pop()
		if top.widest < 0 || top.half[top.widest] < stillHalf {
			s.floor = min(s.floor, top.lo)
			continue
		}
		for _, side := range [2]float64{-0.5, 0.5} {
			m := stillPart{top.lo, append([]float64(nil), top.mid...), append([]float64(nil), top.half...), -1}
			m.mid[top.widest] += side * top.half[top.widest]
			m.half[top.widest] /= 2
			if !s.add(m) {
				return 0, nil, false
			}
		}
	}
	lo = s.floor
	if s.queue.Len() > 0 {
		lo = min(lo, s.queue.Top())
	}
	return lo, s.dev, !math.IsNaN(lo)
}

// width is how much the sizes may move the sum, from the present part.
func (s *stillSum) width() float64 { return 2 * (taylor.SizeOf(s.poly[1:]) + s.st.Rad(s.root)) }

// add bounds the sum on a part. It returns false where it has no enclosure there.
func (s *stillSum) add(p stillPart) bool {
	box := s.box
	box.Middle, box.Sizes = append([]float64(nil), s.box.Middle...), append([]float64(nil), s.box.Sizes...)
	for i := range box.Sizes {
		box.Middle[i] += box.Sizes[i] * p.mid[i]
		box.Sizes[i] = box.Sizes[i]*p.half[i]*(1+0x1p-50) + math.Abs(box.Middle[i])*0x1p-51
	}
	s.st.Place(&box, 0, s.end)
	if !s.st.Fill(0, s.end) {
		return false
	}
	for i, x := range s.st.Poly(s.root) {
		s.poly[i] = s.sign * x
	}
	lo, _, dev := s.st.Space.LeastOf(s.poly, s.v.sizes.Disc)
	p.lo = max(p.lo, lo-s.st.Rad(s.root))
	if near := s.st.Space.ValueOf(s.poly, &[taylor.MaxVars]float64{}, dev); near+s.st.Rad(s.root) < s.near {
		s.near, s.dev = near+s.st.Rad(s.root), make([]float64, len(dev))
		for i, d := range dev {
			s.dev[i] = p.mid[i] + p.half[i]*d
		}
	}
	p.widest = s.widest(&p)
	s.queue.Push(p.lo, &p)
	return true
}

// widest returns the deviation that moves the sum most on a part, or the widest where the enclosure does not tell.
// Deviations of discs are not halved.
func (s *stillSum) widest(p *stillPart) int {
	weight := make([]float64, len(p.half))
	for i, c := range s.poly {
		for _, d := range s.st.Space.Dev[i] {
			if d >= 0 {
				weight[d] += math.Abs(c)
			}
		}
	}
	best := -1
	for i := range weight {
		if s.v.sizes.Disc[i] || i > 0 && s.v.sizes.Disc[i-1] {
			continue
		}
		if weight[i] += s.st.Rad(s.root) * p.half[i]; weight[i] > 0 && (best < 0 || weight[i] > weight[best]) {
			best = i
		}
	}
	return best
}

// still bounds a keep line of dimensions alone.
func (v *OverSizes) still(sum, less expr.ID, sign float64) Bound {
	lo, dev, ok := v.leastOf(sign, func(t *taylor.Compiler) (taylor.Slot, error) { return t.Difference(sum, less) })
	if !ok {
		return v.not(solver.RoughSum)
	}
	return Bound{Known: true, Worst: sign * lo, Near: sign * lo, With: v.with(dev)}
}
