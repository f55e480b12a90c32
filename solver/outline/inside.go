package outline

import (
	"math"

	"barover/solver/plane"
)

// climb is a stretch of the boundary that only rises or only falls.
type climb struct {
	a, b plane.Vec
	c    plane.Vec // centre of an arc
	r    float64   // radius of an arc; < 0 where it is left of its centre; 0 for a straight line
}

// climbs cuts an edge into stretches that only rise or only fall.
func climbs(dst []climb, e *Edge) []climb {
	if e.R == 0 {
		return append(dst, climb{a: e.A, b: e.B})
	}
	var at [3]float64
	cuts := at[:0]
	for _, p := range [2]plane.Vec{{X: e.C.X, Y: e.C.Y + e.R}, {X: e.C.X, Y: e.C.Y - e.R}} {
		if t := e.share(p); t > 0 && t < 1 {
			cuts = append(cuts, t)
		}
	}
	if len(cuts) == 2 && cuts[0] > cuts[1] {
		cuts[0], cuts[1] = cuts[1], cuts[0]
	}
	from, s := e.A, 0.0
	for _, t := range append(cuts, 1) {
		to := e.B
		if t < 1 {
			to = plane.Vec{X: e.C.X, Y: e.C.Y + math.Copysign(e.R, e.At(t).Y-e.C.Y)}
		}
		r := e.R
		if e.At((s+t)/2).X < e.C.X {
			r = -r
		}
		dst = append(dst, climb{from, to, e.C, r})
		from, s = to, t
	}
	return dst
}

// Contains reports whether the place p, in the part's axes, is material. On the boundary, to rounding, it may answer either.
func (r *Region) Contains(p plane.Vec) bool {
	if sq(p.Sub(r.Centre)) > r.Radius*r.Radius {
		return false
	}
	n := 0
	for i := range r.climbs {
		c := &r.climbs[i]
		up := c.b.Y > p.Y
		if (c.a.Y > p.Y) == up {
			continue
		}
		var x float64
		if c.r == 0 {
			x = c.a.X + (p.Y-c.a.Y)*(c.b.X-c.a.X)/(c.b.Y-c.a.Y)
		} else {
			y := p.Y - c.c.Y
			x = c.c.X + math.Copysign(math.Sqrt(math.Max(0, c.r*c.r-y*y)), c.r)
		}
		if x > p.X {
			if up {
				n++
			} else {
				n--
			}
		}
	}
	return n > 0
}
