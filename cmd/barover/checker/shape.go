package checker

import (
	"fmt"
	"math"
	"math/cmplx"
	"strings"
)

// A shape is a closed loop of edges, anticlockwise, with its text in the language. If it is convex and the hull of discs
// of one radius, corners and radius are those.
type shape struct {
	text    func(add complex128) string
	loop    []edge
	hole    bool
	corners []complex128
	radius  float64
}

// Region is the filled outline of a profile in its part's axes: shapes joined, and holes taken away, in their order.
type Region struct {
	shapes []shape
	edges  []edge // of the boundary; some may lie inside
	mid    complex128
	reach  float64
}

func disc(c complex128, r float64) shape {
	return shape{loop: arcs(c, c+complex(r, 0), 2*math.Pi), corners: []complex128{c}, radius: r,
		text: func(add complex128) string { return fmt.Sprintf("disc %s dia %s", pair(c+add), figure(2*r)) }}
}

// strip is a straight bar from the part's origin to b; its width is w at the origin and to at b, mm.
func strip(b complex128, w, to float64, round bool) shape {
	n := unit(b) * 1i
	p := [4]complex128{-n * complex(w/2, 0), b - n*complex(to/2, 0), b + n*complex(to/2, 0), n * complex(w/2, 0)}
	s := shape{text: func(add complex128) string {
		text := fmt.Sprintf("strip %s to %s wide %s", pair(add), pair(b+add), figure(w))
		if to != w {
			text += " to " + figure(to)
		}
		if round {
			text += " round"
		}
		return text
	}}
	if !round {
		s.loop, s.corners = polygon(p[:]), p[:]
		return s
	}
	s.loop = append([]edge{line(p[0], p[1])}, arcs(b, p[1], math.Pi)...)
	s.loop = append(append(s.loop, line(p[2], p[3])), arcs(0, p[3], math.Pi)...)
	if w == to {
		s.corners, s.radius = []complex128{0, b}, w/2
	}
	return s
}

func box(a, b complex128) shape {
	p := []complex128{a, complex(real(b), imag(a)), b, complex(real(a), imag(b))}
	return shape{loop: polygon(p), corners: p,
		text: func(add complex128) string { return fmt.Sprintf("box %s to %s", pair(a+add), pair(b+add)) }}
}

// path is a convex polygon, anticlockwise.
func path(p ...complex128) shape {
	return shape{loop: polygon(p), corners: p, text: func(add complex128) string {
		var to []string
		for _, z := range p {
			to = append(to, pair(z+add))
		}
		return "path " + strings.Join(to, " to ")
	}}
}

// dee is the piece that a chord cuts off a disc: straight from a to b, back by an arc of radius r, which bends out.
func dee(a, b complex128, r float64) shape {
	e := bent(b, a, r, true)
	return shape{loop: []edge{line(a, b), e}, text: func(add complex128) string {
		return fmt.Sprintf("path %s to %s arc %s radius %s left", pair(a+add), pair(b+add), pair(a+add), figure(r))
	}}
}

// curved is a piece of a ring about c between the radii inner and outer, from one direction on by less than half a turn.
func curved(c complex128, inner, outer, from, by float64) shape {
	at := func(r, h float64) complex128 { return round(c+cmplx.Rect(r, h), 1e-9) }
	p := [4]complex128{at(outer, from), at(outer, from+by), at(inner, from+by), at(inner, from)}
	return shape{
		loop: []edge{bent(p[0], p[1], outer, true), line(p[1], p[2]), bent(p[2], p[3], inner, false), line(p[3], p[0])},
		text: func(add complex128) string {
			return fmt.Sprintf("path %s arc %s radius %s left to %s arc %s radius %s right",
				pair(p[0]+add), pair(p[1]+add), figure(outer), pair(p[2]+add), pair(p[3]+add), figure(inner))
		}}
}

// bent is the shorter arc from a to b of radius r whose centre lies to the left or the right of the way there.
func bent(a, b complex128, r float64, left bool) edge {
	u := b - a
	h := cmplx.Abs(u) / 2
	n := u / complex(2*h, 0) * 1i
	if !left {
		n = -n
	}
	c := (a+b)/2 + n*complex(math.Sqrt(max(0, r*r-h*h)), 0)
	sweep := 2 * math.Asin(min(1, h/r))
	if !left {
		sweep = -sweep
	}
	return arc(c, a, b, sweep)
}

// hole takes a shape away.
func hole(s shape) shape {
	was := s.text
	s.hole = true
	s.text = func(add complex128) string { return "hole " + was(add) }
	return s
}

func polygon(p []complex128) (loop []edge) {
	for i := range p {
		loop = append(loop, line(p[i], p[(i+1)%len(p)]))
	}
	return loop
}

// inside reports whether a place is within the loop: within the polygon of the chords, except for the pieces that the arcs add
// to it or take off.
func (s *shape) inside(p complex128) bool {
	in := false
	for i := range s.loop {
		e := &s.loop[i]
		if (imag(e.a) > imag(p)) != (imag(e.b) > imag(p)) {
			x := real(e.a) + (imag(p)-imag(e.a))/(imag(e.b)-imag(e.a))*(real(e.b)-real(e.a))
			in = in != (real(p) < x)
		}
		if e.r > 0 && cmplx.Abs(p-e.c) < e.r {
			// The arc lies to the right of its chord if it turns anticlockwise.
			if side := cross(e.b-e.a, p-e.a); (e.sweep > 0) == (side < 0) && side != 0 {
				in = !in
			}
		}
	}
	return in
}

// Inside reports whether a place in the part's axes is within the region.
func (r *Region) Inside(p complex128) bool {
	in := false
	for i := range r.shapes {
		if r.shapes[i].inside(p) {
			in = !r.shapes[i].hole
		}
	}
	return in
}

// round takes a place to the nearest multiples of a step.
func round(z complex128, step float64) complex128 {
	return complex(math.Round(real(z)/step)*step, math.Round(imag(z)/step)*step)
}
