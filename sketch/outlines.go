package sketch

import (
	"fmt"
	"math"

	"barover/sketch/syntax"
	"barover/solver"
	"barover/solver/expr"
	"barover/solver/outline"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// profile finds the profile that an argument names.
func (w *lowering) profile(ref *syntax.Ref) (int, bool) {
	q := qualifiedOf(ref.Name)
	_, list := w.l.named(w.file, q)
	if len(list) == 1 && q.Profile != nil {
		return list[0], true
	}
	return -1, false
}

// qualifiedOf reads a name of PART.PROFILE.
func qualifiedOf(n syntax.Name) syntax.Qualified {
	q := syntax.Qualified{Part: n, Span: n.Span}
	for i := len(n.Text) - 1; i > 0; i-- {
		if n.Text[i] == '.' {
			q.Part = syntax.Name{Text: n.Text[:i], Span: n.Span}
			q.Profile = &syntax.Name{Text: n.Text[i+1:], Span: n.Span}
			break
		}
	}
	return q
}

// bandOf is where the band of a profile is across the engine, measured as the file of the sum does. Inner is the lesser
// face as its own file writes it; on the other side of the datum it is still the face towards the datum.
func (w *lowering) bandOf(which string, profile int) expr.ID {
	line := w.l.model.profiles[profile]
	from, to := w.l.writtenBand(line.s)
	out := to
	switch which {
	case "inner":
		out = from
	case "middle":
		out = w.g.Div(w.g.Add(from, to), w.g.Const(2))
	}
	if w.l.turnedOver(w.file) != w.l.turnedOver(w.l.sketch.statements[line.stmt].file) {
		return w.g.Unary(expr.Neg, out)
	}
	return out
}

// outlined is a profile whose reach is asked for.
type outlined struct {
	profile int
	at      place
}

// outlineAlong is the greatest place of an outline along a line, or the least.
func (w *lowering) outlineAlong(x *syntax.Call, profile, line int) lowered {
	w.l.outlined = append(w.l.outlined, outlined{profile, place{w.file, x.Args[0].Where()}})
	p := &w.l.sketch.Problem.Profiles[profile]
	ux, uy := w.inPart(p.Part, line)
	g := w.g
	var id expr.ID
	if x.Func.Text == "low" {
		far := w.reach(p.Shapes, g.Unary(expr.Neg, ux), g.Unary(expr.Neg, uy))
		id = g.Sub(w.originAlong(p.Part, line), far)
	} else {
		id = g.Add(w.originAlong(p.Part, line), w.reach(p.Shapes, ux, uy))
	}
	w.l.sketch.Problem.Reaches = append(w.l.sketch.Problem.Reaches, solver.Reach{Sum: id, Profile: profile})
	return lowered{id: id, kind: Length}
}

// originAlong is where the origin of a part stands along a line.
func (w *lowering) originAlong(part, line int) expr.ID {
	if part > 0 {
		return w.measurement("along", []int{w.l.sketch.Problem.Linkage.Parts[part].P, line})
	}
	from, ux, uy, long := w.axis(line)
	out := w.g.Unary(expr.Neg, w.dot(from[0], from[1], ux, uy))
	if long != expr.None {
		out = w.g.Div(out, long)
	}
	return out
}

// inPart is the unit direction of a line in the axes of a part.
func (w *lowering) inPart(part, line int) (ux, uy expr.ID) {
	g, m := w.g, w.l.sketch.Problem.Linkage
	p := &m.Parts[part]
	ux, uy = w.direction(line)
	if p.Kind == schedule.Frame {
		return ux, uy
	}
	if p.Kind == schedule.AlongLine {
		if l, o := m.Lines[line], m.Lines[p.Line]; line == p.Line || l.Heading != expr.None && l.Heading == o.Heading {
			return g.Const(1), g.Const(0)
		}
	}
	cx, cy := w.partDirection(p)
	return w.dot(cx, cy, ux, uy), w.cross(cx, cy, ux, uy)
}

// direction is the unit direction of a line.
func (w *lowering) direction(line int) (ux, uy expr.ID) {
	_, ux, uy, long := w.axis(line)
	if long != expr.None {
		return w.g.Div(ux, long), w.g.Div(uy, long)
	}
	return ux, uy
}

// partDirection is the unit direction of a part's first axis.
func (w *lowering) partDirection(p *schedule.Part) (cx, cy expr.ID) {
	g := w.g
	switch p.Kind {
	case schedule.AlongLine:
		return w.direction(p.Line)
	case schedule.FromTo:
		dx, dy := w.between(p.P, p.Q)
		long := g.Binary(expr.Hypot, dx, dy)
		dx, dy = g.Div(dx, long), g.Div(dy, long)
		if p.Heading == expr.None {
			return dx, dy
		}
		c, s := g.Unary(expr.Cos, p.Heading), g.Unary(expr.Sin, p.Heading)
		return w.dot(c, s, dx, dy), w.cross(c, s, dx, dy)
	}
	return g.Unary(expr.Cos, p.Heading), g.Unary(expr.Sin, p.Heading)
}

// reaching makes sums of how far outlines reach in the unit direction u.
type reaching struct {
	g      *expr.Graph
	ux, uy expr.ID
	best   expr.ID
}

// reach is how far shapes reach in the unit direction u from the origin of their part. Holes do not count: see
// holesWithin.
func (w *lowering) reach(shapes []outline.Shape, ux, uy expr.ID) expr.ID {
	r := &reaching{g: w.g, ux: ux, uy: uy, best: expr.None}
	for i := range shapes {
		if s := &shapes[i]; !s.Hole {
			r.shape(s)
		}
	}
	if r.best == expr.None {
		return w.nan
	}
	return r.best
}

func (r *reaching) offer(far expr.ID) {
	if r.best == expr.None {
		r.best = far
		return
	}
	r.best = r.g.Binary(expr.Max, r.best, far)
}

// to is how far along u a place is.
func (r *reaching) to(x, y expr.ID) expr.ID {
	return r.g.Add(r.g.Mul(x, r.ux), r.g.Mul(y, r.uy))
}

func (r *reaching) corner(p outline.Place) { r.offer(r.to(p.X, p.Y)) }

func (r *reaching) shape(s *outline.Shape) {
	g := r.g
	half := func(id expr.ID) expr.ID { return g.Div(id, g.Const(2)) }
	switch s.Kind {
	case outline.Disc:
		r.offer(g.Add(r.to(s.P[0].X, s.P[0].Y), half(s.W[0])))
	case outline.Box:
		for _, x := range [2]expr.ID{s.P[0].X, s.P[1].X} {
			for _, y := range [2]expr.ID{s.P[0].Y, s.P[1].Y} {
				r.corner(outline.Place{X: x, Y: y})
			}
		}
	case outline.Strip:
		dx, dy := g.Sub(s.P[1].X, s.P[0].X), g.Sub(s.P[1].Y, s.P[0].Y)
		long := g.Binary(expr.Hypot, dx, dy)
		dx, dy = g.Div(dx, long), g.Div(dy, long)
		for i, p := range s.P {
			k := half(s.W[i])
			nx, ny := g.Mul(dy, k), g.Mul(dx, k)
			r.corner(outline.Place{X: g.Sub(p.X, nx), Y: g.Add(p.Y, ny)})
			r.corner(outline.Place{X: g.Add(p.X, nx), Y: g.Sub(p.Y, ny)})
			if s.Round {
				mx, my := dx, dy
				if i == 0 {
					mx, my = g.Unary(expr.Neg, dx), g.Unary(expr.Neg, dy)
				}
				r.arc(p, k, mx, my, g.Const(0), g.Const(1))
			}
		}
	case outline.Path:
		from := s.P[0]
		r.corner(from)
		for _, st := range s.Steps {
			if st.Radius != expr.None {
				r.bow(from, st)
			}
			r.corner(st.To)
			from = st.To
		}
	}
}

// bow offers the arc of a path.
func (r *reaching) bow(from outline.Place, st outline.Step) {
	g := r.g
	dx, dy := g.Sub(st.To.X, from.X), g.Sub(st.To.Y, from.Y)
	chord := g.Binary(expr.Hypot, dx, dy)
	half := g.Div(chord, g.Const(2))
	rest := g.Binary(expr.Max, g.Const(0), g.Sub(g.Mul(st.Radius, st.Radius), g.Mul(half, half)))
	back := g.Unary(expr.Sqrt, rest)
	mx, my := g.Div(dy, chord), g.Unary(expr.Neg, g.Div(dx, chord)) // to the right of the way, where an arc to the left bulges
	if !st.Left {
		mx, my = g.Unary(expr.Neg, mx), g.Unary(expr.Neg, my)
	}
	sin, cos := g.Binary(expr.Min, g.Const(1), g.Div(half, st.Radius)), g.Div(back, st.Radius) // of half its sweep, the short way
	if st.Long {
		back = g.Unary(expr.Neg, back)
	}
	mid := func(a, b expr.ID) expr.ID { return g.Div(g.Add(a, b), g.Const(2)) }
	c := outline.Place{X: g.Sub(mid(from.X, st.To.X), g.Mul(mx, back)), Y: g.Sub(mid(from.Y, st.To.Y), g.Mul(my, back))}
	if !st.Long {
		r.arc(c, st.Radius, mx, my, cos, sin)
		return
	}
	// In two halves, each no more than half a circle. The half sweep of each is (π - σ)/2 with the σ of the short way.
	root := func(v expr.ID) expr.ID {
		return g.Unary(expr.Sqrt, g.Div(g.Binary(expr.Max, g.Const(0), v), g.Const(2)))
	}
	qs, qc := root(g.Add(g.Const(1), cos)), root(g.Sub(g.Const(1), cos))
	for _, side := range [2]float64{1, -1} {
		s := g.Mul(g.Const(side), qs)
		r.arc(c, st.Radius, g.Sub(g.Mul(mx, qc), g.Mul(my, s)), g.Add(g.Mul(my, qc), g.Mul(mx, s)), qc, qs)
	}
}

// arc offers an arc about c. Its middle is in the unit direction m from c, and its half sweep σ is at most a quarter
// turn, given by its cosine and sine. With φ the angle between u and m, the arc reaches r beyond c where φ is less than
// σ. Where φ is larger, the nearer end reaches farthest, or the other half of a longer arc. The expression used for the
// arc there is at most r·cos(φ - σ), and has no root, which could not be enclosed where it touches zero.
func (r *reaching) arc(c outline.Place, radius, mx, my, cos, sin expr.ID) {
	g := r.g
	zero, one := g.Const(0), g.Const(1)
	ahead := r.to(mx, my)                                                           // cos φ
	aside := g.Unary(expr.Abs, g.Sub(g.Mul(mx, r.uy), g.Mul(my, r.ux)))             // sin φ
	beyond := g.Binary(expr.Max, zero, g.Sub(g.Mul(aside, cos), g.Mul(ahead, sin))) // sin(φ - σ)
	behind := g.Binary(expr.Min, zero, g.Add(g.Mul(ahead, cos), g.Mul(aside, sin))) // cos(φ - σ) where that is below zero
	share := g.Add(g.Sub(one, beyond), g.Mul(g.Const(2), behind))
	r.offer(g.Add(r.to(c.X, c.Y), g.Mul(radius, share)))
}

// holesWithin reports a profile whose reach is asked for and whose holes come to the edge. Its remaining metal would have
// to be known then.
func (l *loader) holesWithin() {
	told := map[int]bool{}
	for _, o := range l.outlined {
		p := &l.sketch.Problem.Profiles[o.profile]
		var whole []outline.Shape
		for _, s := range p.Shapes {
			if !s.Hole {
				whole = append(whole, s)
			}
		}
		if told[o.profile] || len(whole) == len(p.Shapes) {
			continue
		}
		told[o.profile] = true
		with, err1 := outline.Build(p.Shapes, l.sum.v)
		without, err2 := outline.Build(whole, l.sum.v)
		if err1 != nil || err2 != nil {
			continue // reported elsewhere
		}
		for k := range directions {
			n := plane.Polar(2 * math.Pi * float64(k) / directions)
			if without.Reaches(n)-with.Reaches(n) > 1e-6*without.Radius {
				l.tell(o.at, fmt.Sprintf("a hole of %s comes to its edge: a sum cannot say how far the outline reaches", p.Name), "write the outline without the hole, or measure to a point")
				break
			}
		}
	}
}

// directions is the number of directions in which holes are checked against the edge.
const directions = 720
