package clearance

import (
	"math"

	"barover/solver/expr"
	"barover/solver/outline"
	"barover/solver/plane"
	"barover/solver/taylor"
	"barover/solver/tube"
)

// oneEngine is the sizes of one engine, what its distance is no more than somewhere, and its two outlines, made when wanted.
type oneEngine struct {
	all     []float64 // its sizes
	dev     []float64 // those of the few that have to do with the pair
	hi      float64
	tau     [taylor.MaxVars]float64 // where it was looked at last
	regions [2]*outline.Region
	values  *expr.Values
}

// pairSorter is what engines are told apart by: see SortLeast.
type pairSorter struct {
	regions [2]*outline.Region
	plain   bool
	falls   float64
}

// SortLeast tells engines apart by the distance of two outlines: one in which it is nowhere below keeps surely holds, one in which it is
// somewhere below falls is surely short. The regions are the outlines with the sizes in the middle. It reports false where it cannot be
// done. Outlines that are plain, made of the pieces of their forms, without holes and hollows, are told to be short sooner.
func (o *Over) SortLeast(a, b *Form, ra, rb *outline.Region, plain bool, keeps, falls float64) (*Sorting, bool) {
	if !o.encloses(a, b) {
		return nil, false
	}
	if !a.solid || !b.solid {
		keeps = max(keeps, 0) // how deep they overlap is not that of their forms
	}
	o.fill()
	d := o.pair(a, b)
	d.lines = &linesBelow{keeps: keeps}
	var open []overNode
	for _, t := range tube.Unlike(o.tubes, o.plan.Schedule.PartRides(a.part)|o.plan.Schedule.PartRides(b.part)) {
		for i := range o.tubes[t].Boxes {
			if d.apart(o.cells[t][i], a.hub, b.hub, a.reach+b.reach) < keeps {
				open = append(open, d.pieces(t, i, keeps)...)
			}
		}
	}
	parts, ok := o.sorted(open, mostSorted, func(n overNode) (sortable, bool, bool) {
		n.lo = math.Inf(-1)
		*d.lines = linesBelow{keeps: keeps}
		d.bound(&n)
		set := d.lines.best
		p := sortable{sortedPart: sortedPart{node: n, lines: set.lines}, set: set, slack: d.lines.gap - n.lo}
		return p, !(n.lo >= keeps), !math.IsNaN(n.lo)
	})
	if !ok {
		return nil, false
	}
	sorter := &pairSorter{[2]*outline.Region{ra, rb}, plain, falls}
	return newSorting(o.space.Devs, keeps, falls, parts, func() judge {
		j := o.pair(a, b)
		j.sorter = sorter
		return j
	}), true
}

// pieces lists the pairs of pieces on a box that the circles round them do not keep so far apart.
func (d *pairOver) pieces(t, i int, keeps float64) (list []overNode) {
	for ia := range d.a.pieces {
		for ib := range d.b.pieces {
			p, q := &d.a.pieces[ia], &d.b.pieces[ib]
			if d.apart(d.cells[t][i], p.hub, q.hub, p.reach+q.reach) < keeps {
				list = append(list, overNode{tube: t, box: i, ia: ia, ib: ib, part: tube.Full(), cell: d.cells[t][i]})
			}
		}
	}
	return list
}

// lookedCloser is how often a part is halved for one engine.
const lookedCloser = 24

// at bounds the distance of one engine on a part: first from above, which is soon done.
func (d *pairOver) at(p *sortedPart, dev []float64, keeps, falls float64) (lo, hi float64) {
	d.one = &oneEngine{all: dev, dev: d.few.Of(dev), hi: math.Inf(1)}
	d.look(&p.node)
	if hi = d.most(&p.node, new([taylor.MaxVars]float64), d.one.dev, false); hi < falls {
		return math.Inf(-1), hi
	}
	lo = math.Inf(1)
	open := []overNode{p.node}
	for left := lookedCloser; len(open) > 0; left-- {
		n := open[len(open)-1]
		open = open[:len(open)-1]
		n.lo = math.Inf(-1)
		d.bound(&n)
		k := n.widest
		if !(n.lo >= keeps) {
			split := left > 0 && k >= 0 && n.part.Half[k] > leastOver && n.lo+n.wide+d.tolerance/50 < d.one.hi
			if d.one.hi >= falls && (!split || math.IsInf(d.one.hi, 1)) {
				d.look(&n)
				d.one.hi = min(d.one.hi, d.most(&n, &d.one.tau, d.one.dev, true))
			}
			if d.one.hi < falls {
				return math.Inf(-1), d.one.hi
			}
			if split {
				open = append(open, n.halved(k, 0), n.halved(k, 1))
				continue
			}
		}
		lo = min(lo, n.lo)
	}
	return lo, d.one.hi
}

// most is what the distance of one engine is no more than at a place of a part: by its own outlines, or unless these are wanted by the two
// pieces that are looked at, if that is enough.
func (d *pairOver) most(n *overNode, tau *[taylor.MaxVars]float64, dev []float64, exact bool) float64 {
	v := d.view(n, 0)
	at := func(k int) float64 { return d.space.ValueOf(v.poly[k], tau, dev) }
	rel := plane.Placement{Origin: plane.Vec{X: at(0), Y: at(1)}, Dir: plane.Vec{X: at(2), Y: at(3)}.Unit()}
	reach := d.a.reach + d.b.reach + d.a.hub.Len() + d.b.hub.Len()
	// Bringing the direction to length 1 moves it by no more than it is off itself.
	off := v.rad[0] + v.rad[1] + 2*reach*(v.rad[2]+v.rad[3]) + 8*slip*(v.size+reach)
	if s := d.sorter; !exact && !(d.a.drawn && d.b.drawn) {
		if !s.plain || s.falls <= 0 {
			return math.Inf(1)
		}
		return d.hulls(n, &rel, dev) + off
	}
	ra, rb := d.region(0), d.region(1)
	if ra == nil || rb == nil {
		return math.Inf(1)
	}
	return outline.Distance(ra, plane.Fixed, rb, rel).D + off
}

// region is an outline of the engine in hand; nil where it has none.
func (d *pairOver) region(which int) *outline.Region {
	f, e := [2]*Form{d.a, d.b}[which], d.one
	switch {
	case f.drawn:
		return d.sorter.regions[which]
	case e.regions[which] != nil:
		return e.regions[which]
	case e.values == nil:
		change := map[int]float64{}
		for i, s := range d.plan.Sizes {
			change[s.Dim] = s.Mid + s.Half*e.all[i]
		}
		e.values = d.plan.Values.With(change)
	}
	r, err := outline.Build(f.shapes, e.values)
	if err != nil {
		return nil
	}
	e.regions[which] = r
	return r
}

// hulls is what the distance of one engine is no more than, by the two pieces of a part alone, where the second stands so in the axes of
// the first.
func (d *pairOver) hulls(n *overNode, rel *plane.Placement, dev []float64) float64 {
	as, lost := d.stuff(d.a, n.ia, dev)
	bs, more := d.stuff(d.b, n.ib, dev)
	for i := range bs {
		bs[i].p, bs[i].q = rel.Out(bs[i].p), rel.Out(bs[i].q)
	}
	gap := math.Inf(1)
	for i := range as {
		for j := range bs {
			gap = min(gap, as[i].from(bs[j].p, bs[j].rp), bs[j].from(as[i].p, as[i].rp))
		}
	}
	return max(gap, 0) + lost + more // where they overlap the outlines touch at least
}

// bar is two discs that lie within a body, and all those between them.
type bar struct {
	p, q   plane.Vec
	rp, rq float64
}

// stuff lists what of a piece lies within the body with some sizes, every disc of it as the first of a pair, and how far that may be off.
func (d *pairOver) stuff(f *Form, piece int, dev []float64) (list []bar, lost float64) {
	p := f.pieces[piece].within()
	spots := d.spots(nil, f, p, dev)
	inner := func(i int) bool { return spots[i].arc == nil || spots[i].arc.cos <= -1 }
	for k, i := range p.of {
		if g := &f.feature[i]; inner(k) {
			s := &spots[k]
			if p.taper && !f.narrower(i, p.of[1-k]) {
				s.r *= f.slender(i, p.of[1-k])
			}
			list = append(list, bar{s.at, s.at, s.r, s.r})
			lost = max(lost, g.off[0]+g.off[1]+g.off[2]+slip*(g.at.Len()+g.r+g.stray))
		}
	}
	if p.taper {
		return list, lost
	}
	for _, k := range p.sides {
		if a, b := &spots[k[0]], &spots[k[1]]; inner(k[0]) && inner(k[1]) {
			list = append(list, bar{a.at, b.at, a.r, b.r})
		}
	}
	return list, lost
}

// from is how far the nearest of some discs is from a disc, or little more.
func (w *bar) from(c plane.Vec, r float64) float64 {
	way, share := w.q.Sub(w.p), 0.0
	if l := way.Dot(way); l > 0 {
		share = math.Max(0, math.Min(1, c.Sub(w.p).Dot(way)/l))
	}
	return c.Sub(w.p.Add(way.Scale(share))).Len() - (1-share)*w.rp - share*w.rq - r
}
