package tube

import (
	"math"
	"slices"

	"barover/solver/taylor"
)

// A box that cannot be enclosed is too long in the turn or too wide in a travel. The polynomials of what failed show
// which: halve the coordinate that moves it most.

// blame is what failed in the enclosure of a box: slots that vary too much over it, and the least degree that counts.
type blame struct {
	slots  []slot
	degree int
}

// on notes what failed. The slots' polynomials must have been computed.
func (b *blame) on(degree int, slots ...slot) {
	b.slots, b.degree = append(b.slots[:0], slots...), degree
}

// blameFill notes the operands of the first slot from a to b that could not be enclosed.
func (v *solver) blameFill(a, b slot) {
	v.blame.on(1)
	for i := a; i < b; i++ {
		if r := v.st.Rad(i); !(r < math.MaxFloat64) {
			v.blame.slots = v.plan.tape.Operands(v.blame.slots, i)
			return
		}
	}
}

// blameScalars notes the unknowns of a step.
func (v *solver) blameScalars(s *step) {
	v.blame.on(1)
	for _, k := range s.scalars {
		v.blame.slots = append(v.blame.slots, v.plan.scalar[k])
	}
}

// weigh returns how much each coordinate of the box contributed to the failure.
func (v *solver) weigh() (weight [taylor.MaxVars]float64) {
	for d := v.blame.degree; ; d = 1 {
		all := 0.0
		from := v.space.At[d]
		for _, s := range v.blame.slots {
			for i, c := range v.st.Poly(s)[from:] {
				c = math.Abs(c)
				if !(c <= math.MaxFloat64) {
					return [taylor.MaxVars]float64{}
				}
				all += c
				for k, p := range v.space.Powers[from+i][:v.space.Vars] {
					weight[k] += c * float64(p)
				}
			}
		}
		if all > 0 || d <= 1 {
			return weight
		}
	}
}

const (
	// narrowBox is how short boxes may become before the travels are examined.
	narrowBox = 2 * degree
	// weighty is how much heavier than the turn a travel must be before its range is halved.
	weighty = 2
	// splitOver is the stretch of the turn over which a strip that is too wide is halved: the halves go on in longer
	// boxes.
	splitOver = 30 * degree
	// maxSplits is how often the strips that have held boxes may be halved for each varying travel, and firstSplits how
	// often the whole may be before any has.
	maxSplits   = 6
	firstSplits = 24
	// stillSplits is the factor for more halvings where nothing moves with the turn: a range then does what a turn does
	// elsewhere, and fast motion in it needs boxes as short.
	stillSplits = 3
)

// tooWide reports whether to halve a strip over which a box failed rather than the box's turn, and in which travel: the
// one that keeps the box from being enclosed.
func (m *marcher) tooWide(strip []Range, splits int) (travel int, ok bool) {
	if len(m.ranges()) == 0 || splits >= m.mostSplits() {
		return 0, false
	}
	weight := m.solver.weigh()
	travel = m.heaviest(&weight, strip)
	return travel, m.idle || weight[travel] > weighty*weight[0] || m.step < 8*leastStrip
}

// short reports whether to halve a strip, and in which travel: the one that makes the boxes short.
func (m *marcher) short(splits int) (travel int, ok bool) {
	if len(m.Plan.Sizes) > 0 { // sizes make boxes short, and narrower strips do not mend that
		return 0, false
	}
	if m.idle || len(m.vary) == 1 || len(m.Boxes) == 0 || m.step >= narrowBox || splits >= m.mostSplits() {
		return 0, false
	}
	weight := m.solver.weigh()
	travel = m.heaviest(&weight, m.Travel)
	return travel, weight[travel] > weighty*weight[0] || m.step < 8*leastStrip
}

func (m *marcher) mostSplits() int {
	if len(m.Boxes) == 0 {
		return firstSplits
	}
	most := maxSplits * len(m.ranges())
	if !slices.Contains(m.Plan.turns, true) {
		most *= stillSplits
	}
	return m.coarsest + most
}

// splitTo returns up to where a strip that is too wide over a stretch is halved.
func (m *marcher) splitTo(over Range, prev int) float64 {
	if prev < 0 && m.step >= narrowBox {
		return over.To // there is nothing yet for a box over the whole strip to follow
	}
	return stop(over.From, splitOver, over.To)
}

// noWeight is the weight of coordinates of which nothing is known.
var noWeight [taylor.MaxVars]float64

// heaviest returns the varying travel with the greatest weight or, without weights, the one of which the strip is the
// greatest part.
func (m *marcher) heaviest(weight *[taylor.MaxVars]float64, strip []Range) (travel int) {
	share := func(k int) float64 {
		all := m.Travel[m.vary[k]-1]
		r := strip[m.vary[k]-1]
		return (r.To - r.From) / (all.To - all.From)
	}
	travel = m.firstRange()
	for k := travel + 1; k < len(m.vary); k++ {
		if weight[k] > weight[travel] || weight[travel] == 0 && share(k) > share(travel) {
			travel = k
		}
	}
	return travel
}

// split lays boxes over the two halves of a strip. Both begin at the box prev. A box that follows needs only one of them,
// since they agree where they meet.
func (m *marcher) split(strip []Range, over Range, prev, splits, k int) int {
	j := m.vary[k] - 1
	last, step := prev, m.step
	for half := range 2 {
		s := append([]Range(nil), strip...)
		mid := strip[j].Mid()
		if half == 0 {
			s[j].To = mid
		} else {
			s[j].From = mid
		}
		m.step = step
		n := len(m.Boxes)
		end := m.cover(s, over, prev, splits+1)
		if len(m.Boxes) > n {
			last = end
		}
	}
	return last
}
