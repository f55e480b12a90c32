package clearance

import (
	"context"
	"math"

	"barover/solver/outline"
	"barover/solver/plane"
	"barover/solver/taylor"
	"barover/solver/tube"
)

// node is two pieces, or two whole outlines, on a part of a box, with a lower bound of their distance there.
type node struct {
	lo        float64
	mid       float64 // about their distance at the centre of the part
	slack     float64 // how much more than the bound that is
	tube, box int32
	ia, ib    int16 // pieces; -1 for the whole outlines
	done      bool  // lo is from a direction chosen for the two, not from the circles round them
	widest    int8  // coordinate along which to split; -1 for none
	part      tube.Part
	at        [taylor.MaxVars]float64 // where in the part it may be least
}

const (
	// nodesAllowed is how many parts of boxes may be tried for one pair.
	nodesAllowed = 60000
	// leastHalf is the least size of a part, as a share of the box.
	leastHalf = 0x1p-40
)

// Least finds the least distance of two bodies anywhere in the tubes.
func (p *Prover) Least(ctx context.Context, a, b Body) Answer {
	return p.pair(a, b).search(ctx, func(lo, hi float64) bool { return false })
}

// closerParts is how many parts of boxes may be tried to bring the bounds of an answer closer together, and closer the
// factor.
const (
	closerParts = 2000
	closer      = 10
)

// Closer continues from an answer of Least until the bounds are ten times as close together, for some time, so that of
// two nearly level places the worse is found. Lo and Hi of the result hold even where it is not Done.
func (p *Prover) Closer(ctx context.Context, a, b Body, ans Answer) Answer {
	finer := *p
	finer.tolerance /= closer
	d := finer.pair(a, b)
	d.best = ans
	d.best.Boxes = 0
	got := d.search(ctx, func(lo, hi float64) bool { return d.best.Boxes > closerParts })
	got.Lo = max(got.Lo, ans.Lo)
	return got
}

// Compare finds whether two bodies come nearer than limit, mm, anywhere. It stops as soon as Lo >= limit or Hi < limit.
// If neither holds in the end, the least distance is limit to within Lo and Hi.
func (p *Prover) Compare(ctx context.Context, a, b Body, limit float64) Answer {
	d := p.pair(a, b)
	d.limit = limit
	return d.search(ctx, func(lo, hi float64) bool { return lo >= limit || hi < limit })
}

// search continues until the least distance is known to the tolerance or enough says so.
func (d *duo) search(ctx context.Context, enough func(lo, hi float64) bool) Answer {
	seeds := d.seed()
	d.glance()
	for d.heap.Len() > 0 {
		lo := min(d.heap.Top(), d.floor)
		if lo >= d.best.Hi-d.allowed() || enough(lo, d.best.Hi) {
			break
		}
		if d.best.Boxes++; d.best.Boxes > d.sums.Parts(nodesAllowed) || d.best.Boxes&63 == 0 && ctx.Err() != nil {
			break
		}
		n := d.heap.Pop()
		d.expand(&n)
	}
	if d.best.Lo = min(d.best.Hi, d.floor, d.limit); seeds == 0 {
		d.best.Lo = math.Inf(-1) // nothing was tried, so nothing is known
	}
	if d.heap.Len() > 0 {
		d.best.Lo = min(d.best.Lo, d.heap.Top())
	}
	d.best.Done = d.best.Hi-d.best.Lo <= d.allowed()
	return d.best
}

// allowed is how far apart the bounds may be in the end. The depth of an overlap with holes is hard to bound where bodies turn
// together or arcs are nearly straight, and need not be known as well as a distance.
func (d *duo) allowed() float64 {
	share := 0.0
	if !d.bitten {
		return d.tolerance
	}
	switch n := d.best.Boxes; {
	case n > 16000:
		share = 0.05
	case n > 8000:
		share = 0.02
	case n > 4000:
		share = 0.005
	}
	return max(d.tolerance, -share*d.best.Hi)
}

// glance measures the outlines where the circles round them come nearest, for a first value to compare with.
func (d *duo) glance() {
	if d.heap.Len() > 0 {
		n := *d.heap.First()
		n.mid = math.Inf(-1)
		d.try(&n)
	}
}

// seed puts every box that may matter into the heap by the circles round the outlines, and returns their number.
func (d *duo) seed() (seeds int) {
	if d.beyond() {
		return 0
	}
	for _, t := range d.on {
		boxes := len(d.tubes[t].Boxes)
		switch {
		case d.still():
			boxes = min(boxes, 1)
		case d.unbroken && !d.turns():
			boxes = d.tubes[t].Started()
		}
		for i := range boxes {
			if d.skips != nil && d.skips(i) {
				continue
			}
			n := node{tube: int32(t), box: int32(i), ia: -1, ib: -1, part: tube.Full()}
			n.lo = d.cache.hub(d.tubes, t, i, d.b).from(d.cache.hub(d.tubes, t, i, d.a), d.views[t])
			n.lo -= (d.a.Region.Radius + d.b.Region.Radius) * (1 + slip)
			d.keep(&n)
			seeds++
		}
	}
	return seeds
}

// expand bounds a node more closely.
func (d *duo) expand(n *node) {
	switch {
	case n.ia < 0 && d.wholes[0]*d.wholes[1] > 1:
		d.views[n.tube].set(d.relative(int(n.tube), int(n.box), 0), &n.part)
		for i := range d.wholes[0] {
			for j := range d.wholes[1] {
				d.piece(n, i, j)
			}
		}
	case n.ia < 0:
		n.ia, n.ib = 0, 0
		d.bound(n)
	case !n.done:
		d.bound(n)
	default:
		if d.try(n); !d.parted(n) {
			d.split(n)
		}
	}
}

// keep puts a node back into the heap if it may matter.
func (d *duo) keep(n *node) {
	if n.lo < min(d.best.Hi, d.limit) {
		d.heap.Push(n.lo, n)
	}
}

// piece puts two pieces into the heap by the circles round them.
func (d *duo) piece(n *node, i, j int) {
	m := *n
	m.ia, m.ib = int16(i), int16(j)
	d.circles(&m)
	d.keep(&m)
}

// circles bounds two pieces by the circles round them, over the part of the view.
func (d *duo) circles(n *node) {
	v := d.views[n.tube]
	a, b := &d.pa[n.ia], &d.pb[n.ib]
	u := v.centre().Out(b.Centre).Sub(a.Centre).Unit()
	lo, _ := v.along(u, b.Centre, math.Inf(1), &n.at)
	lo -= u.Dot(a.Centre) + a.Radius + b.Radius + (a.Radius+b.Radius+a.Centre.Len())*slip
	if lo > 0 || !isSector(d.pa, n.ia) && !isSector(d.pb, n.ib) { // a sector says nothing about depth
		n.lo = max(n.lo, lo)
	}
}

// try measures the outlines where a node may be least.
func (d *duo) try(n *node) {
	if n.mid >= d.best.Hi-d.tolerance/4 && n.mid > n.lo+d.tolerance {
		return
	}
	tb := d.tubes[n.tube]
	box := &tb.Boxes[n.box]
	var tau [taylor.MaxVars]float64
	for k := range tau {
		tau[k] = n.part.Mid[k] + n.part.Half[k]*n.at[k]
	}
	pa, offA := placed(tb, box, d.a, &tau)
	pb, offB := placed(tb, box, d.b, &tau)
	near := outline.Distance(d.a.Region, pa, d.b.Region, pb)
	if hi := near.D + offA + offB; hi < d.best.Hi {
		d.best.Hi, d.best.Near = hi, near
		d.best.At.Tube = int(n.tube)
		d.best.At.Turn, d.best.At.Travel = tb.Position(box, &n.part, &n.at)
	}
}

// split halves the part of a node and bounds both halves.
func (d *duo) split(n *node) {
	k := n.widest
	if k < 0 || n.part.Half[k] < leastHalf {
		d.floor = min(d.floor, n.lo)
		return
	}
	for side := range 2 {
		m := *n
		m.part = n.part.HalvedAlong(int(k), side)
		d.bound(&m)
	}
}

// bound bounds a node more closely and puts it into the heap.
func (d *duo) bound(n *node) {
	d.narrow(n)
	d.keep(n)
}

// narrow computes a lower bound for the two pieces of a node.
func (d *duo) narrow(n *node) {
	a, b := &d.pa[n.ia], &d.pb[n.ib]
	v := d.views[n.tube]
	v.set(d.relative(int(n.tube), int(n.box), 0), &n.part)
	rel := v.centre()
	if isSector(d.pa, n.ia) || isSector(d.pb, n.ib) {
		if d.apart(n, a, b, &rel) {
			return
		}
		mid, slack := n.mid, n.slack
		d.narrowWhole(n, &d.pa[a.sector.root], &d.pb[b.sector.root], &rel)
		n.mid, n.slack = mid, slack
		return
	}
	d.narrowWhole(n, a, b, &rel)
}

// narrowWhole computes a lower bound for two whole pieces, also for the depth of their overlap.
func (d *duo) narrowWhole(n *node, a, b *solid, rel *plane.Placement) {
	lo, mid, at, active := d.faced(n, a, b, rel)
	n.mid = mid
	n.widest = int8(d.views[n.tube].widest(d.reachB, active))
	if n.mid < 0 && lo < min(d.best.Hi-d.tolerance, d.limit) {
		if other := d.waysOut(n, a, b, rel, &at); other > lo {
			lo = other
		}
	}
	if n.mid < 0 && lo < min(d.best.Hi, d.limit) && (a.Bite != nil || b.Bite != nil) {
		lo = max(lo, d.outOfBites(n, a, b, rel, lo))
	}
	n.slack = n.mid - lo
	if n.done = true; lo > n.lo {
		n.lo = lo
	}
	n.at = at
}

// faced bounds two pieces from below in the direction in which they are farthest apart, or in which the shortest shift
// separates them, at the centre of a node's part, or by how far one is in the other's bite. It returns their distance at
// the centre, where they may be nearest, and the polynomial of the bound.
func (d *duo) faced(n *node, a, b *solid, rel *plane.Placement) (lo, mid float64, at [taylor.MaxVars]float64, active []float64) {
	v := d.views[n.tube]
	f := a.Face(b.Piece, rel)
	mid, active = f.D, v.active
	biteA, biteB := d.bites(a, b, rel, f.D)
	switch {
	case biteA >= biteB && biteA > f.D:
		mid = biteA
		lo = a.Bite.R - v.farthest(b, a.Bite.C, &at)
	case biteB > f.D:
		mid = biteB
		w := d.back(n)
		active = w.active
		lo = b.Bite.R - w.farthest(a, b.Bite.C, &at)
	case f.Of == 2:
		w := d.back(n)
		active = w.active
		u := f.N.Scale(-1).Against(rel.Dir)
		lo = w.least(a, u, &at) - b.reach(u)
	case f.Of == 1:
		lo = v.least(b, f.N, &at) - a.reach(f.N)
	default:
		if lo = v.least(b, f.N, &at) - a.reach(f.N); lo < min(d.best.Hi-d.tolerance, d.limit) {
			lo = max(lo, v.track(a, b, &f, &at))
		}
	}
	return lo, mid, at, active
}

// outOfBites bounds the depth of two overlapping pieces with bites by how far their common places reach out of the bites,
// over all their motion on the part. It is never above zero, and only above lo does it count. Where they are no deeper anywhere
// than has been found, it says just that. Otherwise it loses as much as anything moves.
func (d *duo) outOfBites(n *node, a, b *solid, rel *plane.Placement, lo float64) float64 {
	out := a.Reach(b.Piece, rel, 0, -n.mid)
	if n.mid = max(n.mid, min(0, -out)); n.mid <= n.lo {
		return n.lo
	}
	if n.mid <= lo {
		return lo
	}
	if most := min(d.best.Hi-d.tolerance/2, d.limit, 0); n.mid >= most && d.noDeeper(n, a, b, -most) {
		return most
	}
	return min(0, -a.Reach(b.Piece, rel, d.views[n.tube].strays(b.Centre, b.Radius), -lo))
}

func (d *duo) back(n *node) *view {
	w := d.backs[n.tube]
	w.set(d.relative(int(n.tube), int(n.box), 1), &n.part)
	return w
}
