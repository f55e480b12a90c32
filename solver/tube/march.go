package tube

import (
	"context"
	"math"

	"barover/solver/linkage"
	"barover/solver/taylor"
)

const (
	degree = math.Pi / 180
	// widestBox is the longest stretch of the turn in one box, and firstBox the length of the first.
	widestBox = 20 * degree
	firstBox  = 12 * degree
	// leastBox is the length at which a march gives up where only the turn varies, and leastStrip where travels vary too.
	leastBox   = 1e-4 * degree
	leastStrip = 0.05 * degree
	// leastSized is the same where sizes vary: the effect of a size is as large in a short box.
	leastSized = 1e-2 * degree
	// leastAffine is the same where boxes keep no squares: where they must be so short, squares are needed everywhere.
	leastAffine = 4 * degree
)

// marcher lays box after box along the turn.
type marcher struct {
	*Tube
	ctx    context.Context
	solver *solver
	guide  Guide
	ask    Ask
	step   float64 // stretch of the turn for the next box
	fine   float64 // ratio of the worst radius of the last box tried to its limit
	floor  floor   // radius that no shorter box can improve on; see sizes.go
	// coarsest is how often the widest strip that holds a box has been halved.
	coarsest int
	parts    int // how often the motion was started again
	left     int // boxes that may still be tried
	// stretches are those about change points, searched for when a box near one first fails; nil before that.
	stretches []linkage.Stretch
	rest      fix // at the start of the turn with the travels at rest
	guess     []float64
	seed      []float64
	zeros     []float64
}

// try encloses one box that follows the box prev, and checks that it is on the same branch at the turn where they meet.
// It reports whether the box stands; it is then the last of Boxes.
func (m *marcher) try(turn Range, strip []Range, prev int, meet float64) bool {
	before := &m.Boxes[prev]
	if !(before.Turn.From <= meet && meet <= before.Turn.To) {
		return false
	}
	b := Box{Turn: turn, Travel: strip, at: m.boxOver(turn, strip), part: before.part}
	mid := middle(strip)
	tau := m.local(before, turn.Mid(), mid)
	for i, k := range m.Plan.known {
		m.guess[k] = m.value(before, i, &tau)
	}
	if !m.enclose(&b) || !m.linked(before, &b, meet, mid) {
		return false
	}
	m.Boxes = append(m.Boxes, b)
	return true
}

// open encloses one box of a part for which the scalars at the turn `at` are known, with the travels at the middle of the
// strip.
func (m *marcher) open(turn Range, strip []Range, at float64, known fix, part int) bool {
	b := Box{Turn: turn, Travel: strip, at: m.boxOver(turn, strip), part: part}
	copy(m.guess, known.at)
	if !m.enclose(&b) || !m.startsAt(&b, at, middle(strip), known) {
		return false
	}
	m.Boxes = append(m.Boxes, b)
	return true
}

// enclose computes a box from the scalars guessed at its centre.
func (m *marcher) enclose(b *Box) bool {
	m.left--
	m.fine = 0
	if !m.solver.enclose(&b.at, m.guess) {
		return false
	}
	if m.fineEnough() {
		m.solver.store(b)
		return true
	}
	return len(m.Plan.Sizes) > 0 && m.fineAsMayBe(b)
}

// fineEnough reports whether every radius is within its limit, and notes the ratio for the worst.
func (m *marcher) fineEnough() bool {
	worst, at := m.coarseness()
	m.solver.blame.on(m.Space.Order, at)
	m.fine = worst / m.ask.radius()
	return m.fine <= 1
}

// coarseness returns the worst radius of the present box, mm, and its slot.
func (m *marcher) coarseness() (worst float64, at slot) {
	for i, s := range m.Plan.keep {
		if off := m.solver.st.Rad(s) * m.reach[i]; off > worst {
			worst, at = off, s
		}
	}
	return worst, at
}

// store copies what a box keeps from the solver.
func (v *solver) store(b *Box) {
	n := v.space.N
	b.poly = make([]float64, len(v.plan.keep)*n)
	b.rad = make([]float64, len(v.plan.keep))
	for i, s := range v.plan.keep {
		copy(b.poly[i*n:], v.st.Poly(s))
		b.rad[i] = v.st.Rad(s)
	}
	b.wide = append([]float64(nil), v.wide...)
}

// linked reports whether the tube of a is within the wide tube of b at a position that both hold. Then both hold the same
// solution there, and so wherever they meet.
func (m *marcher) linked(a, b *Box, turn float64, travel []float64) bool {
	return m.same(a, b, m.local(a, turn, travel), m.local(b, turn, travel))
}

// same reports whether the tube of a at the place ta is within the wide tube of b at tb.
func (t *Tube) same(a, b *Box, ta, tb [taylor.MaxVars]float64) bool {
	for i, k := range t.Plan.known {
		va, vb := t.value(a, i, &ta), t.value(b, i, &tb)
		if !(math.Abs(va-vb)+a.rad[i]+slip*(t.sizeOf(a, i)+t.sizeOf(b, i)) < b.wide[k]) && !t.Plan.loose {
			return false
		}
	}
	return true
}

// slip is the share of its size that a polynomial may lose to rounding when it is evaluated, with room to spare.
const slip = 1e-13

// sizeOf adds up the sizes of the coefficients of a kept slot.
func (t *Tube) sizeOf(b *Box, kept int) float64 {
	return taylor.SizeOf(b.poly[kept*t.Space.N : (kept+1)*t.Space.N])
}

// startsAt reports whether the solution of b at a position is the known one.
func (m *marcher) startsAt(b *Box, turn float64, travel []float64, known fix) bool {
	tau := m.local(b, turn, travel)
	for i, k := range m.Plan.known {
		if !(math.Abs(m.value(b, i, &tau)-known.at[k])+known.off[k]+slip*m.sizeOf(b, i) < b.wide[k]) && !m.Plan.loose {
			return false
		}
	}
	return true
}

func middle(travel []Range) []float64 {
	mid := make([]float64, len(travel))
	for i, r := range travel {
		mid[i] = r.Mid()
	}
	return mid
}

// turnShare returns the share of the last box's coarseness that comes from its turn, from 0 to 1.
func (m *marcher) turnShare() float64 {
	if len(m.vary) == 1 {
		return 1
	}
	weight, all := m.solver.weigh(), 0.0
	for _, w := range weight[:len(m.vary)] {
		all += w
	}
	if all == 0 {
		return 1
	}
	return weight[0] / all
}

// next returns the length of the next box after one that stood.
func (m *marcher) next(done float64) float64 {
	grow := 2.0
	if len(m.Plan.Sizes) > 0 {
		return min(widestBox, done*m.growth())
	}
	if m.fine > 0 {
		share := m.turnShare()
		if room := math.Pow(0.85, float64(m.Space.Order+1))/m.fine - (1 - share); room > 0 {
			grow = min(2, max(0.5, math.Pow(room/share, 1/float64(m.Space.Order+1))))
		} else {
			grow = 1
		}
	}
	return min(widestBox, done*grow)
}
