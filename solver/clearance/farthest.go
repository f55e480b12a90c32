package clearance

import (
	"context"
	"math"

	"barover/solver/outline"
	"barover/solver/plane"
	"barover/solver/queue"
	"barover/solver/taylor"
	"barover/solver/tube"
)

// Farthest is what is known of the greatest signed distance of two outlines, mm: it is nowhere in the tubes above Hi, and
// at the place At it is at least Lo.
type Farthest struct {
	Lo, Hi float64
	At     tube.Place
	Done   bool // Hi - Lo is within the tolerance
}

// farNode is a part of a box with an upper bound of the distance there.
type farNode struct {
	hi        float64
	tube, box int
	part      tube.Part
}

// Farthest bounds the greatest distance of two bodies anywhere in the tubes. It stops as soon as that is known to the
// tolerance, or known to be no more than enough.
func (p *Prover) Farthest(ctx context.Context, a, b Body, enough float64) Farthest {
	d := p.pair(a, b)
	best := Farthest{Lo: math.Inf(-1), Hi: math.Inf(1)}
	if d.beyond() {
		return best
	}
	var open queue.Least[farNode] // the greatest bound first
	add := func(n farNode) {
		hi, at, where := d.upper(n.tube, n.box, &n.part)
		if there := d.measured(n.tube, n.box, &n.part, &where); there > at {
			at = there
		} else {
			where = [taylor.MaxVars]float64{}
		}
		if n.hi = math.Min(n.hi, hi); at > best.Lo {
			best.Lo = at
			t := p.tubes[n.tube]
			best.At.Tube = n.tube
			best.At.Turn, best.At.Travel = t.Position(&t.Boxes[n.box], &n.part, &where)
		}
		open.Push(-n.hi, &n)
	}
	for _, t := range d.on {
		for i := range p.tubes[t].Boxes {
			add(farNode{math.Inf(1), t, i, tube.Full()})
		}
	}
	for boxes := 0; open.Len() > 0; boxes++ {
		best.Hi = -open.Top()
		if best.Hi-best.Lo <= p.tolerance || best.Hi <= enough || boxes == p.sums.Parts(nodesAllowed) || boxes&63 == 63 && ctx.Err() != nil {
			break
		}
		n := open.Pop()
		k := d.widestOf(&n)
		if n.part.Half[k] < leastHalf {
			open.Push(-n.hi, &n)
			break
		}
		for side := range 2 {
			add(farNode{n.hi, n.tube, n.box, n.part.HalvedAlong(k, side)})
		}
	}
	best.Done = best.Hi-best.Lo <= p.tolerance || best.Hi <= enough
	return best
}

// upper bounds the distance over a part of a box from above, and from below at its centre. No two places of the outlines,
// and no two places of their arcs, are nearer than the outlines are; and no two places come farther apart than they move.
// Where is about where they are farthest apart.
func (d *duo) upper(t, box int, part *tube.Part) (hi, at float64, where [taylor.MaxVars]float64) {
	tb := d.tubes[t]
	tau := part.Mid
	pa, offA := placed(tb, &tb.Boxes[box], d.a, &tau)
	pb, offB := placed(tb, &tb.Boxes[box], d.b, &tau)
	v := d.views[t]
	v.set(d.relative(t, box, 0), part)
	near := outline.Distance(d.a.Region, pa, d.b.Region, pb)
	off := offA + offB
	hi = near.D + off + v.strays(d.b.Region.Centre.Sub(d.origin[1]), d.b.Region.Radius)
	for _, p := range touched(d.pa, pa.In(near.P).Sub(d.origin[0])) {
		for _, q := range touched(d.pb, pb.In(near.Q).Sub(d.origin[1])) {
			if hi1, there, ok := v.upper(&p, &q); ok && hi1+(d.a.Region.Radius+d.b.Region.Radius)*slip < hi {
				hi, where = hi1+(d.a.Region.Radius+d.b.Region.Radius)*slip, there
			}
		}
	}
	return hi, near.D - off, where
}

// measured bounds the distance at one place of a part of a box from below.
func (d *duo) measured(t, box int, part *tube.Part, where *[taylor.MaxVars]float64) float64 {
	tb := d.tubes[t]
	var tau [taylor.MaxVars]float64
	for k := range tau {
		tau[k] = part.Mid[k] + part.Half[k]*where[k]
	}
	pa, offA := placed(tb, &tb.Boxes[box], d.a, &tau)
	pb, offB := placed(tb, &tb.Boxes[box], d.b, &tau)
	return outline.Distance(d.a.Region, pa, d.b.Region, pb).D - offA - offB
}

// touched lists what is nearest on an outline at a place of its edge: the place, as an arc of radius 0, and the arcs that
// it is on.
func touched(all []solid, p plane.Vec) []arc {
	list := []arc{{c: p, cos: -2}}
	for i := range all {
		if all[i].Bite != nil {
			continue // it may have lost its arcs
		}
		for _, a := range all[i].arcs {
			if math.Abs(p.Sub(a.c).Len()-a.r) > 1e-9*(a.r+p.Len()) {
				continue
			}
			if all[i].whole(&a) {
				a.cos = -2
			}
			list = append(list, a)
		}
	}
	return list
}

// whole reports whether the arcs of a piece that are on the circle of one of them make a whole circle.
func (s *solid) whole(a *arc) bool {
	sum := 0.0
	for i := range s.arcs {
		if b := &s.arcs[i]; b.c == a.c && b.r == a.r {
			sum += 2 * math.Acos(math.Max(b.cos, -1))
		}
	}
	return sum > 2*math.Pi-1e-9
}

// upper bounds the distance of two arcs over a part from above by that of their centres: the place in the direction of
// the other's centre is on the arc. It reports false where that may be beside one of them.
func (v *view) upper(p, q *arc) (hi float64, where [taylor.MaxVars]float64, ok bool) {
	hi = v.distance(q.c, p.c, &where, 0) - p.r - q.r + slip*(p.c.Len()+q.c.Len())
	if p.r == 0 && q.r == 0 {
		return hi, where, true
	}
	m := v.centre()
	way := m.Out(q.c).Sub(p.c)
	far, stray := way.Len(), v.strays(q.c, 0)
	if !(stray < far/2) {
		return 0, where, false
	}
	way, off := way.Scale(1/far), 1.25*stray/far
	if !p.surelyFaces(way, off) || !q.surelyFaces(way.Scale(-1).Against(m.Dir), off+v.swing) {
		return 0, where, false
	}
	if p.cos <= -1 && q.cos <= -1 {
		return hi, where, true // the depth of two discs within the outlines is no more than theirs
	}
	// Where they have passed one another the two places are that far apart.
	var least [taylor.MaxVars]float64
	lo, _ := v.along(way, q.c, math.Inf(1), &least)
	return math.Max(hi, p.r+q.r-(lo-way.Dot(p.c))+slip*(p.c.Len()+q.c.Len())), where, true
}

// surelyFaces reports whether every direction that strays from n by at most the angle off falls within the arc.
func (a *arc) surelyFaces(n plane.Vec, off float64) bool {
	if a.cos <= -1 {
		return true
	}
	c := a.cos
	if c < 0 {
		c *= 1 - off*off/2
	}
	return off < 0.5 && a.sin+math.Max(-a.cos, 0) > off && n.Dot(a.mid) >= c+a.sin*off+lean
}

// widestOf is the coordinate along which the nearest features move most over a part.
func (d *duo) widestOf(n *farNode) (k int) {
	v := d.views[n.tube]
	v.set(d.relative(n.tube, n.box, 0), &n.part)
	weight := [taylor.MaxVars]float64{}
	reach := d.b.Region.Centre.Sub(d.origin[1]).Len() + d.b.Region.Radius
	for i, p := range v.space.Powers {
		c := math.Abs(v.poly[0][i]) + math.Abs(v.poly[1][i]) + reach*(math.Abs(v.poly[2][i])+math.Abs(v.poly[3][i]))
		for j := range v.space.Vars {
			weight[j] += c * float64(p[j])
		}
	}
	for j := range v.space.Vars {
		if weight[j] > weight[k] || n.part.Half[k] == 0 {
			k = j
		}
	}
	return k
}

// Above finds where on the turn two bodies are farther apart than limit, mm, at one travel setting of one of the tubes.
// Outside the stretches they are proved not to be, wherever the tube reaches. Their ends are right to fine, rad.
func (p *Prover) Above(ctx context.Context, a, b Body, at tube.Place, limit, fine float64) tube.Stretches {
	t := p.tubes[at.Tube]
	s := &sweep{p.pair(a, b), at.Tube, limit}
	if s.beyond() {
		return tube.Stretches{At: []tube.Range{t.Turn}}
	}
	return tube.StretchesOf(ctx, t, at.Travel, fine, pairsOf(len(s.pa), len(s.pb)), func(i int, part *tube.Part, all [][2]int16) ([][2]int16, bool, bool) {
		hi, _, _ := s.upper(s.tube, i, part)
		may := !(hi <= s.limit)
		return all, may, may && len(s.near(i, *part, all)) == 0
	})
}
