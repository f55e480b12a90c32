package sketch

import (
	"fmt"
	"math"

	"barover/sketch/quantity"
	"barover/sketch/syntax"
	"barover/solver"
	"barover/solver/expr"
	"barover/solver/outline"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// profile finds the profile that an argument names.
func (w *lowering) profile(ref *syntax.Ref) (int, bool) {
	q := syntax.QualifiedOf(ref.Name)
	_, list := w.l.named(w.file, q)
	if len(list) == 1 && q.Profile != nil {
		return list[0], true
	}
	return -1, false
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
	return lowered{id: id, kind: quantity.Length}
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
	if p.Kind == schedule.Frame || p.Kind == schedule.AlongLine && p.Line < 0 { // a line of no known name has its own message
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

// reach is how far shapes reach in the unit direction u from the origin of their part. Holes do not count: see
// holesWithin.
func (w *lowering) reach(shapes []outline.Shape, ux, uy expr.ID) expr.ID {
	if far := outline.Support(w.g, shapes, ux, uy); far != expr.None {
		return far
	}
	return w.nan
}
