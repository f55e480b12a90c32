package tube

import (
	"context"
	"math"
	"slices"
	"sort"

	"barover/solver/taylor"
)

// Ask says what to enclose and how accurately.
type Ask struct {
	Turn   Range
	Travel []Range   // of each travel; From = To for a fixed travel
	Rest   []float64 // the setting from which the travels come; nil for the middle of Travel
	// Reach is how far each part's outlines reach from its origin, mm: the farther they reach, the more accurately its
	// direction must be known. Missing entries count as the sketch's size.
	Reach     []float64
	Size      float64 // of the sketch, mm
	Tolerance float64 // required accuracy of distances, mm
	Common    *Common // what other tubes of the Plan share with this one; nil for nothing
	Idle      bool    // no sum that will be asked about depends on the turn itself
	Coarse    float64 // how coarse a box over sizes may be, as a share of what they move most; 0 for the usual
	Affine    bool    // boxes over sizes may keep the first powers of sizes alone: see Tube.Squared
	Boxes     int     // number of boxes that may be tried; 0 for a budget by the number of travels with a range
}

// radius is how far a place may be from its polynomial, mm: the sum for two parts and the arithmetic must be well below
// the tolerance.
func (a *Ask) radius() float64 { return a.Tolerance / 50 }

// orders are the degrees, by the number of parameters that vary: higher ones need fewer boxes, and far fewer where more
// than one parameter varies.
var orders = [taylor.MaxVars + 1]int{1, 6, 6, 6, 5, 4}

// orderFine is the degree for three parameters where the tolerance is less than fineShare of the sketch's size: the cost
// of another degree is then less than that of the boxes it saves.
const (
	orderFine = 7
	fineShare = 1e-7
)

const (
	// mostBoxes is how many boxes may be tried for one tube, and mostFloats how many numbers they may keep: 240 MB.
	mostBoxes  = 20000
	mostFloats = 3e7
)

// budget is how many boxes may be tried if the Ask does not say.
func (t *Tube) budget() int {
	return min(mostBoxes, mostFloats/(t.coefficients()*max(1, len(t.Plan.keep))))
}

// Enclose encloses the motion. What could not be enclosed is in the Tube's Gaps. The error is a Reason where the sketch
// allows no enclosure at all. When ctx ends, the rest is a gap that is out of budget.
func Enclose(ctx context.Context, p *Plan, g Guide, ask Ask) (*Tube, error) {
	t := &Tube{Plan: p, Turn: ask.Turn, Travel: ask.Travel}
	for j, r := range ask.Travel {
		if r.To > r.From {
			t.vary = append(t.vary, 1+j)
		}
	}
	if t.idle = ask.Idle && len(t.vary) > 0 && len(p.Sizes) == 0 && !slices.Contains(p.turns, true); !t.idle {
		t.vary = append([]int{0}, t.vary...)
	}
	if len(t.vary) > taylor.MaxVars {
		return nil, TooWide
	}
	if ask.Rest == nil {
		ask.Rest = middle(ask.Travel)
	}
	t.rest = ask.Rest
	t.Space = p.space(len(t.vary), ask.Tolerance < fineShare*ask.Size)
	if ask.Affine && t.Space.Order >= 2*taylor.Weight {
		t.affine, t.Space = true, taylor.ForSizes(len(t.vary), 2*taylor.Weight-2, len(p.Sizes))
	}
	if ask.Boxes <= 0 {
		ask.Boxes = t.budget()
	}
	m := &marcher{Tube: t, ctx: ctx, guide: g, ask: ask, step: firstBox, left: ask.Boxes,
		guess: make([]float64, len(p.scalar)), seed: make([]float64, len(p.scalar)), zeros: make([]float64, len(p.scalar))}
	t.widest, t.size = ask.Tolerance, m.measure()
	m.solver = borrowSolver(p, t.Space, t.widest, t.size)
	defer p.solvers.Put(m.solver)
	m.solver.common = ask.Common
	m.run()
	return t, nil
}

// measure computes the weight of the radius of each kept slot, and returns the size of the sketch, mm.
func (m *marcher) measure() float64 {
	p := m.Plan
	m.reach = make([]float64, len(p.keep))
	size := max(m.ask.Size, m.ask.Tolerance)
	set := func(z pair, reach float64) {
		for _, s := range []taylor.Slot{z.x, z.y} {
			if s != none && p.kept[s] >= 0 {
				i := p.kept[s]
				m.reach[i] = max(m.reach[i], reach)
			}
		}
	}
	for _, z := range p.Schedule.Point {
		set(p.at(z), 1)
	}
	for _, z := range p.Schedule.Line {
		set(p.at(z), size)
	}
	for i, z := range p.Schedule.Part {
		reach := size
		if i < len(m.ask.Reach) {
			reach = m.ask.Reach[i]
		}
		set(p.at(z), reach)
	}
	return size
}

// run encloses the whole stretch.
func (m *marcher) run() {
	start := fix{make([]float64, len(m.Plan.scalar)), make([]float64, len(m.Plan.scalar))}
	m.Reached = m.guide.Position(m.Turn.From, m.ask.Rest, start.at)
	m.rest = start
	m.cover(m.Travel, m.Turn, -1, 0)
	m.finish()
}

// begin returns the scalars at the start of the turn with the travels at the middle of a strip. It reports whether the
// travels are proved to lead there without a jump: from the middle of the nearest box that has this proof, or from rest
// itself.
func (m *marcher) begin(strip []Range) (fix, bool) {
	if !m.Reached {
		return fix{}, false
	}
	to := append([]float64{m.Turn.From}, middle(strip)...)
	if b := m.nearest(to[1:]); b != nil {
		mid := middle(b.Travel)
		if known, ok := m.walk(append([]float64{m.Turn.From}, mid...), to, m.fixOn(b, mid)); ok {
			return known, true
		}
	}
	return m.walk(append([]float64{m.Turn.From}, m.ask.Rest...), to, m.rest)
}

// nearest returns, of the boxes that begin the turn on the branch of rest, the one whose middle is nearest to some
// travels; nil for none.
func (m *marcher) nearest(travel []float64) (best *Box) {
	least := math.Inf(1)
	for i := range m.Boxes {
		b := &m.Boxes[i]
		if b.part != 0 || b.Turn.From != m.Turn.From {
			continue
		}
		far := 0.0
		for _, j := range m.ranges() {
			all := m.Travel[j-1]
			far = max(far, math.Abs(b.Travel[j-1].Mid()-travel[j-1])/(all.To-all.From))
		}
		if far < least {
			best, least = b, far
		}
	}
	return best
}

// fixOn returns the scalars at the start of the turn on a box that begins there.
func (m *marcher) fixOn(b *Box, travel []float64) fix {
	f := fix{make([]float64, len(m.Plan.scalar)), make([]float64, len(m.Plan.scalar))}
	tau := m.local(b, m.Turn.From, travel)
	for i, k := range m.Plan.known {
		f.at[k] = m.value(b, i, &tau)
		f.off[k] = b.rad[i] + slip*m.sizeOf(b, i)
	}
	return f
}

// finish puts the boxes in order and checks whether the turn closes.
func (m *marcher) finish() {
	sort.SliceStable(m.Boxes, func(i, j int) bool { return m.Boxes[i].Turn.From < m.Boxes[j].Turn.From })
	one := map[int]bool{0: true}
	if n := len(m.Boxes); n > 0 && math.Abs(m.Turn.To-m.Turn.From-2*math.Pi) < 1e-9 {
		for i := range m.Boxes {
			if a := &m.Boxes[i]; a.Turn.To == m.Turn.To && m.closes(a) {
				m.Closes = true
				one[a.part] = true
			}
		}
	}
	m.OneBranch = true
	for i := range m.Boxes {
		m.OneBranch = m.OneBranch && one[m.Boxes[i].part]
	}
}

// closes reports whether a box at the end of the turn continues as the one of the same branch at its start. Beyond a dead centre
// nothing continues.
func (m *marcher) closes(a *Box) bool {
	if a.folded != nil {
		return false
	}
	mid := middle(a.Travel)
	for i := range m.Boxes {
		b := &m.Boxes[i]
		if b.Turn.From != m.Turn.From || b.part != 0 || b.folded != nil || !Holds(b.Travel, mid) {
			continue
		}
		return m.same(a, b, m.local(a, m.Turn.To, mid), m.local(b, m.Turn.From, mid))
	}
	return false
}
