package clearance

import (
	"context"
	"math"

	"barover/solver/outline"
	"barover/solver/plane"
	"barover/solver/taylor"
	"barover/solver/tube"
)

// The greatest distance is bounded by two discs that are within the bodies whatever the sizes, near where the bodies are
// nearest: no outlines are farther apart than things within them. A place of an outline is such a disc of radius 0, and
// so is every disc between two discs of a round bar.

// innerDisc is a disc within a body: its centre in the axes of the body and its radius, as polynomials over the sizes.
type innerDisc struct {
	head plane.Vec // with the sizes in the middle
	r    float64
	move [3][]float64 // deviations from that; nil for none
	off  [3]float64   // radii of these
}

// mostOver is two outlines whose greatest distance over all sizes is sought.
type mostOver struct {
	*pairOver
	ra, rb *outline.Region
	held   [2][]solid // of outlines that depend on no size
	x, y   []float64
}

// Most bounds the distance of two outlines from above over everything that the tubes hold: it is nowhere more than Lo of
// the answer, and about Near at its place with its sizes. The regions are the outlines with the sizes in the middle. It
// holds for outlines that depend on no size, and for those that are the pieces of their forms, without holes and hollows.
func (o *Over) Most(ctx context.Context, a, b *Form, ra, rb *outline.Region) (Worst, bool) {
	if !o.encloses(a, b) {
		return Worst{}, false
	}
	m := o.most(a, b, ra, rb)
	for t := range o.tubes {
		for i := range o.tubes[t].Boxes {
			m.add(overNode{lo: math.Inf(-1), tube: t, box: i, part: tube.Full(), cell: o.cells[t][i]})
		}
	}
	m.search(ctx)
	w := m.best
	w.Lo, w.Near = -w.Lo, -w.Near
	return w, !math.IsInf(w.Lo, 1) && !math.IsNaN(w.Lo)
}

// most prepares to bound two outlines from above.
func (o *Over) most(a, b *Form, ra, rb *outline.Region) *mostOver {
	o.fill()
	m := &mostOver{pairOver: o.pair(a, b), ra: ra, rb: rb}
	m.x, m.y = make([]float64, m.space.N), make([]float64, m.space.N)

	for i, f := range [2]*Form{m.a, m.b} {
		if f.drawn {
			m.held[i] = solidsOf([2]*outline.Region{ra, rb}[i], plane.Vec{})
		}
	}
	return m
}

// Above lists the stretches of the turn over which the distance of two outlines is not proved to stay at limit or below,
// as Below does.
func (o *Over) Above(ctx context.Context, a, b *Form, ra, rb *outline.Region, limit, piece float64, travel []float64) []tube.Range {
	m := o.most(a, b, ra, rb)
	return o.open(ctx, travel, piece, func(n *overNode) float64 {
		n.lo = math.Inf(-1)
		m.bound(n)
		return math.Max(0, -limit-n.lo)
	})
}

// search continues until the bound is near the greatest found. What it bounds from below is minus the distance.
func (m *mostOver) search(ctx context.Context) {
	m.until(ctx, m.Over, m.space, m.tolerance, func(n overNode) bool {
		kids := m.finer(&n, m.near)
		switch {
		case kids != nil:
		case n.widest < 0 || n.part.Half[n.widest] < leastOver || n.lo >= m.near-n.wide:
			m.floor = min(m.floor, n.lo)
		default:
			kids = []overNode{n.halved(n.widest, 0), n.halved(n.widest, 1)}
		}
		for i := range kids {
			m.add(kids[i])
		}
		return true
	})
	m.end(ctx)
}

func (m *mostOver) add(n overNode) {
	m.bound(&n)
	m.put(&n)
}

// bound bounds the distance over a part from above.
func (m *mostOver) bound(n *overNode) {
	m.look(n)
	v := m.view(n, 0)
	near := outline.Distance(m.ra, plane.Fixed, m.rb, v.centre())
	n.widest = -1
	var tau [taylor.MaxVars]float64
	var dev []float64
	for _, p := range m.discs(0, near.P) {
		for _, q := range m.discs(1, v.centre().In(near.Q)) {
			if at, with, better := m.between(n, &p, &q); better {
				tau, dev = at, with
			}
		}
	}
	if dev != nil {
		m.found(n, &tau, dev)
	}
}

// found notes how far apart the two are with some sizes at a place of a part.
func (m *mostOver) found(n *overNode, tau *[taylor.MaxVars]float64, dev []float64) {
	gap := math.Inf(1)
	if m.a.drawn && m.b.drawn {
		at := func(k int) float64 { return m.space.ValueOf(m.views[0].poly[k], tau, dev) }
		gap = outline.Distance(m.ra, plane.Fixed, m.rb, plane.Placement{Origin: plane.Vec{X: at(0), Y: at(1)}, Dir: plane.Vec{X: at(2), Y: at(3)}.Unit()}).D
	} else {
		for i := range m.a.pieces {
			for j := range m.b.pieces {
				_, g, _ := m.direction(&overNode{cell: n.cell, ia: i, ib: j}, tau, dev)
				gap = math.Min(gap, g)
			}
		}
	}
	if gap -= n.wide / 2; -gap < m.best.Near {
		tb := m.tubes[n.tube]
		m.best.Near, m.best.Dev, m.best.At.Tube = -gap, m.few.Among(dev), n.tube
		m.best.At.Turn, m.best.At.Travel = tb.Position(&tb.Boxes[n.box], &n.part, tau)
	}
}

// discs lists discs within a body near a place on its edge, in its axes, with the sizes in the middle.
func (m *mostOver) discs(which int, at plane.Vec) (list []innerDisc) {
	f := [2]*Form{m.a, m.b}[which]
	if f.drawn {
		for _, a := range touched(m.held[which], at) {
			if a.cos <= -1 {
				list = append(list, innerDisc{head: a.c, r: a.r})
			}
		}
		return list
	}
	best, off := innerDisc{}, math.Inf(1)
	for i := range f.pieces {
		p := f.pieces[i].within()
		for _, j := range p.of {
			for _, k := range p.of {
				if k < j {
					continue
				}
				d := f.innerOf(p, j, k, at)
				if o := at.Sub(d.head).Len() - d.r; o < off-1e-9 {
					best, off = d, o
				}
			}
		}
	}
	return []innerDisc{best}
}

// innerOf is a disc of a piece, near a place, that lies between two of its features or is one of them.
func (f *Form) innerOf(p *formed, j, k int, at plane.Vec) innerDisc {
	switch {
	case !p.taper:
		return f.amid(j, k, at)
	case j == k:
		return f.endDisc(j, p.of[0]+p.of[1]-j, at)
	}
	d := f.amid(j, k, at)
	d.shrink(f.slender(j, k))
	return d
}

// amid is the disc between two features that is nearest to a place: their hull holds it whatever the sizes.
func (f *Form) amid(i, j int, at plane.Vec) innerDisc {
	p, q := &f.feature[i], &f.feature[j]
	w, way := 0.0, q.at.Sub(p.at)
	if l := way.Len(); i != j && l > 0 {
		u := way.Scale(1 / l)
		s, h := at.Sub(p.at).Dot(u), math.Abs(at.Sub(p.at).Dot(u.Turned()))
		if k := (q.r - p.r) / l; math.Abs(k) < 1 {
			s += h * k / math.Sqrt(1-k*k)
		}
		w = math.Max(0, math.Min(1, s/l))
	}
	out := innerDisc{head: p.at.Scale(1 - w).Add(q.at.Scale(w)), r: (1-w)*p.r + w*q.r}
	for k := range out.move {
		out.move[k] = mixed(p.move[k], q.move[k], w)
		out.off[k] = p.off[k] + q.off[k]
	}
	return out
}

// slender is the factor by which the discs between two must be smaller to be within a bar of their width, whatever the
// sizes: the cosine of the angle between its sides and its middle line.
func (f *Form) slender(i, j int) float64 {
	p, q := &f.feature[i], &f.feature[j]
	stray := p.stray + q.stray
	l := q.at.Sub(p.at).Len() - stray
	if !(l > 0) {
		return 0
	}
	return 1 / math.Hypot(1, (math.Abs(p.r-q.r)+stray)/l) * (1 - slip)
}

// shrink makes a disc smaller by a factor.
func (d *innerDisc) shrink(by float64) {
	d.r *= by
	for k, c := range d.move[2] {
		d.move[2][k] = by * c
	}
}

// mixed is (1-w)·a + w·b of two polynomials, nil for zero.
func mixed(a, b []float64, w float64) []float64 {
	if a == nil && b == nil {
		return nil
	}
	out := make([]float64, max(len(a), len(b)))
	for i, c := range a {
		out[i] = (1 - w) * c
	}
	for i, c := range b {
		out[i] += w * c
	}
	return out
}

// between bounds how far apart two discs come over the part of the view. With l the vector from centre to centre,
// l| is at most (|l|²/far + far)/2, whatever far is, and equal to it where far is |l|. It returns where and with which sizes they are
// farthest apart, if the bound is better for it.
func (m *mostOver) between(n *overNode, p, q *innerDisc) (tau [taylor.MaxVars]float64, dev []float64, better bool) {
	size := m.way(p, q)
	rx, ry := size[0], size[1]
	sq := make([]float64, m.space.N)
	rad := m.space.AddTimes(sq, m.x, m.x, rx, rx, 1) + m.space.AddTimes(sq, m.y, m.y, ry, ry, 1)
	far := math.Sqrt(math.Max(sq[0], 0))
	poly := make([]float64, m.space.N)
	for range rounds {
		far = math.Max(far, m.tolerance)
		for i, c := range sq {
			poly[i] = -c / (2 * far)
		}
		poly[0] += p.r + q.r - far/2
		off := rad/(2*far) + p.off[2] + q.off[2] + slip*(p.r+q.r+far+sq[0]/far)
		for _, w := range [2]*innerDisc{p, q} {
			for i, c := range w.move[2] {
				poly[i] += c
			}
		}
		lo, at, with := m.space.LeastOf(poly, m.disc)
		hi := math.Max(off-lo, 0) // where the discs overlap the outlines at least touch
		if -hi > n.lo || n.widest < 0 {
			n.lo, n.wide, n.widest, n.moved = max(n.lo, -hi), 2*off, m.views[0].widest(m.b.reach, poly), m.space.Moved(poly)
			tau, dev, better = at, with, true
		}
		reach := math.Sqrt(math.Max(m.space.ValueOf(sq, &at, with), 0))
		if math.Abs(reach-far) < m.tolerance/4 {
			break
		}
		far = reach
	}
	return tau, dev, better
}

// way writes the vector from the centre of one disc to that of another to x and y, in the axes of the first body, and
// returns their radii.
func (m *mostOver) way(p, q *innerDisc) (rad [2]float64) {
	v := m.views[0]
	for i := range m.x {
		m.x[i] = v.poly[0][i] + q.head.X*v.poly[2][i] - q.head.Y*v.poly[3][i]
		m.y[i] = v.poly[1][i] + q.head.X*v.poly[3][i] + q.head.Y*v.poly[2][i]
	}
	m.x[0] -= p.head.X
	m.y[0] -= p.head.Y
	ax, ay := math.Abs(q.head.X), math.Abs(q.head.Y)
	lost := slip * (v.size + 2*(ax+ay) + math.Abs(p.head.X) + math.Abs(p.head.Y))
	rad[0] = v.rad[0] + ax*v.rad[2] + ay*v.rad[3] + lost + p.off[0]
	rad[1] = v.rad[1] + ax*v.rad[3] + ay*v.rad[2] + lost + p.off[1]
	for k, to := range [2][]float64{m.x, m.y} {
		for i, c := range p.move[k] {
			to[i] -= c
		}
		for j, w := range [2]float64{1, float64(2*k - 1)} { // x: cos·qx - sin·qy; y: cos·qy + sin·qx
			of := q.move[(k+j)%2]
			if of == nil && q.off[(k+j)%2] == 0 {
				continue
			}
			if of == nil {
				of = make([]float64, m.space.N)
			}
			rad[k] += m.space.AddTimes(to, of, v.poly[2+j], q.off[(k+j)%2], v.rad[2+j], w)
		}
	}
	return rad
}
