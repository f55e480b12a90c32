package template

import (
	"math"
	"slices"

	"barover/render/drawing"
	"barover/solver/outline"
	"barover/solver/plane"
)

// within returns what of an edge lies in the box, as edges: an arc stays a true arc, so that what is on one sheet goes on
// exactly on the next.
func within(e *outline.Edge, b drawing.Box) []outline.Edge {
	cuts := append(crossings(e, b), 0, 1)
	slices.Sort(cuts)
	var out []outline.Edge
	for i := 0; i+1 < len(cuts); i++ {
		from, to := cuts[i], cuts[i+1]
		if to-from < 1e-12 || !b.Holds(e.At((from+to)/2)) {
			continue
		}
		piece := e.Between(from, to)
		if n := len(out); n > 0 && out[n-1].B == piece.A {
			out[n-1] = out[n-1].Joined(&piece)
		} else {
			out = append(out, piece)
		}
	}
	return out
}

// crossings are the shares of the way along an edge at which it crosses the lines of the box's four sides.
func crossings(e *outline.Edge, b drawing.Box) (shares []float64) {
	put := func(t float64) {
		if t > 0 && t < 1 {
			shares = append(shares, t)
		}
	}
	for _, x := range []float64{b.Min.X, b.Max.X} {
		meets(e, plane.Vec{X: 1}, x, put)
	}
	for _, y := range []float64{b.Min.Y, b.Max.Y} {
		meets(e, plane.Vec{Y: 1}, y, put)
	}
	return shares
}

// meets finds where along an edge a place times n, a unit direction, is d.
func meets(e *outline.Edge, n plane.Vec, d float64, put func(t float64)) {
	if e.R == 0 {
		from, to := e.A.Dot(n), e.B.Dot(n)
		if from != to {
			put((d - from) / (to - from))
		}
		return
	}
	cos := (d - e.C.Dot(n)) / e.R
	if !(math.Abs(cos) < 1) {
		return
	}
	arm := e.A.Sub(e.C)
	start := math.Atan2(n.Cross(arm), n.Dot(arm)) // heading of the edge's start, from n
	for _, h := range []float64{math.Acos(cos), -math.Acos(cos)} {
		on := math.Mod(h-start, 2*math.Pi)
		if on*e.Turn < 0 {
			on += math.Copysign(2*math.Pi, e.Turn)
		}
		put(on / e.Turn)
	}
}

// seen returns what of the loop shows in the box, as runs of edges that go on in one another, moved.
func (l loop) seen(b drawing.Box, by plane.Vec) drawing.Path {
	if whole := l.path(plane.Vec{}).Bounds(); b.Holds(whole.Min) && b.Holds(whole.Max) {
		return l.path(by)
	}
	var p drawing.Path
	var last plane.Vec
	for i := range l.edges {
		for _, q := range within(&l.edges[i], b) {
			if len(p) == 0 || q.A != last {
				p.MoveTo(q.A.Add(by))
			}
			follow(&p, &q, by)
			last = q.B
		}
	}
	return p
}
