package checker

import (
	"math"
	"math/cmplx"
)

// An edge is a straight line from a to b, or, if r is above zero, an arc round c from a to b. The arc turns by sweep,
// anticlockwise above zero, and by half a turn at most.
type edge struct {
	a, b, c complex128
	r       float64
	sweep   float64

	mid   complex128 // every place of the edge is within reach of mid
	reach float64
}

func line(a, b complex128) edge {
	return edge{a: a, b: b, mid: (a + b) / 2, reach: modulus(b-a) / 2}
}

func arc(c, a, b complex128, sweep float64) edge {
	return edge{a: a, b: b, c: c, r: (modulus(a-c) + modulus(b-c)) / 2, sweep: sweep, mid: c, reach: modulus(a - c)}
}

// arcs is an arc of any sweep, in edges of half a turn at most.
func arcs(c, a complex128, sweep float64) (out []edge) {
	n := int(math.Ceil(math.Abs(sweep)/math.Pi - 1e-9))
	for range n {
		by := sweep / float64(n)
		b := c + (a-c)*cmplx.Rect(1, by)
		out = append(out, arc(c, a, b, by))
		a = b
	}
	return out
}

// at is the place a share of the way along the edge.
func (e *edge) at(share float64) complex128 {
	if e.r == 0 {
		return e.a + (e.b-e.a)*complex(share, 0)
	}
	return e.c + (e.a-e.c)*cmplx.Rect(1, e.sweep*share)
}

// between is the part of the edge between two shares of the way along it.
func (e *edge) between(from, to float64) edge {
	if e.r == 0 {
		return line(e.at(from), e.at(to))
	}
	return arc(e.c, e.at(from), e.at(to), e.sweep*(to-from))
}

// placed is the edge where z ↦ o + d·z takes it.
func (e *edge) placed(o, d complex128) edge {
	q := *e
	q.a, q.b, q.c, q.mid = o+d*e.a, o+d*e.b, o+d*e.c, o+d*e.mid
	return q
}

// spans reports whether the arc has a place in the direction d from its centre.
func (e *edge) spans(d complex128) bool {
	from := e.a - e.c
	if e.sweep < 0 {
		from = e.b - e.c
	}
	by := cmplx.Phase(d / from)
	if by < 0 {
		by += 2 * math.Pi
	}
	return by <= math.Abs(e.sweep)
}

// nearest is the least distance of the edge from a place.
func (e *edge) nearest(p complex128) float64 {
	if e.r == 0 {
		u := e.b - e.a
		w := real(u)*real(u) + imag(u)*imag(u)
		t := 0.0
		if w > 0 {
			t = min(1, max(0, dot(p-e.a, u)/w))
		}
		return modulus(p - e.a - u*complex(t, 0))
	}
	if d := p - e.c; d == 0 || e.spans(d) {
		return math.Abs(modulus(d) - e.r)
	}
	return min(modulus(p-e.a), modulus(p-e.b))
}

// distance is the least distance of two edges, zero where they meet.
func distance(e, f *edge) float64 {
	best := min(e.nearest(f.a), e.nearest(f.b), f.nearest(e.a), f.nearest(e.b))
	switch {
	case e.r == 0 && f.r == 0:
		if crosses(e, f) {
			return 0
		}
		return best
	case e.r == 0:
		return min(best, lineToArc(e, f))
	case f.r == 0:
		return min(best, lineToArc(f, e))
	}
	return min(best, arcToArc(e, f))
}

func crosses(e, f *edge) bool {
	u, v := e.b-e.a, f.b-f.a
	s1, s2 := cross(u, f.a-e.a), cross(u, f.b-e.a)
	t1, t2 := cross(v, e.a-f.a), cross(v, e.b-f.a)
	return (s1 > 0) != (s2 > 0) && (t1 > 0) != (t2 > 0)
}

// lineToArc is zero where a line meets an arc, and their distance where it is between the insides of both.
func lineToArc(e, f *edge) float64 {
	u := unit(e.b - e.a)
	long := modulus(e.b - e.a)
	t := dot(f.c-e.a, u)
	foot := e.a + u*complex(t, 0)
	d := modulus(f.c - foot)
	if d >= f.r {
		if t >= 0 && t <= long && f.spans(foot-f.c) {
			return d - f.r
		}
		return math.Inf(1)
	}
	half := math.Sqrt(f.r*f.r - d*d)
	for _, q := range [2]float64{t - half, t + half} {
		if q >= 0 && q <= long && f.spans(e.a+u*complex(q, 0)-f.c) {
			return 0
		}
	}
	return math.Inf(1)
}

// arcToArc is zero where two arcs meet, and their distance where it is along the line of their centres.
func arcToArc(e, f *edge) float64 {
	w := f.c - e.c
	d := modulus(w)
	if d == 0 {
		if share := e.spans(f.a-f.c) || e.spans(f.b-f.c) || f.spans(e.a-e.c); share {
			return math.Abs(e.r - f.r)
		}
		return math.Inf(1)
	}
	u := w / complex(d, 0)
	if x := (d*d + e.r*e.r - f.r*f.r) / (2 * d); math.Abs(x) < e.r {
		y := math.Sqrt(e.r*e.r - x*x)
		for _, q := range [2]complex128{complex(x, y), complex(x, -y)} {
			if p := e.c + u*q; e.spans(p-e.c) && f.spans(p-f.c) {
				return 0
			}
		}
	}
	best := math.Inf(1)
	for _, i := range [2]float64{1, -1} {
		for _, j := range [2]float64{1, -1} {
			if e.spans(u*complex(i, 0)) && f.spans(u*complex(j, 0)) {
				best = min(best, math.Abs(d+j*f.r-i*e.r))
			}
		}
	}
	return best
}

// modulus is |z|. Sketches are of sizes whose squares a float64 holds; cmplx.Abs provides for others, and takes three times as long.
func modulus(z complex128) float64 { return math.Sqrt(real(z)*real(z) + imag(z)*imag(z)) }

func dot(a, b complex128) float64   { return real(a)*real(b) + imag(a)*imag(b) }
func cross(a, b complex128) float64 { return real(a)*imag(b) - imag(a)*real(b) }
