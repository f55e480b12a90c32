package clearance

import (
	"math"

	"barover/solver/outline"
	"barover/solver/plane"
	"barover/solver/taylor"
	"barover/solver/tube"
)

// cache keeps what several pairs need.
type cache struct {
	solid map[standing][]solid
	rel   map[[2]axes][][2]*tube.Relative
	hubs  map[Body][][]hub // of each box of each tube
}

// standing is an outline in axes whose origin is at a place of its part.
type standing struct {
	region *outline.Region
	origin plane.Vec
}

// axes are those of a part, with their origin at a place of it.
type axes struct {
	part   int
	origin plane.Vec
}

func newCache() *cache {
	return &cache{map[standing][]solid{}, map[[2]axes][][2]*tube.Relative{}, map[Body][][]hub{}}
}

// solids returns the pieces of an outline in axes with their origin at a place of its part.
func (c *cache) solids(r *outline.Region, origin plane.Vec) []solid {
	key := standing{r, origin}
	s, ok := c.solid[key]
	if !ok {
		s = solidsOf(r, origin)
		c.solid[key] = s
	}
	return s
}

// relatives returns room for the relative placement of two parts on each of n boxes.
func (c *cache) relatives(a, b axes, n int) [][2]*tube.Relative {
	key := [2]axes{a, b}
	r, ok := c.rel[key]
	if !ok {
		r = make([][2]*tube.Relative, n)
		c.rel[key] = r
	}
	return r
}

// farOff is how far the outlines of a pair may be from the origin of their axes, as a multiple of their size.
const farOff = 8

// originFor is the place on its part of the origin of a body's axes for a pair of a size, mm. It is the part's own
// origin, unless the outline is far from it. What a bound loses, and how far a turn moves things, grows with the distance
// from the origin. So only the pair's own size should count, wherever on the sheet it is. Origins are on a grid, so that
// pairs share them.
func originFor(b Body, size float64) plane.Vec {
	_, up := math.Frexp(farOff * size)
	grid := math.Ldexp(1, up)
	at := b.Region.Centre.Scale(1 / grid)
	return plane.Vec{X: math.Round(at.X), Y: math.Round(at.Y)}.Scale(grid)
}

// hub is the centre of the circle round an outline over a box, in the frame.
type hub struct {
	x, y []float64
	off  float64
}

// hub returns the centre of the circle round a body on box i of tube t.
func (c *cache) hub(tubes []*tube.Tube, t, i int, b Body) *hub {
	all, ok := c.hubs[b]
	if !ok {
		all = make([][]hub, len(tubes))
		c.hubs[b] = all
	}
	if all[t] == nil {
		all[t] = hubsOf(tubes[t], b)
	}
	return &all[t][i]
}

func hubsOf(t *tube.Tube, b Body) []hub {
	n := t.Space.N
	room := make([]float64, 2*n*len(t.Boxes))
	hubs := make([]hub, len(t.Boxes))
	q := b.Region.Centre
	for i := range hubs {
		h := &hubs[i]
		h.x, h.y = room[2*i*n:(2*i+1)*n:(2*i+1)*n], room[(2*i+1)*n:(2*i+2)*n:(2*i+2)*n]
		p := t.Placement(&t.Boxes[i], b.Part)
		size := 0.0
		for k := range n {
			h.x[k] = p.X.Poly[k] + q.X*p.Cos.Poly[k] - q.Y*p.Sin.Poly[k]
			h.y[k] = p.Y.Poly[k] + q.X*p.Sin.Poly[k] + q.Y*p.Cos.Poly[k]
			size += math.Abs(p.X.Poly[k]) + math.Abs(p.Y.Poly[k]) + (math.Abs(q.X)+math.Abs(q.Y))*(math.Abs(p.Cos.Poly[k])+math.Abs(p.Sin.Poly[k]))
		}
		h.off = p.X.Rad + p.Y.Rad + (math.Abs(q.X)+math.Abs(q.Y))*(p.Cos.Rad+p.Sin.Rad) + slip*size
	}
	return hubs
}

// from bounds the distance of two hubs from below.
func (h *hub) from(o *hub, v *view) float64 {
	n := plane.Vec{X: h.x[0] - o.x[0], Y: h.y[0] - o.y[0]}.Unit()
	for i := range v.sum {
		v.sum[i] = n.X*(h.x[i]-o.x[i]) + n.Y*(h.y[i]-o.y[i])
	}
	lo, _ := v.space.Least(v.sum)
	return lo - h.off - o.off
}

// bites says by how much each body keeps clear of the other's bite at the centre of a part: how far within the disc that
// is taken away all of it is. It is -Inf where there is no bite, or where it cannot matter.
func (d *duo) bites(a, b *solid, rel *plane.Placement, gap float64) (inA, inB float64) {
	inA, inB = math.Inf(-1), math.Inf(-1)
	if a.Bite != nil && a.Bite.R > gap {
		inA = a.Bite.R - farthestOf(b, rel.In(a.Bite.C))
	}
	if b.Bite != nil && b.Bite.R > gap {
		inB = b.Bite.R - farthestOf(a, rel.Out(b.Bite.C))
	}
	return inA, inB
}

// farthestOf returns how far the place of a solid farthest from c is from it.
func farthestOf(s *solid, c plane.Vec) float64 {
	most := 0.0
	for _, p := range s.corners {
		most = math.Max(most, p.Sub(c).Len())
	}
	for i := range s.arcs {
		a := &s.arcs[i]
		d := a.c.Sub(c)
		if l := d.Len(); l == 0 || d.Dot(a.mid) >= a.cos*l {
			most = math.Max(most, l+a.r)
		}
	}
	return most
}

// widest is the coordinate along which to split a part, -1 if nothing moves: the one that moves the polynomial of the
// last bound most. A little counts for how the bodies move at all, since that polynomial may change.
func (v *view) widest(reach float64, active []float64) int {
	var weight [taylor.MaxVars]float64
	for i, p := range v.space.Powers {
		if i == 0 {
			continue
		}
		c := math.Abs(v.poly[0][i]) + math.Abs(v.poly[1][i]) + reach*(math.Abs(v.poly[2][i])+math.Abs(v.poly[3][i]))
		c = math.Abs(active[i]) + c*besides
		for k := range v.space.Vars {
			weight[k] += c * float64(p[k])
		}
	}
	best := -1
	most := 0.0
	for k := range v.space.Vars {
		if weight[k] > most {
			best, most = k, weight[k]
		}
	}
	return best
}

// besides is how much moving at all counts against moving the polynomial of the bound.
const besides = 0.01
