package template

import (
	"math"

	"barover/solver/expr"
	"barover/solver/machine"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// namesOn are the named points and arcs that are fixed on a part, in its own axes: its origin, what was put on it, and
// the point that it goes to where the sketch says how far that is.
func namesOn(m *machine.Machine, part int) (out []feature) {
	l, v := m.Problem.Linkage, m.Values
	put := func(k Kind, name string, at plane.Vec, size float64) {
		if ok := !math.IsNaN(at.X+at.Y+size) && !math.IsInf(at.X+at.Y+size, 0); ok && name != "" {
			out = append(out, feature{Feature{Kind: k, Name: name, Size: size}, at})
		}
	}
	p := &l.Parts[part]
	for i := range l.Points {
		pt := &l.Points[i]
		switch {
		case pt.Kind == schedule.OnPart && pt.Part == part, p.Kind == schedule.Frame && pt.Kind == schedule.Driven:
			put(Centre, pt.Name, plane.Vec{X: v.At(pt.U), Y: v.At(pt.V)}, 0)
		case p.Kind == schedule.Frame:
		case i == p.P:
			put(Centre, pt.Name, plane.Vec{}, 0)
		case p.Kind == schedule.FromTo && i == p.Q:
			heading := 0.0
			if p.Heading != expr.None {
				heading = v.At(p.Heading)
			}
			put(Centre, pt.Name, plane.Polar(heading).Scale(between(l, v, p.P, p.Q)), 0)
		}
	}
	for _, a := range l.Arcs {
		if c := &l.Points[a.Centre]; c.Kind == schedule.OnPart && c.Part == part {
			put(Arc, a.Name, plane.Vec{X: v.At(c.U), Y: v.At(c.V)}, v.At(a.Radius))
		}
	}
	return out
}

// between is how far two points are apart where the sketch says so and it does not change, mm; NaN otherwise.
func between(l *schedule.Model, v *expr.Values, p, q int) float64 {
	if e := l.Lengths().Between(p, q); e != nil && !e.Loose {
		if d := v.At(e.V); !math.IsNaN(d) {
			return d
		}
	}
	a, b := &l.Points[p], &l.Points[q]
	frame := func(p *schedule.Point) bool {
		return p.Kind == schedule.Driven || p.Kind == schedule.OnPart && l.Parts[p.Part].Kind == schedule.Frame
	}
	if a.Kind == schedule.OnPart && b.Kind == schedule.OnPart && a.Part == b.Part || frame(a) && frame(b) {
		return math.Hypot(v.At(b.U)-v.At(a.U), v.At(b.V)-v.At(a.V))
	}
	return math.NaN()
}
