package tube

import (
	"math"

	"barover/solver/expr"
	"barover/solver/schedule"
	"barover/solver/taylor"
)

// A tube over sizes holds the motion of every engine that the tolerances allow: each size is a deviation of the boxes.
// The wide tube has one solution at every position and with all sizes, and the drawn engine's branch is linked from box
// to box. So the box holds that branch for every engine, since sizes lead from one to the other without a gap.

// Size is a dimension that has every value from Mid - Half to Mid + Half, mm, rad or as a plain number.
type Size struct {
	Dim       int
	Mid, Half float64
}

// TooManySizes is why there is no enclosure.
const TooManySizes Reason = "more sizes with a tolerance than can be enclosed at once"

// NewPlanOver is NewPlanFor for every value of some sizes at once. v must have the sizes in their middles.
func NewPlanOver(s *schedule.Schedule, v *expr.Values, sizes []Size, parts, points []int) (*Plan, error) {
	if len(sizes) > taylor.MaxDevs {
		return nil, TooManySizes
	}
	return newPlan(s, v, sizes, wantedFor(s, make([]bool, len(v.Node)), parts, points))
}

// Params returns the number of the tape's parameter for each size.
func (p *Plan) Params() map[int]int {
	out := make(map[int]int, len(p.Sizes))
	for i, s := range p.Sizes {
		out[s.Dim] = 1 + p.Schedule.Model.Travels + i
	}
	return out
}

// Deviate puts the sizes into a box, each end moved outward by some units in the last place.
func (p *Plan) Deviate(b *taylor.Box) {
	n := len(p.Sizes)
	room := make([]float64, 2*n)
	b.Middle, b.Sizes = room[:n:n], room[n:]
	for i, s := range p.Sizes {
		b.Middle[i], b.Sizes[i] = s.Mid, s.Half*(1+0x1p-50)+math.Abs(s.Mid)*0x1p-51
	}
}

const (
	// sizedOrder keeps products of two sizes and their changes with the turn, sizedOrders the products alone.
	sizedOrder  = 2*taylor.Weight + 1
	sizedOrders = 2 * taylor.Weight
)

// space is the space of the boxes of a tube in which this many parameters vary.
func (p *Plan) space(vary int, fine bool) *taylor.Space {
	switch {
	case len(p.Sizes) == 0 && vary == 3 && fine:
		return taylor.For(vary, orderFine)
	case len(p.Sizes) == 0:
		return taylor.For(vary, orders[vary])
	}
	order := sizedOrders
	if vary == 1 {
		order = sizedOrder
	}
	return taylor.ForSizes(vary, order, len(p.Sizes))
}

// floor is the radius of the shortest box about a turn: the effect of sizes beyond the terms that are kept.
type floor struct {
	at, worst float64
	known     bool
}

const (
	// aboveFloor is how much larger than the floor the radius of a box may be, as a share. floorSlack is the same in
	// tolerances, and sizeShare as a share of the effect of the sizes on the same place.
	aboveFloor = 1.15
	floorSlack = 2
	sizeShare  = 0.01
	// coarseShare is how coarse a box may be, as a share of what the sizes move most, if the Ask does not say. Figures
	// that need a part of the box more closely enclose that part again.
	coarseShare = 0.05
	// affineShare is the same for boxes that only tell where others with squares are needed.
	affineShare = 0.1
	// shortest is the box that gives the floor.
	shortest = 1e-3 * degree
)

// fineAsMayBe stores the present box if no shorter one would be much finer. The floor is computed again for a box away
// from the place where it was found.
func (m *marcher) fineAsMayBe(b *Box) bool {
	worst, at := m.coarseness()
	share := m.ask.Coarse
	if share == 0 {
		share = coarseShare
	}
	if m.affine {
		share = affineShare
	}
	if limit := share * m.movedMost(); limit > 0 && worst <= limit {
		m.solver.store(b)
		m.fine = worst / limit
		return true
	}
	slack := max(floorSlack*m.ask.Tolerance, sizeShare*m.moved(at))
	mid := b.Turn.Mid()
	if !m.floor.known || math.Abs(mid-m.floor.at) > b.Turn.To-b.Turn.From {
		m.solver.store(b)
		short := Range{max(mid-shortest/2, b.Turn.From), min(mid+shortest/2, b.Turn.To)}
		box := m.boxOver(short, b.Travel)
		if m.left--; !m.solver.enclose(&box, m.guess) {
			return false
		}
		low, _ := m.coarseness()
		m.floor = floor{mid, low, true}
	} else {
		m.solver.store(b)
	}
	limit := max(m.ask.radius(), aboveFloor*m.floor.worst, m.floor.worst+slack)
	m.fine = worst / limit
	return m.fine <= 1
}

// moved returns how far the sizes move a kept slot of the present box, to first order, mm.
func (m *marcher) moved(at slot) (far float64) {
	c := m.solver.st.Poly(at)
	for _, i := range m.Space.First {
		far += math.Abs(c[i])
	}
	return far * m.reach[m.Plan.kept[at]]
}

// movedMost returns how far the sizes move the kept slot of the present box that they move most, mm.
func (m *marcher) movedMost() (far float64) {
	for _, s := range m.Plan.keep {
		far = max(far, m.moved(s))
	}
	return far
}

// growth is the factor from the last box to the next: the effect of sizes beyond the terms that are kept grows in
// proportion to the box, not by a power of it.
func (m *marcher) growth() float64 {
	switch {
	case m.fine < 0.5:
		return 2
	case m.fine < 0.8:
		return 1.25
	}
	return 1
}

const (
	// wideOver is the ratio of the first wide tube over sizes to the residual of the rows, and closeInOver the factor by
	// which it shrinks from try to try: that residual is far more than the tube of one engine is wide.
	wideOver    = 10
	closeInOver = 0.6
)

// widestOver is the first half width of the tube over sizes, once the residual of a block's rows is known.
func (v *solver) widestOver(scalars int) float64 {
	wide := v.widest
	for _, left := range v.left[:scalars] {
		wide = max(wide, wideOver*left)
	}
	return wide
}
