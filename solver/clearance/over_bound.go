package clearance

import (
	"math"

	"barover/solver/plane"
	"barover/solver/taylor"
	"barover/solver/tube"
)

// apart bounds two forms, or two of their pieces, from below on a whole box. It takes a circle round each, about p and q; reach is the sum
// of their radii.
func (d *pairOver) apart(c *cell, p, q plane.Vec, reach float64) float64 {
	pa, pb := &d.stands(c).at[0], &d.stands(c).at[1]
	at := func(p *tube.Placement, q plane.Vec) plane.Vec {
		return plane.Vec{X: p.X.Poly[0] + q.X*p.Cos.Poly[0] - q.Y*p.Sin.Poly[0], Y: p.Y.Poly[0] + q.X*p.Sin.Poly[0] + q.Y*p.Cos.Poly[0]}
	}
	n := at(pb, q).Sub(at(pa, p)).Unit()
	size := 0.0
	for k := range d.poly {
		x := pb.X.Poly[k] + q.X*pb.Cos.Poly[k] - q.Y*pb.Sin.Poly[k] - pa.X.Poly[k] - p.X*pa.Cos.Poly[k] + p.Y*pa.Sin.Poly[k]
		y := pb.Y.Poly[k] + q.X*pb.Sin.Poly[k] + q.Y*pb.Cos.Poly[k] - pa.Y.Poly[k] - p.X*pa.Sin.Poly[k] - p.Y*pa.Cos.Poly[k]
		d.poly[k] = n.X*x + n.Y*y
		size += math.Abs(x) + math.Abs(y)
	}
	far := func(v plane.Vec) float64 { return math.Abs(v.X) + math.Abs(v.Y) }
	size += far(p) + far(q)
	off := pa.X.Rad + pa.Y.Rad + pb.X.Rad + pb.Y.Rad + far(p)*(pa.Cos.Rad+pa.Sin.Rad) + far(q)*(pb.Cos.Rad+pb.Sin.Rad) + 16*slip*size
	lo, _, _ := d.space.LeastOf(d.poly, d.disc)
	return lo - off - reach*(1+slip)
}

// bound computes a lower bound for two pieces on a part. It tries one direction after another. The first is that in which the pieces
// are farthest apart with all sizes in the middle, or in which they part soonest. Each further one is that at the place, and with
// the sizes, at which the last bound was least. Once two directions agree, no other is better: what sizes do in straight lines is convex.
func (d *pairOver) bound(n *overNode) {
	n.waits = nil
	d.boundTo(n, math.Inf(1))
}

// waiting is what goes on when a node is bounded more closely: how many directions were tried, and where and with which sizes the last bound
// is least.
type waiting struct {
	rounds int
	beside bool
	tau    [taylor.MaxVars]float64
	dev    []float64
}

// boundTo is bound, or the rest of it. Once some engine was found, it stops where the bound is above enough, so that others come first.
func (d *pairOver) boundTo(n *overNode, enough float64) {
	lo, wide, done, beside := n.lo, 0.0, 0, false
	var tau [taylor.MaxVars]float64
	var dev []float64 // nil for those in the middle
	if d.one != nil {
		dev = d.one.dev
	}
	d.look(n)
	d.close, d.swap = nil, false
	if w := n.waits; w != nil {
		tau, dev, wide, done, beside, n.waits = w.tau, w.dev, n.wide, w.rounds, w.beside, nil
		d.closeIn(n, lo, wide)
	}
	form := d.stands(n.cell).form
	nearest := candidate{gap: math.Inf(1)}
	for round := done; round < rounds; round++ {
		nu, gap, back := d.direction(n, &tau, dev)
		if round > 0 {
			d.meets(n, &nearest, &candidate{tau, dev, gap, wide / 2})
		}
		side, fp, sp := 0, n.ia, n.ib
		if back {
			side, fp, sp = 1, n.ib, n.ia
		}
		v, first, second := d.view(n, side), form[side], form[1-side]
		got, at, with, off := d.along(v, first, second, fp, sp, nu)
		d.cut.Turn()
		better := got > lo+d.tolerance/20
		wide = off
		if got > lo || round == 0 {
			n.wide, n.widest, n.moved = wide, v.widest(d.b.reach, v.active), d.space.Moved(v.active)
			d.lines.keep()
		}
		d.lines.drop()
		lo = max(lo, got)
		if with == nil || lo >= d.upTo {
			break
		}
		if !d.closeIn(n, lo, wide) && round > 0 && !better {
			if beside || !d.beside(v, with, first, &first.pieces[fp], second, &second.pieces[sp], nu) {
				break
			}
			beside = true
		}
		if tau, dev = at, with; lo > enough && min(d.best.Near, nearest.gap) < math.Inf(1) && round+1 < rounds {
			n.waits = &waiting{round + 1, beside, tau, dev}
			break
		}
	}
	if nearest.dev != nil {
		d.found(n, &nearest)
	}
	n.lo, n.rough = lo, false
}

// candidate is how far apart two pieces are with some sizes at a place of a part, to within slack.
type candidate struct {
	tau        [taylor.MaxVars]float64
	dev        []float64
	gap, slack float64
}

// meets takes note of what a direction started from. Of one bound it keeps the nearest.
func (d *pairOver) meets(n *overNode, nearest, c *candidate) {
	if d.one != nil {
		d.one.tau, d.one.hi = c.tau, min(d.one.hi, d.most(n, &c.tau, c.dev, false))
		return
	}
	if d.lines.at(c.gap + c.slack); c.gap < nearest.gap {
		*nearest = *c
	}
}

// closeIn has radii computed more closely from now on, if they are most of what is missing from a bound.
func (d *pairOver) closeIn(n *overNode, lo, wide float64) bool {
	if d.close != nil || !(wide > muchRadii*(d.upTo-lo)) {
		return false
	}
	d.close, d.swap = n.cell, d.free && d.steadier(n.cell)
	return true
}

// leastOf bounds a polynomial from below for all sizes, or for those of the engine in hand.
func (d *pairOver) leastOf(poly []float64) (lo float64, at [taylor.MaxVars]float64, dev []float64) {
	if d.one != nil {
		return d.space.LeastWith(poly, d.one.dev, d.disc)
	}
	return d.space.LeastOf(poly, d.disc)
}

// found takes the engine of a candidate for the worst, if it is.
func (d *pairOver) found(n *overNode, c *candidate) {
	if hi := d.exactly(n, &c.tau, c.dev, c.gap, c.slack); hi < d.best.Near {
		tb := d.tubes[n.tube]
		d.best.Near, d.best.Dev = hi, n.cell.uncut(d.few.Among(c.dev))
		d.best.At.Tube = n.tube
		d.best.At.Turn, d.best.At.Travel = tb.Position(&tb.Boxes[n.box], &n.part, &c.tau)
	}
}

// along bounds how far the second piece stays from the first in a direction fixed in the axes of the first, over the part
// of the view, which is in those axes. It also returns where and with which sizes that is least, and its radii.
func (d *pairOver) along(v *view, first, second *Form, fp, sp int, n plane.Vec) (lo float64, at [taylor.MaxVars]float64, dev []float64, wide float64) {
	lo = math.Inf(1)
	back := n.Scale(-1).Against(v.centre().Dir)
	far, near := first.foremost(fp, n), v.nearest(second, sp, n, back)
	for _, j := range second.pieces[sp].of {
		q := &second.feature[j]
		if j != near && (q.arc != nil && !q.arc.faces(back, v.swing+q.sway) || v.behind(q, &second.feature[near], n)) {
			continue
		}
		rad, tail := d.inDirection(v, n, q)
		head := d.turn[0][0]
		for _, i := range first.pieces[fp].of {
			p := &first.feature[i]
			if i != far && (p.arc != nil && !p.arc.faces(n, p.sway) || p.short(&first.feature[far], n)) {
				continue
			}
			if head-n.Dot(p.at)-p.r-p.stray-tail-rad > max(d.lines.upTo(lo), d.cut.UpTo()) {
				continue
			}
			off := d.lessFeature(p, n) + rad
			low, where, with := d.leastOf(d.poly)
			d.cut.Add(d.poly, low, off)
			low -= off
			d.lines.add(d, off, low)
			if low < lo {
				lo, at, dev, wide = low, where, with, 2*off
				copy(v.active, d.poly)
			}
		}
	}
	return lo, at, dev, wide
}

// foremost returns the feature of a piece that reaches farthest in the direction n, with the sizes in the middle of their
// ranges; -1 if none faces it.
func (f *Form) foremost(piece int, n plane.Vec) int {
	best, most := -1, math.Inf(-1)
	for _, i := range f.pieces[piece].of {
		g := &f.feature[i]
		if far := n.Dot(g.at) + g.r; far > most && (g.arc == nil || g.arc.faces(n, g.sway)) {
			best, most = i, far
		}
	}
	return best
}

// short reports whether g reaches less far in the direction n than the feature far, for all sizes.
func (g *feature) short(far *feature, n plane.Vec) bool {
	lost := 8 * slip * (g.at.Len() + g.r + far.at.Len() + far.r)
	return n.Dot(g.at)+g.r+g.stray+lost < n.Dot(far.at)+far.r-far.stray
}

// nearest returns the feature of a piece of the second body that reaches least far in the direction n, in the middle of the
// part; -1 if none faces the direction back.
func (v *view) nearest(f *Form, piece int, n, back plane.Vec) int {
	best, least := -1, math.Inf(1)
	for _, i := range f.pieces[piece].of {
		g := &f.feature[i]
		if head := v.headOf(n, g.at) - g.r; head < least && (g.arc == nil || g.arc.faces(back, v.swing+g.sway)) {
			best, least = i, head
		}
	}
	return best
}

// behind reports whether the feature g of the second body lies farther in the direction n than the feature near, everywhere on
// the part and for all sizes. Only the rotation of the body and the sizes change the difference.
func (v *view) behind(g, near *feature, n plane.Vec) bool {
	by := g.at.Sub(near.at)
	turn := math.Abs(n.Dot(by))*(v.tail[2]+v.rad[2]) + math.Abs(n.Y*by.X-n.X*by.Y)*(v.tail[3]+v.rad[3])
	lost := 16 * slip * (g.at.Len() + g.r + near.at.Len() + near.r)
	return v.headOf(n, by)-g.r+near.r-turn-g.stray-near.stray-lost > 0
}

// headOf returns the component of a vector q of the second body (mm, in the body's axes) in the direction n, in the middle of
// the part.
func (v *view) headOf(n, q plane.Vec) float64 {
	return n.Dot(q)*v.poly[2][0] + (n.Y*q.X-n.X*q.Y)*v.poly[3][0]
}

// inDirection writes n·q minus the radius of q to turn[0], for a feature q of the second body. It returns the radius and
// the sizes of all coefficients except the first.
func (d *pairOver) inDirection(v *view, n plane.Vec, q *feature) (rad, tail float64) {
	to := d.turn[0]
	rad = v.inDirection(to, n, q.at)
	if d.close != nil {
		rad = min(rad, d.closely(v, n, q.at))
	}
	to[0] -= q.r
	if q.move[0] != nil || q.move[1] != nil {
		for k, c := range [2][2]float64{{n.X, n.Y}, {n.Y, -n.X}} { // against the cosine and the sine
			sum := d.turn[1]
			clear(sum)
			for i, w := range c {
				for m, x := range q.move[i] {
					sum[m] += w * x
				}
			}
			rad += d.space.AddTimes(to, sum, v.poly[2+k], q.off[0]+q.off[1], v.rad[2+k], 1)
		}
	}
	for m, x := range q.move[2] {
		to[m] -= x
	}
	return rad + q.off[2] + slip*(q.r+q.stray), taylor.SizeOf(to[1:])
}

// lessFeature writes turn[0] minus a feature of the first body to poly, and returns the radius of that feature.
func (d *pairOver) lessFeature(p *feature, n plane.Vec) float64 {
	copy(d.poly, d.turn[0])
	d.poly[0] -= n.Dot(p.at) + p.r
	for i, w := range [3]float64{n.X, n.Y, 1} {
		for m, x := range p.move[i] {
			d.poly[m] -= w * x
		}
	}
	return p.off[0] + p.off[1] + p.off[2] + 4*slip*(math.Abs(p.at.X)+math.Abs(p.at.Y)+p.r+p.stray)
}

// closely is the radius of n·q for a place q of the second part, in a view of the cell in hand. An error of the first part's direction
// counts once, by how far the place is from the first part's origin. The plain radius counts it twice: for the second part's origin, and for
// the place from there. What products lose in rounding is far below the slack, whichever way they are summed up.
func (d *pairOver) closely(v *view, n, q plane.Vec) float64 {
	s, in := d.stands(d.close), 0
	if v == d.views[1] {
		in = 1
	}
	x, y := tube.OffIn(d.space, &s.at[in], &s.at[1-in], q)
	return math.Abs(n.X)*x + math.Abs(n.Y)*y + roundings*(v.size+math.Abs(q.X)+math.Abs(q.Y))
}

// roundings is far more than the products of two polynomials lose in rounding, as a share of their size.
const roundings = 0x1p-32

// steadier reports whether the first part is known more closely in the axes of the second than the second in those of the first.
func (d *pairOver) steadier(c *cell) bool {
	at := &d.stands(c).at
	x, y := tube.OffIn(d.space, &at[0], &at[1], d.b.hub)
	u, v := tube.OffIn(d.space, &at[1], &at[0], d.a.hub)
	return u+v < x+y
}
