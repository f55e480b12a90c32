package clearance

import (
	"math"

	"barover/solver/expr"
	"barover/solver/outline"
	"barover/solver/plane"
	"barover/solver/taylor"
)

// A path is covered by convex polygons on its own corners and by what its arcs hold beyond their chords. With other sizes
// the corners move and the same pieces still cover it: as chains, the boundaries of the pieces add up to that of the
// path. So a place that the path goes round has a piece round it, and is in the hull of its corners.

// pathway is a path while its pieces are made.
type pathway struct {
	*former
	corner []int       // features, one a corner
	at     []plane.Vec // of each corner, with the sizes in the middle
	arcs   []bulge     // of the edge from each corner to the next
	failed bool
}

// bulge is an arc of a path, from one corner to the next.
type bulge struct {
	feature int     // the disc; -1 for a straight edge
	turn    float64 // rad, > 0 to the left
	r       float64 // mm
}

const (
	// mostCorners is how many corners a path may have that is covered piece by piece; one with more is covered by its
	// hull alone.
	mostCorners = 200
	// halfCircle is how near, as a share, a radius must be to half the chord for its arc to count as a half circle.
	halfCircle = 1e-6
)

// path adds the pieces of a path.
func (m *former) path(s *outline.Shape) bool {
	p := &pathway{former: m}
	ends := append([]outline.Place{s.P[0]}, make([]outline.Place, 0, len(s.Steps))...)
	for i := range s.Steps {
		ends = append(ends, s.Steps[i].To)
	}
	if ends[len(ends)-1] == ends[0] {
		ends = ends[:len(ends)-1]
	}
	var slots [][2]taylor.Slot
	for _, e := range ends {
		x, y := m.sum(e.X, &p.failed), m.sum(e.Y, &p.failed)
		slots = append(slots, [2]taylor.Slot{x, y})
		p.corner = append(p.corner, m.corner(x, y))
		p.at = append(p.at, plane.Vec{X: m.sums.Values.At(e.X), Y: m.sums.Values.At(e.Y)})
	}
	for i := range ends {
		b := bulge{feature: -1}
		if i < len(s.Steps) && s.Steps[i].Radius != expr.None {
			b = p.bulge(&s.Steps[i], slots[i], slots[(i+1)%len(slots)], i)
		}
		p.arcs = append(p.arcs, b)
	}
	if p.failed {
		return false
	}
	p.cover()
	return true
}

// bulge makes the disc of an arc from a to b, which begins at corner i.
func (p *pathway) bulge(t *outline.Step, a, b [2]taylor.Slot, i int) bulge {
	chord := p.at[(i+1)%len(p.at)].Sub(p.at[i])
	l, r := chord.Len(), p.sums.Values.At(t.Radius)
	sign := plane.Sign(t.Left)
	half := p.Number(0.5)
	dx, dy := p.Sub(b[0], a[0]), p.Sub(b[1], a[1])
	length := p.Sqrt(p.Add(p.Mul(dx, dx), p.Mul(dy, dy)))
	mx, my := p.Mul(p.Add(a[0], b[0]), half), p.Mul(p.Add(a[1], b[1]), half)
	if r <= l/2*(1+halfCircle) {
		if t.Long { // how far it goes round depends on the last digit
			p.failed = true
		}
		return bulge{p.disc(mx, my, p.Mul(length, half)), sign * math.Pi, l / 2} // the disc on its chord holds any such arc
	}
	radius, low := p.sum(t.Radius, &p.failed), p.Mul(length, half)
	h := p.Sqrt(p.Mul(p.Sub(radius, low), p.Add(radius, low)))
	h = p.Mul(p.Div(h, length), p.Number(sign))
	turn := 2 * math.Asin(l/(2*r))
	if t.Long {
		h, turn = p.Neg(h), 2*math.Pi-turn
	}
	k := p.disc(p.Sub(mx, p.Mul(dy, h)), p.Add(my, p.Mul(dx, h)), radius)
	out := chord.Unit().Turned().Scale(-sign) // from the centre to the middle of the arc
	p.facing = append(p.facing, facing{k, p.corner[i], p.corner[(i+1)%len(p.at)], out, turn / 2, false})
	return bulge{k, sign * turn, r}
}

// facing is an arc whose change of direction is to be found: its disc, the corners at its ends, the unit direction of its
// middle and half of its sweep.
type facing struct {
	disc, a, b int
	mid        plane.Vec
	half       float64
	square     bool // a half circle, square to the line from a to b
}

// face makes a disc count only where its arc faces with any of the sizes: the chord turns by as much as its ends move,
// and the half sweep is the arc sine of half the chord over the radius.
func (m *former) face(t *facing) {
	a, b, d := &m.form.feature[t.a], &m.form.feature[t.b], &m.form.feature[t.disc]
	l, off := b.at.Sub(a.at).Len(), a.stray+b.stray
	if !(off < l/4) || !(d.stray < d.r/4) {
		return
	}
	if t.square {
		d.sway = 1.2 * off / l
		d.arc = &arc{c: d.at, r: d.r, mid: t.mid, cos: math.Cos(t.half), sin: math.Sin(t.half)}
		return
	}
	most, least := (l+off)/(2*(d.r-d.stray)), (l-off)/(2*(d.r+d.stray))
	if !(most < 1) {
		return
	}
	at := math.Asin(l / (2 * d.r))
	d.sway = 1.2*off/l + math.Max(math.Asin(most)-at, at-math.Asin(least))
	d.arc = &arc{c: d.at, r: d.r, mid: t.mid, cos: math.Cos(t.half), sin: math.Sin(t.half)}
	if t.half > math.Pi-1e-6 {
		d.arc.cos, d.arc.sin = -2, 0
	}
}

// cover makes the pieces, with the corners anticlockwise.
func (p *pathway) cover() {
	area, n := 0.0, len(p.at)
	for i, b := range p.arcs {
		area += p.at[i].Cross(p.at[(i+1)%n]) + b.r*b.r*(b.turn-math.Sin(b.turn))
	}
	way := plane.Sign(!(area < 0))
	var polygon []int
	for i := range n {
		polygon = append(polygon, i)
		if way < 0 {
			polygon[i] = n - 1 - i
		}
	}
	whole := formed{}
	hollow := false
	for i, b := range p.arcs {
		whole.of = append(whole.of, p.corner[i])
		switch {
		case b.feature < 0:
		case b.turn*way > 0:
			whole.of = append(whole.of, b.feature)
		default:
			hollow = true
		}
	}
	if n > mostCorners || !hollow && outline.Convex(p.at, polygon) {
		p.form.pieces = append(p.form.pieces, whole)
		return
	}
	parts, ok := outline.ConvexParts(p.at, polygon)
	if !ok {
		p.form.pieces = append(p.form.pieces, whole)
		return
	}
	for _, list := range parts {
		var f formed
		for _, i := range list {
			f.of = append(f.of, p.corner[i])
		}
		p.form.pieces = append(p.form.pieces, f)
	}
	for i, b := range p.arcs {
		if b.feature >= 0 && b.turn*way > 0 {
			p.form.pieces = append(p.form.pieces, formed{of: []int{p.corner[i], p.corner[(i+1)%n], b.feature}})
		}
	}
}
