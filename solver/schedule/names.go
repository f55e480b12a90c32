package schedule

import (
	"slices"
	"strings"

	"barover/solver/expr"
)

// This file names points and statements in the words of a sketch.

// PointName is a point's name, or a description of a point without one.
func PointName(m *Model, i int) string {
	if i < 0 || i >= len(m.Points) {
		return "a point"
	}
	p := m.Points[i]
	if p.Name != "" {
		return p.Name
	}
	for _, a := range m.Arcs {
		if a.Centre == i {
			return "the centre of " + a.Name
		}
	}
	for _, l := range m.Lines {
		if l.P == i {
			return "the point that " + l.Name + " goes through"
		}
	}
	return "a point without a name"
}

func (s *Schedule) PointName(i int) string { return PointName(s.Model, i) }

// SayEquation names a statement by its first words.
func SayEquation(m *Model, e Equation) string {
	var w []string
	if e.Loose {
		w = append(w, "loose")
	}
	switch e.Kind {
	case Length:
		w = append(w, "length", PointName(m, e.P), PointName(m, e.Q))
	case Heading:
		w = append(w, "angle", PointName(m, e.P), PointName(m, e.Q))
	case Angle:
		w = append(w, "angle", PointName(m, e.P), PointName(m, e.Q), PointName(m, e.R))
	case OnLine:
		w = append(w, "slide", PointName(m, e.P), "on", m.Lines[e.On].Name)
	case OnArc:
		w = append(w, "slide", PointName(m, e.P), "on", m.Arcs[e.On].Name)
	}
	return strings.Join(w, " ")
}

// Say names the statement of a row.
func (s *Schedule) Say(r *Row) string {
	m := s.Model
	if r.Equation >= 0 {
		return SayEquation(m, m.Equations[r.Equation])
	}
	for _, z := range []Place{r.D, r.P} {
		if z == Nowhere {
			continue
		}
		for i, p := range m.Parts {
			if s.Part[i] == z {
				return "part " + p.Name
			}
		}
		for i, l := range m.Lines {
			if s.Line[i] == z {
				return "line " + l.Name
			}
		}
	}
	if r.Op != nil && int(r.Op.Z) < len(m.Points) {
		return "point " + PointName(m, int(r.Op.Z))
	}
	return "a statement"
}

// Named reports whether point i has a name of its own.
func (s *Schedule) Named(i int) bool { return s.Model.Points[i].Name != "" }

// Told reports whether the sketch says roughly where point i is.
func (s *Schedule) Told(i int) bool {
	p := s.Model.Points[i]
	return p.Kind == Found && p.U != expr.None && p.V != expr.None
}

// sayMost is how many statements a message names.
const sayMost = 4

// SayStatements returns the names of the equations of some statements, in words. say may add to each name.
func (s *Schedule) SayStatements(stmts []int, say func(name string, stmt int) string) string {
	var names []string
	for _, e := range s.Model.Equations {
		if slices.Contains(stmts, e.Stmt) && len(names) <= sayMost {
			names = append(names, say(SayEquation(s.Model, e), e.Stmt))
		}
	}
	if len(names) > sayMost {
		return strings.Join(names[:sayMost], ", ") + " and others"
	}
	return joined(names)
}

// joined puts commas and an "and" between names.
func joined(names []string) string {
	if n := len(names); n > 1 {
		return strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
	return strings.Join(names, "")
}
