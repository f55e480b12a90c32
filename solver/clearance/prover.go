// Package clearance proves how near outlines come to one another over a whole enclosed motion. It uses branch and bound on
// the boxes of tubes. Its bounds hold at every turn and every travel that the tubes hold, not only at sampled positions.
//
// It knows no sketch and no check's limits in words, and leaves sums to the package sums, except over sizes (over_figure.go).
// A newcomer may add a figure of outlines to be bounded. For each bound here a test leaves a remainder out and must notice.
package clearance

import (
	"context"
	"math"
	"slices"

	"barover/solver/expr"
	"barover/solver/outline"
	"barover/solver/plane"
	"barover/solver/queue"
	"barover/solver/sums"
	"barover/solver/taylor"
	"barover/solver/tube"
)

// Answer is what is known of the least signed distance of two outlines, mm; see outline.Near for its meaning where they
// overlap.
type Answer struct {
	// Lo and Hi: the distance is nowhere in the tubes below Lo, and it is at most Hi at the place At.
	Lo, Hi float64
	At     tube.Place
	// Near is their relation at At, by the middle of the tube: right to within the tube's radius.
	Near outline.Near
	// Done says that Hi - Lo is within the tolerance or, where outlines with holes overlap, perhaps within a twentieth of
	// the depth. If not, the budget of boxes or time was used up, or two boundaries meet in a way that the bounds cannot
	// follow; Lo and Hi hold all the same.
	Done  bool
	Boxes int // number of parts of boxes tried
}

// Prover proves bounds of outlines on the same tubes. It holds scratch space; give each goroutine its own, by Fork.
type Prover struct {
	tubes     []*tube.Tube
	sums      *sums.Prover // shared by all Forks
	tolerance float64
	unbroken  bool // every tube encloses all of its motion, on the branch of the start
	lower     lowerBound
	skips     func(box int) bool // boxes that are left out: none, except for a test
	cache     *cache
	heap      queue.Least[node]
	out       exits
	views     []*view // one for each tube, for the second body in the axes of the first
	backs     []*view // and for the first in those of the second
}

// New prepares proofs of distances to the tolerance, mm, on tubes: one for each travel setting of a list.
func New(tubes []*tube.Tube, tolerance float64) *Prover {
	p := Prover{tubes: tubes, sums: sums.New(tubes, tolerance), tolerance: tolerance, unbroken: true, lower: (*taylor.Space).Least}
	for _, t := range tubes {
		p.unbroken = p.unbroken && t.Whole()
	}
	return p.Fork()
}

// With returns a Prover on the same tubes for sums with other dimensions, which must not move anything in the tubes.
func (p *Prover) With(v *expr.Values) *Prover {
	q := p.Fork()
	q.sums = p.sums.With(v)
	return q
}

// Figure prepares a sum for bounding: see sums.Prover.
func (p *Prover) Figure(ctx context.Context, sum expr.ID) (*sums.Figure, error) {
	return p.sums.Figure(ctx, sum)
}

// Fork returns a Prover for another goroutine.
func (p *Prover) Fork() *Prover {
	q := *p
	q.views, q.backs, q.cache, q.heap, q.out = nil, nil, newCache(), queue.Least[node]{}, exits{}
	for _, t := range p.tubes {
		q.views = append(q.views, newView(t.Space, q.lower))
		q.backs = append(q.backs, newView(t.Space, q.lower))
	}
	return &q
}

// duo is two bodies, with what has been computed about them on each box of each tube.
type duo struct {
	*Prover
	a, b   Body
	origin [2]plane.Vec           // of the axes of each, in those of its part: see originFor
	pa, pb []solid                // in these axes: the pieces, and after them sectors of these
	wholes [2]int                 // how many are pieces
	rel    [][2]*tube.Relative    // of each box of all tubes: b in the axes of a, and a in those of b
	first  []int                  // where in rel the boxes of each tube begin
	on     []int                  // the tubes that are needed: see tube.Unlike
	bitten bool                   // one of them has a bite
	rims   map[*outline.Piece]rim // of the pieces with bites
	reachB float64                // how far the second body reaches from the origin of its axes
	limit  float64                // parts on which they stay this far apart do not matter
	best   Answer
	floor  float64 // least bound of the nodes that cannot be split further
}

func (p *Prover) pair(a, b Body) *duo {
	size := a.Region.Radius + b.Region.Radius
	d := &duo{Prover: p, a: a, b: b, origin: [2]plane.Vec{originFor(a, size), originFor(b, size)}}
	d.pa, d.pb = p.cache.solids(a.Region, d.origin[0]), p.cache.solids(b.Region, d.origin[1])
	if d.bitten = bitten(d.pa) || bitten(d.pb); d.bitten {
		d.pa, d.pb = slices.Clone(d.pa), slices.Clone(d.pb) // sectors are added to them
	}
	d.wholes = [2]int{len(d.pa), len(d.pb)}
	n := 0
	for _, t := range p.tubes {
		d.first = append(d.first, n)
		n += len(t.Boxes)
	}
	d.rel = p.cache.relatives(axes{a.Part, d.origin[0]}, axes{b.Part, d.origin[1]}, n)
	d.on = tube.Unlike(p.tubes, p.rides(a)|p.rides(b))
	d.heap.Reset()
	d.reachB = b.Region.Centre.Sub(d.origin[1]).Len() + b.Region.Radius
	d.floor, d.limit = math.Inf(1), math.Inf(1)
	d.rims = map[*outline.Piece]rim{}
	d.best = Answer{Lo: math.Inf(1), Hi: math.Inf(1)}
	return d
}

// rides is the set of travels that move a body.
func (p *Prover) rides(b Body) uint64 {
	if len(p.tubes) == 0 {
		return 0
	}
	return p.tubes[0].Plan.Schedule.PartRides(b.Part)
}

// relative returns the relative placement of the bodies on a box: side 0 is b in the axes of a, 1 is a in those of b.
func (d *duo) relative(t, b, side int) *tube.Relative {
	at := &d.rel[d.first[t]+b]
	if at[side] == nil {
		tb := d.tubes[t]
		box := &tb.Boxes[b]
		pa, pb := tb.Placement(box, d.a.Part), tb.Placement(box, d.b.Part)
		pa, pb = pa.WithOrigin(d.origin[0]), pb.WithOrigin(d.origin[1])
		if side == 1 {
			pa, pb = pb, pa
		}
		at[side] = tube.NewRelative(tb.Space, &pa, &pb)
	}
	return at[side]
}

// still reports whether the two bodies never move relative to one another.
func (d *duo) still() bool {
	return d.a.Part == d.b.Part || len(d.tubes) == 0 || d.tubes[0].Plan.Still(d.a.Part) && d.tubes[0].Plan.Still(d.b.Part)
}

// turns reports whether the turn may move one of the two bodies. If not, the whole effect of the travels shows at its
// start.
func (d *duo) turns() bool {
	plan := d.tubes[0].Plan
	return plan.Turns(d.a.Part) || plan.Turns(d.b.Part)
}

// placed is a body's placement at a place of a part of a box by the middle of the tube, and the possible error of any of
// its places, mm.
func placed(t *tube.Tube, b *tube.Box, body Body, tau *[taylor.MaxVars]float64) (plane.Placement, float64) {
	p := t.Placement(b, body.Part)
	sp := t.Space
	at := plane.Placement{Origin: plane.Vec{X: sp.Value(p.X.Poly, tau), Y: sp.Value(p.Y.Poly, tau)}}
	dir := plane.Vec{X: sp.Value(p.Cos.Poly, tau), Y: sp.Value(p.Sin.Poly, tau)}
	at.Dir = dir.Unit()
	reach := body.Region.Centre.Len() + body.Region.Radius
	// Normalising the direction moves it by at most its own error.
	off := p.X.Rad + p.Y.Rad + 2*reach*(p.Cos.Rad+p.Sin.Rad) + 4*slip*(at.Origin.Len()+reach)
	return at, off
}

// beyond reports whether nothing can be claimed about the two: one of them is not enclosed, or there are more pairs of
// pieces than the budget allows, or none.
func (d *duo) beyond() bool {
	n := len(d.pa) * len(d.pb)
	if n == 0 || n > piecesAllowed || len(d.tubes) == 0 {
		return true
	}
	plan := d.tubes[0].Plan
	return !plan.Encloses(d.a.Part) || !plan.Encloses(d.b.Part)
}

// piecesAllowed is how many pairs of pieces two outlines may have.
const piecesAllowed = 40000

func bitten(all []solid) bool {
	return slices.ContainsFunc(all, func(s solid) bool { return s.Bite != nil })
}
