package sketch

import (
	"fmt"

	"barover/sketch/syntax"
	"barover/solver"
	"barover/solver/expr"
	"barover/solver/outline"
)

// profiles puts outlines and bands into numbers.
func (l *loader) profiles() {
	p := l.sketch.Problem
	for _, line := range l.model.profiles {
		s, file := line.s, l.sketch.statements[line.stmt].file
		out := solver.Profile{Part: line.part, Name: s.Part.Text + "." + s.Name.Text, Stmt: line.stmt}
		out.From, out.To = l.band(file, s)
		for i := range s.Shapes {
			out.Shapes = append(out.Shapes, l.shape(file, line, &s.Shapes[i]))
		}
		p.Profiles = append(p.Profiles, out)
	}
}

// band is where a profile lies across the engine, the lesser face first.
func (l *loader) band(file *syntax.File, s *syntax.Profile) (from, to expr.ID) {
	from, to = l.writtenBand(s)
	if l.turnedOver(file) {
		return l.sum.g.Unary(expr.Neg, to), l.sum.g.Unary(expr.Neg, from)
	}
	return from, to
}

// writtenBand is the band as the statement has it.
func (l *loader) writtenBand(s *syntax.Profile) (from, to expr.ID) {
	g := l.sum.g
	switch {
	case s.Centred != nil:
		half := g.Div(l.id(s.Thick), g.Const(2))
		return g.Sub(l.id(s.Centred), half), g.Add(l.id(s.Centred), half)
	case s.Thick != nil:
		return l.id(s.From), g.Add(l.id(s.From), l.id(s.Thick))
	}
	return l.id(s.From), l.id(s.To)
}

func (l *loader) shape(file *syntax.File, line profileLine, s *syntax.Shape) outline.Shape {
	out := outline.Shape{Stmt: line.stmt, Hole: s.Hole, Round: s.Round, W: [2]expr.ID{expr.None, expr.None}}
	none := outline.Place{X: expr.None, Y: expr.None}
	out.P = [2]outline.Place{l.placeOn(file, line.part, &s.P), none}
	switch s.Word {
	case "disc":
		out.Kind, out.W[0] = outline.Disc, l.id(s.Dia)
	case "slot":
		return l.slotShape(file, line, s)
	case "strip":
		if s.Bend != nil {
			return l.bentStrip(line, out, l.placeOn(file, line.part, &s.P), l.placeOn(file, line.part, &s.Q), s.Bend, l.id(s.Wide), l.id(s.WideTo))
		}
		out.Kind, out.P[1] = outline.Strip, l.placeOn(file, line.part, &s.Q)
		out.W = [2]expr.ID{l.id(s.Wide), l.id(s.Wide)}
		if s.WideTo != nil {
			out.W[1] = l.id(s.WideTo)
		}
	case "box":
		out.Kind, out.P[1] = outline.Box, l.placeOn(file, line.part, &s.Q)
	case "path":
		out.Kind = outline.Path
		for i := range s.Steps {
			st := &s.Steps[i]
			out.Steps = append(out.Steps, outline.Step{To: l.placeOn(file, line.part, &st.To), Radius: l.id(st.Radius), Left: st.Left, Long: st.Long})
		}
	}
	return out
}

// shapeBounds checks the values of the shapes: each must have an extent, and an arc must reach.
func (l *loader) shapeBounds() {
	for i, line := range l.model.profiles {
		s := line.s
		for j := range s.Shapes {
			l.oneShape(line, &s.Shapes[j], &l.sketch.Problem.Profiles[i].Shapes[j])
		}
		from, to := l.value(l.sketch.Problem.Profiles[i].From), l.value(l.sketch.Problem.Profiles[i].To)
		if s.To != nil && from >= to {
			u := l.sketch.Units
			l.tell(l.at(line.stmt, s.From.Where()), fmt.Sprintf("%s.%s lies across from %s to %s", s.Part.Text, s.Name.Text, u.Length(from), u.Length(to)),
				acrossHelp(l.sketch.statements[line.stmt].file, s, from == to))
		}
	}
}

func (l *loader) oneShape(line profileLine, s *syntax.Shape, out *outline.Shape) {
	if s.Bend != nil || s.Word == "slot" || l.impossible(placesOf(out)...) {
		return // see bends
	}
	ax, ay := l.value(out.P[0].X), l.value(out.P[0].Y)
	at := l.at(line.stmt, s.Span)
	switch out.Kind {
	case outline.Strip:
		bx, by := l.value(out.P[1].X), l.value(out.P[1].Y)
		switch {
		case ax == bx && ay == by:
			l.tell(at, "the strip goes from a place to itself", "write a disc, or two places")
		case s.WideTo != nil && l.value(out.W[0]) == 0 && l.value(out.W[1]) == 0:
			l.tell(at, "the strip has no width", "write at least one width above 0")
		}
	case outline.Box:
		if bx, by := l.value(out.P[1].X), l.value(out.P[1].Y); ax == bx || ay == by {
			l.tell(at, "the box has no "+map[bool]string{true: "length", false: "height"}[ax == bx], "give two opposite corners")
		}
	case outline.Path:
		for i, st := range out.Steps {
			bx, by := l.value(st.To.X), l.value(st.To.Y)
			l.pathStep(l.at(line.stmt, s.Steps[i].Span), bx-ax, by-ay, st.Radius)
			ax, ay = bx, by
		}
		l.pathTangle(line, s, out)
	}
}

// placesOf lists the sums that give the places of a shape.
func placesOf(s *outline.Shape) (sums []expr.ID) {
	for _, p := range s.P {
		sums = append(sums, p.X, p.Y)
	}
	for _, st := range s.Steps {
		sums = append(sums, st.To.X, st.To.Y, st.Radius)
	}
	return sums
}

// pathTangle checks that a path does not cross itself. Nothing would say which side of it is material.
func (l *loader) pathTangle(line profileLine, s *syntax.Shape, out *outline.Shape) {
	t, crosses := outline.Tangled(out, l.sum.v)
	if !crosses {
		return
	}
	file := l.sketch.statements[line.stmt].file
	u := l.sketch.Units
	at := func(edge int) (syntax.Span, string) {
		if edge < len(s.Steps) {
			return s.Steps[edge].Span, "'" + syntax.SpanText(file, s.Steps[edge].Span) + "'"
		}
		return s.Span, "the line that closes it"
	}
	first, _ := at(t.First)
	second, name := at(t.Second)
	l.tell(place{file, second}, fmt.Sprintf("the path crosses itself: %s goes through '%s' at %s, %s", name, syntax.SpanText(file, first), u.Length(t.At.X), u.Length(t.At.Y)),
		"write the corners in their order round the outline, or each lobe as a path of its own", place{file, first}.note("it crosses this"))
}

// acrossHelp says how a profile with its faces the wrong way round is written.
func acrossHelp(file *syntax.File, s *syntax.Profile, level bool) string {
	if level {
		return "a profile has some thickness: write two faces"
	}
	return fmt.Sprintf("the lesser face comes first: across %s to %s", syntax.TextOf(file, s.To), syntax.TextOf(file, s.From))
}
