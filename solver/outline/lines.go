package outline

import (
	"barover/solver/expr"
	"barover/solver/plane"
)

// line is a line or circle of a shape that edges are on, and how it moves when the sums of the shape change. A straight
// line has two places on it, a circle its centre and its radius.
type line struct {
	a, b anchor      // two places of a straight line; a is the centre of a circle
	r    float64     // radius of a circle; 0 for a straight line
	grow []expr.Seed // of a circle: the sums that change its radius
	stmt int
}

// anchor is a place given by sums, with the sums that move it in x and in y, at first order.
type anchor struct {
	at   plane.Vec
	x, y []expr.Seed
}

// anchorAt returns the anchor of a place of a shape.
func anchorAt(p Place, v *expr.Values) anchor {
	return anchor{plane.Vec{X: v.At(p.X), Y: v.At(p.Y)}, []expr.Seed{{Node: p.X, Weight: 1}}, []expr.Seed{{Node: p.Y, Weight: 1}}}
}

// along returns the sums that move the anchor in the direction d, times k.
func (a *anchor) along(d plane.Vec, k float64) []expr.Seed {
	return scaled(scaled(nil, a.x, d.X*k), a.y, d.Y*k)
}

// scaled appends k times the seeds s to dst.
func scaled(dst, s []expr.Seed, k float64) []expr.Seed {
	for _, e := range s {
		if w := e.Weight * k; w != 0 {
			dst = append(dst, expr.Seed{Node: e.Node, Weight: w})
		}
	}
	return dst
}

// shifted returns the anchor moved by the vector s, which turns with the direction from a to b; grow gives the seeds by
// which s grows in the direction of growth.
func (a *anchor) shifted(s plane.Vec, from, to *anchor, growth plane.Vec, grow []expr.Seed) anchor {
	d := to.at.Sub(from.at)
	// A turn of the direction by δ moves s by δ·s⊥, and δ = d⊥·(ḃ − ȧ)/|d|².
	turn := append(to.along(d.Turned(), 1/sq(d)), from.along(d.Turned(), -1/sq(d))...)
	c := anchor{at: a.at.Add(s), x: append([]expr.Seed(nil), a.x...), y: append([]expr.Seed(nil), a.y...)}
	c.x = scaled(scaled(c.x, turn, -s.Y), grow, growth.X)
	c.y = scaled(scaled(c.y, turn, s.X), grow, growth.Y)
	return c
}

// normal returns the unit direction across the line at a place on it; the sign is that of the line, not of an edge.
func (l *line) normal(at plane.Vec) plane.Vec {
	if l.r == 0 {
		return l.b.at.Sub(l.a.at).Unit().Turned()
	}
	return at.Sub(l.a.at).Unit()
}

// speed appends the sums that move the line across itself at the place at, in the sense of normal(at), times k.
func (l *line) speed(dst []expr.Seed, at plane.Vec, k float64) []expr.Seed {
	n := l.normal(at)
	if l.r != 0 {
		return scaled(append(dst, l.a.along(n, k)...), l.grow, k)
	}
	d := l.b.at.Sub(l.a.at)
	t := at.Sub(l.a.at).Dot(d) / sq(d)
	return append(append(dst, l.a.along(n, k*(1-t))...), l.b.along(n, k*t)...)
}

// Spot names the line or circle of the shapes that a place of a boundary is on, or the two that meet there at a corner,
// so that the motion of the place can be found when dimensions change.
type Spot struct {
	Line [2]int32 // numbers known to the Region; -1 for none: the second where the place is not a corner
}

// cut reports whether the place is where a piece was cut off, which is on no line of the shapes.
func (s Spot) cut() bool { return s.Line[0] == cutLine || s.Line[1] == cutLine }

// Seeds appends to dst the sums, with their weights, that make up weight times the speed of the boundary at a place in
// the direction n, as dimensions change and the place stays nearest in that direction. The place and n are in the axes of
// the part. With expr's Backward they give the derivative by every dimension. Where two lines meet at a corner it is the
// speed of the corner; where they meet smoothly, that of the line itself.
func (r *Region) Seeds(dst []expr.Seed, s Spot, at, n plane.Vec, weight float64) []expr.Seed {
	first, second := r.lineOf(s.Line[0]), r.lineOf(s.Line[1])
	if first == nil {
		first, second = second, nil
	}
	if first == nil {
		return dst
	}
	n1 := first.normal(at)
	if second != nil {
		n2 := second.normal(at)
		if c := n1.Cross(n2); c > smooth || c < -smooth {
			dst = first.speed(dst, at, weight*n.Cross(n2)/c)
			return second.speed(dst, at, weight*n1.Cross(n)/c)
		}
	}
	return first.speed(dst, at, weight*n.Dot(n1))
}

// Statement returns the number of the statement that gave the line or circle of an edge or a place; 0 for one along which
// a piece was cut off.
func (r *Region) Statement(number int32) int {
	if l := r.lineOf(number); l != nil {
		return l.stmt
	}
	return 0
}

func (r *Region) lineOf(i int32) *line {
	if i < 0 || int(i) >= len(r.lines) {
		return nil
	}
	return &r.lines[i]
}
