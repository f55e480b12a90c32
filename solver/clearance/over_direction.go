package clearance

import (
	"math"

	"barover/solver/plane"
	"barover/solver/taylor"
	"barover/solver/tube"
)

// spotted is a feature at its place at one position with some sizes.
type spotted struct {
	at  plane.Vec
	r   float64
	arc *arc
	of  float64 // how far the directions that an arc faces may move
}

// spots puts the features of a piece at their places with some sizes, nil for those in the middle, after those in out.
func (d *pairOver) spots(out []spotted, f *Form, piece *formed, dev []float64) []spotted {
	for _, i := range piece.of {
		g := &f.feature[i]
		s := spotted{g.at, g.r, g.arc, g.sway}
		for k, to := range [3]*float64{&s.at.X, &s.at.Y, &s.r} {
			if g.move[k] != nil && dev != nil {
				*to += d.space.ValueAside(g.move[k], dev)
			}
		}
		out = append(out, s)
	}
	return out
}

// direction is the unit direction from the first piece to the second in which they are farthest apart, or in which the
// shortest shift separates them, at a place of a part with some sizes. It also returns how far, and whether the direction
// is better fixed in the axes of the second, in which it is then given. The sizes are nil for those in the middle.
func (d *pairOver) direction(n *overNode, tau *[taylor.MaxVars]float64, dev []float64) (dir plane.Vec, gap float64, back bool) {
	at := d.place(tau)
	value := func(s *tube.Series) float64 { return s.Poly[0] }
	if dev != nil || at != [taylor.MaxVars]float64{} {
		d.space.Weigh(d.weight, &at, dev)
		value = func(s *tube.Series) (v float64) {
			for i, x := range s.Poly {
				v += x * d.weight[i]
			}
			return v
		}
	}
	var p [2]plane.Placement
	for i := range p {
		s := &d.stands(n.cell).at[i]
		p[i] = plane.Placement{Origin: plane.Vec{X: value(&s.X), Y: value(&s.Y)}, Dir: plane.Vec{X: value(&s.Cos), Y: value(&s.Sin)}.Unit()}
	}
	return d.facing(n, &plane.Placement{Origin: p[1].Origin.Sub(p[0].Origin).Against(p[0].Dir), Dir: p[1].Dir.Against(p[0].Dir)}, dev)
}

// facing is direction where the second part stands so in the axes of the first.
func (d *pairOver) facing(n *overNode, rel *plane.Placement, dev []float64) (dir plane.Vec, gap float64, back bool) {
	form := d.stands(n.cell).form
	a, b := &form[0].pieces[n.ia], &form[1].pieces[n.ib]
	d.spot[0], d.spot[1] = d.spots(d.spot[0][:0], form[0], a, dev), d.spots(d.spot[1][:0], form[1], b, dev)
	as, bs := d.spot[0], d.spot[1]
	turned := rel.Dir
	for i := range bs {
		bs[i].at = rel.Out(bs[i].at)
	}
	gap = math.Inf(-1)
	try := func(u plane.Vec, own bool) {
		if s := between(as, bs, u, turned); s > gap {
			dir, gap, back = u, s, own
		}
	}
	for _, s := range a.sides {
		if u, ok := tangentTo(as[s[0]].at, as[s[0]].r, as[s[1]].at, as[s[1]].r); ok {
			try(u, false)
		}
	}
	for _, s := range b.sides {
		if u, ok := tangentTo(bs[s[0]].at, bs[s[0]].r, bs[s[1]].at, bs[s[1]].r); ok {
			try(u.Scale(-1), true)
		}
	}
	beside := gap
	for i := range as {
		for j := range bs {
			if w := bs[j].at.Sub(as[i].at); w != (plane.Vec{}) {
				try(w.Unit(), d.swap)
			}
		}
	}
	d.free = gap > beside
	if math.IsInf(gap, -1) { // both are one disc about one place
		dir, gap = plane.Vec{X: 1}, between(as, bs, plane.Vec{X: 1}, turned)
	}
	if back {
		dir = dir.Scale(-1).Against(rel.Dir)
	}
	return dir, gap, back
}

// between is the distance of two pieces in a direction, with the second turned by a direction of its own.
func between(as, bs []spotted, u, turned plane.Vec) float64 {
	most, least := math.Inf(-1), math.Inf(1)
	for i := range as {
		if a := &as[i]; a.arc == nil || a.arc.faces(u, a.of) {
			most = math.Max(most, u.Dot(a.at)+a.r)
		}
	}
	back := u.Scale(-1).Against(turned)
	for i := range bs {
		if b := &bs[i]; b.arc == nil || b.arc.faces(back, b.of) {
			least = math.Min(least, u.Dot(b.at)-b.r)
		}
	}
	return least - most
}

// beside sets sizes that the nearest features have nothing to do with to where they bring those beside them nearest. In the worst engine
// both ends of a side may come near at once, and the direction that shows it is square to the side as it then stands. It reports whether
// there were any.
func (d *pairOver) beside(v *view, dev []float64, first *Form, fp *formed, second *Form, sp *formed, n plane.Vec) (set bool) {
	if first.drawn && second.drawn {
		return false
	}
	back := n.Against(v.centre().Dir)
	for i := range dev {
		if dev[i] != 0 || d.disc[i] || i > 0 && d.disc[i-1] {
			continue
		}
		k, near := d.space.Deviation(i), math.Inf(1)
		for _, j := range sp.of {
			q := &second.feature[j]
			if s, off := q.slope(k, back, 1), back.Dot(q.at)-q.r; s != 0 && off < near {
				near, dev[i], set = off, -math.Copysign(1, s), true
			}
		}
		near = math.Inf(1)
		for _, j := range fp.of {
			p := &first.feature[j]
			if s, off := p.slope(k, n, -1), -n.Dot(p.at)-p.r; s != 0 && off < near {
				near, dev[i], set = off, -math.Copysign(1, s), true
			}
		}
	}
	return set
}

// slope is by how much a size, of which the coefficient is k, moves what a feature keeps off in a direction in the axes of its body, forward or,
// with a sign of -1, backward.
func (g *feature) slope(k int, n plane.Vec, sign float64) (s float64) {
	for i, w := range [3]float64{sign * n.X, sign * n.Y, -1} {
		if g.move[i] != nil {
			s += w * g.move[i][k]
		}
	}
	return s
}
