package clearance

import (
	"cmp"
	"context"
	"math"
	"slices"
	"sync/atomic"

	"barover/solver/sums"
	"barover/solver/taylor"
	"barover/solver/tube"
)

// Over proves bounds on tubes over sizes. They hold in every engine that the sizes allow. Many goroutines may share it.
type Over struct {
	tubes     []*tube.Tube
	plan      *tube.Plan
	space     *taylor.Space
	disc      []bool // of each size: that and the next are a place in a disc
	tolerance float64
	sums      *sums.Prover
	allowed   int          // how many parts of boxes may be tried for one figure
	whole     bool         // the tubes leave no gap
	cells     [][]*cell    // of each box of each tube
	room      atomic.Int64 // how many numbers the boxes enclosed again may still keep
	only      *tube.Range  // the stretch of the turn over which sums are bounded; nil for all of it
	// below bounds a polynomial by a straight line: Space.LineBelow, except in a test that leaves something out to see it noticed.
	below func(*taylor.Space, []float64, []bool) taylor.Line
	first *Over // the same tubes without squares, which tell where those with squares are needed; nil for none
}

// NewOver prepares proofs on tubes of one Plan over sizes. Where disc says so, a size and the next, both about zero, are
// a place in a disc of the width of the first. Boxes without squares of sizes are enclosed again with them where a figure
// needs that. It reports false where the tubes leave a gap. Then nothing can be claimed except what Envelope says about the
// rest.
func NewOver(tubes []*tube.Tube, disc []bool, tolerance float64) (*Over, bool) {
	if len(tubes) == 0 {
		return nil, false
	}
	var squared []*tube.Tube
	for _, t := range tubes {
		if s := t.Squared(); s != nil {
			squared = append(squared, s)
		}
	}
	if len(squared) < len(tubes) {
		return newOver(tubes, disc, tolerance)
	}
	o, ok := newOver(squared, disc, tolerance)
	if o != nil {
		o.first, _ = newOver(tubes, disc, tolerance)
	}
	return o, ok
}

func newOver(tubes []*tube.Tube, disc []bool, tolerance float64) (*Over, bool) {
	o := &Over{tubes: tubes, plan: tubes[0].Plan, space: tubes[0].Space, disc: disc, tolerance: tolerance,
		sums: sums.New(tubes, tolerance), allowed: overAllowed, whole: true, below: (*taylor.Space).LineBelow}
	for _, t := range tubes {
		o.whole = o.whole && t.Whole() && len(t.Boxes) > 0
		if t.Space != o.space {
			return nil, false
		}
		o.cells = append(o.cells, wholeBoxes(t))
	}
	o.room.Store(finerFloats)
	return o, o.whole
}

// Allow bounds how many parts of boxes may be tried for one figure.
func (o *Over) Allow(parts int) {
	if o.allowed = parts; o.first != nil {
		o.first.allowed = parts
	}
}

// Shaken says that each position has sizes of its own, as play has: what a sum takes over all of the turn, or elsewhere in it, is
// of other sizes than the rest of it.
func (o *Over) Shaken() {
	for ; o != nil; o = o.first {
		o.sums.Shaken(o.disc)
	}
}

// Only restricts the bounds of sums to a stretch of the turn, rad. A running heading, or an operation over all of the
// turn, is still computed from everything that the tubes hold.
func (o *Over) Only(turn tube.Range) { o.only = &turn }

// Worst is what is known of the least of a figure over every engine: it is nowhere below Lo, mm or in the figure's own unit, and
// no more than Near at the place At with these sizes, each from -1, the least, to 1.
type Worst struct {
	Lo, Near float64
	At       tube.Place
	Dev      []float64
	Boxes    int
}

const (
	// overAllowed is how many parts of boxes may be tried for one figure.
	overAllowed = 3000
	// leastOver is the least size of a part, as a share of the box.
	leastOver = 0x1p-12
	// rounds is how many directions are tried for one bound, each from where the last one found the worst.
	rounds = 6
)

// pairOver is two forms whose least distance over all sizes is sought, in the space of the sizes alone that have to do with it.
type pairOver struct {
	*Over
	few   taylor.Few
	space *taylor.Space // of the few sizes
	disc  []bool        // of the few sizes: as in Over
	a, b  *Form
	stand map[*cell]*stand
	views [2]*view  // the second form in the axes of the first, and the first in those of the second
	shown [2]bool   // which of them are set to the part in hand
	in    tube.Part // the part in hand, as one of its cell
	overSearch
	// Where radii keep a bound from being near, it is computed with closer ones, see closely, on this cell; nil where not. A direction from
	// corner to corner is free: it may be fixed in the axes of either part, and is in those of the second where swap is set.
	close      *cell
	free, swap bool
	poly       []float64
	turn       [2][]float64
	spot       [2][]spotted
	weight     []float64 // of each coefficient, at the place where a direction is sought: see Space.Weigh
	// For telling engines apart: the one that alone is looked at, nil for all; what lines are wanted; what else is known of the two.
	one    *oneEngine
	lines  *linesBelow
	sorter *pairSorter
	cut    *taylor.Cutting // nil unless it is sought where two pieces may be near
	guess  float64         // the least distance of an engine that was solved, before it was
	unsure *[]overNode     // takes the parts of which nothing more can be said without squares; nil where they are at hand
}

// overNode is two pieces, or two forms, on a part of a box.
type overNode struct {
	lo        float64
	wide      float64     // radii in it, which no splitting mends
	wasWide   float64     // those before some engines were left out; zero where none were
	gain      float64     // of a sum: by how much it is above lo of the part that it was halved from
	moved     float64     // what the sizes do to the figure there, to first order
	sides     tube.Sides  // of a sum: the sides taken of its kinks
	sum       *tube.Bound // of a sum: its bound
	tube, box int
	ia, ib    int  // pieces; -1 for all
	rough     bool // bounded only by the circles round them
	widest    int
	part      tube.Part
	cell      *cell    // what the part is enclosed by
	waits     *waiting // from where it may be bounded more closely; nil where that is done
}

// Least bounds the distance of two forms from below over everything that the tubes hold. It reports false where it can
// say nothing: a part has no enclosure, or the forms overlap with some sizes and are not both one convex shape, so that
// the depth of their outlines is not theirs.
func (o *Over) Least(ctx context.Context, a, b *Form) (Worst, bool) {
	return o.least(ctx, a, b, math.Inf(1))
}

// Keeps reports whether two forms are proved to stay so far apart, mm, over everything that the tubes hold. It takes a
// fraction of the time of Least.
func (o *Over) Keeps(ctx context.Context, a, b *Form, apart float64) bool {
	w, ok := o.least(ctx, a, b, apart)
	return ok && w.Lo >= apart
}

// encloses reports whether two bodies are enclosed at every position.
func (o *Over) encloses(a, b *Form) bool {
	return o.whole && o.plan.Encloses(a.part) && o.plan.Encloses(b.part)
}

func (o *Over) least(ctx context.Context, a, b *Form, keeps float64) (Worst, bool) {
	if !o.encloses(a, b) {
		return Worst{}, false
	}
	d := o.searched(ctx, a, b, keeps)
	if d.best.Lo >= keeps && (d.best.Lo >= 0 || a.solid && b.solid) {
		return d.best, true
	}
	if !(d.best.Lo >= 0) && !(a.solid && b.solid) || math.IsInf(d.best.Near, 1) || math.IsNaN(d.best.Lo) {
		return d.best, false
	}
	return d.best, true
}

// begin puts every box into the queue.
func (d *pairOver) begin() {
	for _, t := range tube.Unlike(d.tubes, d.plan.Schedule.PartRides(d.a.part)|d.plan.Schedule.PartRides(d.b.part)) {
		for i := range d.tubes[t].Boxes {
			m := overNode{tube: t, box: i, ia: -1, ib: -1, part: tube.Full(), cell: d.cells[t][i]}
			if m.lo = d.apart(m.cell, d.a.hub, d.b.hub, d.a.reach+d.b.reach); len(d.a.pieces)*len(d.b.pieces) == 1 {
				m.ia, m.ib, m.widest, m.rough = 0, 0, -1, true
			}
			d.put(&m)
		}
	}
}

// Below lists the stretches of the turn over which the distance of two forms is not proved to stay at limit or above, at
// a travel setting, in order. None is shorter than about piece, rad, so each may reach beyond the truth by as much.
func (o *Over) Below(ctx context.Context, a, b *Form, limit, piece float64, travel []float64) []tube.Range {
	o.fill()
	d := o.pair(a, b)
	d.upTo = limit
	return o.open(ctx, travel, piece, func(n *overNode) float64 {
		if d.apart(n.cell, a.hub, b.hub, a.reach+b.reach) >= limit {
			return 0
		}
		for i := range a.pieces {
			for j := range b.pieces {
				n.lo, n.ia, n.ib = math.Inf(-1), i, j
				if d.bound(n); !(n.lo >= limit) {
					return limit - n.lo
				}
			}
		}
		return 0
	})
}

// open lists the stretches of the turn, at a travel setting, on which nothing is shown of parts of boxes, however they are halved: missing
// tells by how much a bound misses, zero for not at all.
func (o *Over) open(ctx context.Context, travel []float64, piece float64, missing func(*overNode) float64) (out []tube.Range) {
	var look func(n overNode)
	look = func(n overNode) {
		miss := missing(&n)
		if miss == 0 {
			return
		}
		if kids := o.finer(&n, n.lo+miss); kids != nil && ctx.Err() == nil {
			for i := range kids {
				look(kids[i])
			}
			return
		}
		tb := o.tubes[n.tube]
		from, _ := tb.Position(&tb.Boxes[n.box], &n.part, &[taylor.MaxVars]float64{-1})
		to, _ := tb.Position(&tb.Boxes[n.box], &n.part, &[taylor.MaxVars]float64{1})
		if to-from <= piece || ctx.Err() != nil {
			out = append(out, tube.Range{From: from, To: to})
			return
		}
		for side := range 2 {
			m := n
			m.part = n.part.Halved(side)
			look(m)
		}
	}
	for t, tb := range o.tubes {
		for i := range tb.Boxes {
			if p, ok := tb.Across(&tb.Boxes[i], travel); ok {
				look(overNode{tube: t, box: i, part: p, cell: o.cells[t][i]})
			}
		}
	}
	slices.SortFunc(out, func(a, b tube.Range) int { return cmp.Compare(a.From, b.From) })
	return out
}

// pair prepares to bound two forms.
func (o *Over) pair(a, b *Form) *pairOver {
	d := &pairOver{Over: o, stand: map[*cell]*stand{}}
	d.few, d.disc = o.among(o.plan.SizedBy(a.part) | o.plan.SizedBy(b.part) | a.sized(o.space) | b.sized(o.space))
	d.space = d.few.Space
	d.a, d.b = a.among(&d.few), b.among(&d.few)
	n := d.space.N
	d.views = [2]*view{newView(d.space, (*taylor.Space).Least), newView(d.space, (*taylor.Space).Least)}
	d.poly, d.weight = make([]float64, n), make([]float64, n)
	d.turn = [2][]float64{make([]float64, n), make([]float64, n)}
	d.overSearch, d.guess = newSearch(), math.Inf(1)
	return d
}

// search goes on until the bound is near the least found.
func (d *pairOver) search(ctx context.Context) {
	d.tighten = func(top *overNode) bool {
		more := top.rough || top.waits != nil
		if more {
			d.boundTo(top, d.top())
		}
		return more
	}
	d.until(ctx, d.Over, d.space, d.tolerance, d.closer)
	if d.unsure != nil && d.top() < d.upTo {
		for d.queue.Len() > 0 {
			*d.unsure = append(*d.unsure, d.queue.Pop())
		}
	}
	d.end(ctx)
}

// closer bounds the parts of a node.
func (d *pairOver) closer(n overNode) bool {
	switch kids := d.again(&n); {
	case kids != nil:
		for i := range kids {
			d.bound(&kids[i])
			d.put(&kids[i])
		}
	case n.ia >= 0 && n.lo >= d.near-n.wide:
		d.stop(&n) // splitting does not mend what radii do
	default:
		d.expand(n)
	}
	return true
}

// expand bounds a node more closely.
func (d *pairOver) expand(n overNode) {
	if n.ia < 0 {
		for i := range d.a.pieces {
			for j := range d.b.pieces {
				m := n
				m.ia, m.ib, m.widest, m.rough = i, j, -1, true
				p, q := &d.a.pieces[i], &d.b.pieces[j]
				m.lo = max(m.lo, d.apart(n.cell, p.hub, q.hub, p.reach+q.reach))
				d.put(&m)
			}
		}
		return
	}
	k := n.widest
	if k < 0 || n.part.Half[k] < leastOver {
		d.stop(&n)
		return
	}
	for side := range 2 {
		m := n.halved(k, side)
		d.bound(&m)
		d.put(&m)
	}
}

// halved is a half of the part along a coordinate: the lower (0) or the upper one (1).
func (n overNode) halved(k, side int) overNode {
	n.part = n.part.HalvedAlong(k, side)
	return n
}
