package tube

import (
	"math"
	"slices"

	"barover/solver/taylor"
)

// A box that cannot be enclosed is too long in the turn or too wide in a travel. Which of them shows in the polynomials of
// what went wrong: the coordinate that moves it most is the one to halve.

// blame is what went wrong in enclosing a box: slots that vary too much over it, and the degree from which on they tell.
type blame struct {
	slots  []slot
	degree int
}

// on notes what went wrong. The slots' polynomials must have been computed.
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

// weigh tells how much each coordinate of the box has to do with what went wrong.
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
	// narrowBox is how short boxes may become before the travels are looked at for the reason.
	narrowBox = 2 * degree
	// weighty is how much more than the turn a travel must have to say before its range is halved.
	weighty = 2
	// splitOver is over how much of the turn a strip is halved when it is too wide: halves go on in longer boxes.
	splitOver = 30 * degree
	// maxSplits is how many times over the strips on which boxes have stood may be halved for each travel that varies, and
	// firstSplits how many times the whole is before any has.
	maxSplits   = 6
	firstSplits = 24
	// stillSplits is how many times as often where nothing moves with the turn: a range then is what a turn is elsewhere, and
	// what is quick in it takes boxes as short.
	stillSplits = 3
)

// tooWide tells whether a strip over which a box failed is to be halved rather than the box's turn, and in which travel: where
// that and not the turn keeps the box from being enclosed.
func (m *marcher) tooWide(strip []Range, splits int) (travel int, ok bool) {
	if len(m.ranges()) == 0 || splits >= m.mostSplits() {
		return 0, false
	}
	weight := m.solver.weigh()
	travel = m.heaviest(&weight, strip)
	return travel, m.idle || weight[travel] > weighty*weight[0] || m.step < 8*leastStrip
}

// short tells whether a strip is to be halved, and in which travel: where that makes the boxes that stand short.
func (m *marcher) short(splits int) (travel int, ok bool) {
	if len(m.Plan.Sizes) > 0 { // what sizes do makes boxes short, and narrower strips do not mend that
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

// splitTo is up to where a strip that is too wide over a stretch is halved.
func (m *marcher) splitTo(over Range, prev int) float64 {
	if prev < 0 && m.step >= narrowBox {
		return over.To // there is nothing yet that a box over the whole strip could follow
	}
	return stop(over.From, splitOver, over.To)
}

// noWeight is that of coordinates of which nothing is known.
var noWeight [taylor.MaxVars]float64

// heaviest is the varying travel with the greatest weight; of travels without one, that of which the strip is the greatest part.
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

// split lays boxes over the two halves of a strip. Both begin at the box prev; a box that follows needs only one of
// them, since they agree where they meet.
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
