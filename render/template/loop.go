package template

import (
	"math"

	"barover/render/drawing"
	"barover/solver/outline"
	"barover/solver/plane"
)

// same is how near two places are one, and two lengths equal, mm: a tenth of what the finest readout tells apart.
const same = 1e-4

// stroke is a straight line or an arc of an outline, as long as it goes on in one way. Along it the material lies to the
// left.
type stroke struct {
	a, b plane.Vec
	c    plane.Vec // centre of an arc
	r    float64   // radius of an arc; 0 for a straight line
	turn float64   // of an arc, rad: > 0 where it bulges out of the material; ±2π for a whole circle
}

// loop is one closed edge of a profile.
type loop struct {
	strokes []stroke
	hollow  bool // material is outside it
}

// newLoop joins the edges of a closed loop that go on in one another.
func newLoop(edges []outline.Edge) loop {
	var l loop
	area := 0.0
	for i := range edges {
		e := &edges[i]
		s := stroke{e.A, e.B, e.C, e.R, e.Turn}
		area += s.area()
		if n := len(l.strokes); n > 0 && l.strokes[n-1].goesOn(s) {
			l.strokes[n-1] = l.strokes[n-1].with(s)
		} else {
			l.strokes = append(l.strokes, s)
		}
	}
	if n := len(l.strokes); n > 1 && l.strokes[n-1].goesOn(l.strokes[0]) {
		l.strokes[0] = l.strokes[n-1].with(l.strokes[0])
		l.strokes = l.strokes[:n-1]
	}
	l.hollow = area < 0
	return l
}

// area is what the stroke adds to twice the area inside its loop, mm².
func (s stroke) area() float64 {
	sum := s.a.Cross(s.b)
	if s.r != 0 {
		sum += s.r * s.r * (s.turn - math.Sin(s.turn))
	}
	return sum
}

// goesOn reports whether t is the same line or circle as s, gone along the same way.
func (s stroke) goesOn(t stroke) bool {
	if (s.r == 0) != (t.r == 0) {
		return false
	}
	if s.r == 0 {
		u, v := s.b.Sub(s.a), t.b.Sub(t.a)
		return u.Dot(v) > 0 && math.Abs(u.Cross(t.b.Sub(s.a))) <= same/100*u.Len() && math.Abs(v.Cross(s.a.Sub(t.b))) <= same/100*v.Len()
	}
	return s.turn*t.turn > 0 && s.c.Sub(t.c).Len() <= same/100 && math.Abs(s.r-t.r) <= same/100 &&
		math.Abs(s.turn+t.turn) <= 2*math.Pi+1e-9
}

// with returns both as one.
func (s stroke) with(t stroke) stroke {
	s.b = t.b
	if s.r != 0 {
		s.turn += t.turn
		if s.whole() {
			s.turn, s.b = math.Copysign(2*math.Pi, s.turn), s.a
		}
	}
	return s
}

// whole reports whether the stroke is a whole circle.
func (s stroke) whole() bool { return s.r != 0 && math.Abs(s.turn) > 2*math.Pi-1e-6 }

// circle reports whether the loop is a circle, and which.
func (l loop) circle() (stroke, bool) {
	if len(l.strokes) == 1 && l.strokes[0].whole() {
		return l.strokes[0], true
	}
	return stroke{}, false
}

func (l loop) moved(by plane.Vec) loop {
	out := loop{hollow: l.hollow}
	for _, s := range l.strokes {
		s.a, s.b, s.c = s.a.Add(by), s.b.Add(by), s.c.Add(by)
		out.strokes = append(out.strokes, s)
	}
	return out
}

// path is the loop as a closed path, moved.
func (l loop) path(by plane.Vec) drawing.Path {
	if c, ok := l.circle(); ok {
		return drawing.Circle(c.c.Add(by), c.r)
	}
	var p drawing.Path
	for i, s := range l.strokes {
		if i == 0 {
			p.MoveTo(s.a.Add(by))
		}
		s.draw(&p, by)
	}
	p.Close()
	return p
}

// draw goes along the stroke.
func (s stroke) draw(p *drawing.Path, by plane.Vec) {
	if s.r == 0 {
		p.LineTo(s.b.Add(by))
	} else {
		p.ArcTo(s.c.Add(by), s.turn, s.b.Add(by))
	}
}

// at is the place at the share t of the way along the stroke.
func (s stroke) at(t float64) plane.Vec {
	switch {
	case t <= 0:
		return s.a
	case t >= 1:
		return s.b
	case s.r == 0:
		return s.a.Add(s.b.Sub(s.a).Scale(t))
	}
	return s.c.Add(s.a.Sub(s.c).Times(plane.Polar(t * s.turn)))
}

// length is how long the stroke is, mm.
func (s stroke) length() float64 {
	if s.r == 0 {
		return s.b.Sub(s.a).Len()
	}
	return s.r * math.Abs(s.turn)
}

// piece is the stroke between two shares of the way along it.
func (s stroke) piece(from, to float64) stroke {
	out := s
	out.a, out.b = s.at(from), s.at(to)
	out.turn = s.turn * (to - from)
	return out
}
