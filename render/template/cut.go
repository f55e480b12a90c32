package template

import (
	"math"
	"slices"

	"barover/render/drawing"
	"barover/solver/plane"
)

// within returns what of the stroke lies in the box, as strokes: an arc stays a true arc, so that what is on one sheet
// goes on exactly on the next.
func (s stroke) within(b drawing.Box) []stroke {
	cuts := append(s.crossings(b), 0, 1)
	slices.Sort(cuts)
	var out []stroke
	for i := 0; i+1 < len(cuts); i++ {
		from, to := cuts[i], cuts[i+1]
		if to-from < 1e-12 || !b.Holds(s.at((from+to)/2)) {
			continue
		}
		if n := len(out); n > 0 && out[n-1].b == s.at(from) {
			out[n-1] = out[n-1].with(s.piece(from, to))
		} else {
			out = append(out, s.piece(from, to))
		}
	}
	return out
}

// crossings are the shares of the way along the stroke at which it crosses the lines of the box's four sides.
func (s stroke) crossings(b drawing.Box) (shares []float64) {
	put := func(t float64) {
		if t > 0 && t < 1 {
			shares = append(shares, t)
		}
	}
	for _, x := range []float64{b.Min.X, b.Max.X} {
		s.meets(plane.Vec{X: 1}, x, put)
	}
	for _, y := range []float64{b.Min.Y, b.Max.Y} {
		s.meets(plane.Vec{Y: 1}, y, put)
	}
	return shares
}

// meets finds where along the stroke a place times n, a unit direction, is d.
func (s stroke) meets(n plane.Vec, d float64, put func(t float64)) {
	if s.r == 0 {
		from, to := s.a.Dot(n), s.b.Dot(n)
		if from != to {
			put((d - from) / (to - from))
		}
		return
	}
	cos := (d - s.c.Dot(n)) / s.r
	if !(math.Abs(cos) < 1) {
		return
	}
	arm := s.a.Sub(s.c)
	start := math.Atan2(n.Cross(arm), n.Dot(arm)) // heading of the stroke's start, from n
	for _, h := range []float64{math.Acos(cos), -math.Acos(cos)} {
		on := math.Mod(h-start, 2*math.Pi)
		if on*s.turn < 0 {
			on += math.Copysign(2*math.Pi, s.turn)
		}
		put(on / s.turn)
	}
}

// seen returns what of the loop shows in the box, as runs of strokes that go on in one another, moved.
func (l loop) seen(b drawing.Box, by plane.Vec) drawing.Path {
	if whole := l.path(plane.Vec{}).Bounds(); b.Holds(whole.Min) && b.Holds(whole.Max) {
		return l.path(by)
	}
	var p drawing.Path
	var last plane.Vec
	for _, s := range l.strokes {
		for _, q := range s.within(b) {
			if len(p) == 0 || q.a != last {
				p.MoveTo(q.a.Add(by))
			}
			q.draw(&p, by)
			last = q.b
		}
	}
	return p
}
