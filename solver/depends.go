package solver

import (
	"slices"

	"barover/solver/expr"
	"barover/solver/outline"
	"barover/solver/schedule"
)

// Touched lists the checks whose answer may depend on any of the given dimensions. The others are the same whatever
// values these have, as long as the turn and the travels stay as they are.
func (p *Problem) Touched(v *expr.Values, dims ...int) []int {
	touches := p.Touches(v, dims)
	moves := LinkageTouched(p.Linkage, touches)
	return p.touched(v, dims, touches, func(int) bool { return moves }, func(sum expr.ID) bool { return moves && !p.Graph.Uses(sum).Constant() })
}

// TouchedOn is Touched with the dependences of a schedule: it asks whether the parts of a check move, not whether any
// part does. It is for engines that can be assembled all round the turn.
func (p *Problem) TouchedOn(s *schedule.Schedule, v *expr.Values, dims ...int) []int {
	touches := p.Touches(v, dims)
	if len(p.Plays) > 0 {
		return p.Touched(v, dims...) // play moves parts by eyes of their own
	}
	of := s.Origins(func(id expr.ID) uint64 {
		if touches(id) {
			return 1
		}
		return 0
	})
	return p.touched(v, dims, touches, func(part int) bool { return of.Part(part) != 0 }, func(sum expr.ID) bool { return of.Sum(sum) != 0 })
}

// touched is Touched where it is known which parts are moved, and which sums depend on moved points.
func (p *Problem) touched(v *expr.Values, dims []int, touches func(...expr.ID) bool, part func(int) bool, sum func(expr.ID) bool) (out []int) {
	profile := make([]bool, len(p.Profiles))
	for i := range p.Profiles {
		profile[i] = p.profileTouched(i, touches) || part(p.Profiles[i].Part)
	}
	plays := p.PlaysTouched(v, dims...)
	loose := LinkageTouched(p.Linkage, touches)
	for i := range p.Checks {
		c := &p.Checks[i]
		t := touches(c.AtLeast, c.AtMost) || c.AtLeast != expr.None && sum(c.AtLeast) || c.AtMost != expr.None && sum(c.AtMost)
		switch c.Kind {
		case Clear, Gap:
			t = t || plays || profile[c.A] || profile[c.B]
		case Keep:
			t = t || plays || touches(c.Sum) || sum(c.Sum)
		case Loose:
			e := &p.Linkage.Equations[c.Equation]
			t = t || loose || touches(e.V, e.Play)
		}
		if t {
			out = append(out, i)
		}
	}
	return out
}

// PlaysTouched reports whether a play follows from any of the given dimensions.
func (p *Problem) PlaysTouched(v *expr.Values, dims ...int) bool {
	touches := p.Touches(v, dims)
	return slices.ContainsFunc(p.Plays, func(t Play) bool { return touches(t.V) })
}

// Moves reports whether any of the given dimensions changes the place of points and parts. If not, the parts move in the
// same way whatever values these have, and a Machine's With is as good as a new Machine.
func (p *Problem) Moves(v *expr.Values, dims ...int) bool {
	return LinkageTouched(p.Linkage, p.Touches(v, dims))
}

// Touches returns a function that reports whether at least one of its sums depends on at least one of the dimensions dims.
func (p *Problem) Touches(v *expr.Values, dims []int) func(...expr.ID) bool {
	reach := make([]bool, len(p.Graph.Nodes))
	for i, n := range p.Graph.Nodes {
		switch {
		case n.Op == expr.Dim:
			_, fixed := v.Fixed[int(n.Ref)]
			reach[i] = slices.Contains(dims, int(n.Ref)) || (!fixed && reach[n.A])
		case n.A != expr.None && reach[n.A], n.B != expr.None && reach[n.B]:
			reach[i] = true
		}
	}
	return func(ids ...expr.ID) bool {
		return slices.ContainsFunc(ids, func(id expr.ID) bool { return id != expr.None && reach[id] })
	}
}

// LinkageTouched reports whether anything that places points and parts is touched.
func LinkageTouched(m *schedule.Model, touches func(...expr.ID) bool) bool {
	return slices.ContainsFunc(m.Points, func(p schedule.Point) bool { return touches(p.U, p.V) }) ||
		slices.ContainsFunc(m.Equations, func(e schedule.Equation) bool { return touches(e.V, e.Play) }) ||
		slices.ContainsFunc(m.Lines, func(l schedule.Line) bool { return touches(l.Heading) }) ||
		slices.ContainsFunc(m.Arcs, func(a schedule.Arc) bool { return touches(a.Radius) }) ||
		slices.ContainsFunc(m.Parts, func(p schedule.Part) bool { return touches(p.Heading) })
}

// profileTouched reports whether the outline, the band or the sideplay of a profile is touched.
func (p *Problem) profileTouched(i int, touches func(...expr.ID) bool) bool {
	f := &p.Profiles[i]
	if touches(f.From, f.To) || (f.Part < len(p.Sideplay) && touches(p.Sideplay[f.Part])) {
		return true
	}
	return ShapesTouched(f.Shapes, touches)
}

// ShapesTouched reports whether any sum that shapes are made of is touched.
func ShapesTouched(shapes []outline.Shape, touches func(...expr.ID) bool) bool {
	return slices.ContainsFunc(shapes, func(s outline.Shape) bool { return touches(s.Sums()...) })
}
