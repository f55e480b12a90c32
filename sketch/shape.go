package sketch

import (
	"barover/sketch/quantity"
	"barover/sketch/syntax"
)

// shaper finds the shapes of sums in one file and adds the rows that follow from them.
type shaper struct {
	l    *loader
	f    *quantity.Inference[place]
	file *syntax.File
	open *int // in a rate: how many more measures are expanded into their sums; nil elsewhere
}

// mostOpen bounds measures of measures in one rate, which may form a circle.
const mostOpen = 100

func (s shaper) at(x syntax.Expr) place { return place{s.file, x.Where()} }

// sum is the shape of a sum.
func (s shaper) sum(x syntax.Expr) quantity.Shape {
	switch x := x.(type) {
	case *syntax.Number:
		return quantity.Literal(x.Unit)
	case *syntax.Ref:
		return s.figure(x.Name)
	case *syntax.Unary:
		return s.sum(x.X)
	case *syntax.Binary:
		return s.binary(x)
	case *syntax.Call:
		return s.call(x)
	}
	return quantity.Shape{Bad: true}
}

func (s shaper) figure(name syntax.Name) quantity.Shape {
	if name.Text == "pi" {
		return quantity.Known(quantity.Plain)
	}
	t, ok := s.l.names.figures.find(name.Text)
	if !ok {
		if _, mark := s.l.names.marks.find(name.Text); mark {
			return quantity.Known(quantity.Angle) // where it happens
		}
		return quantity.Shape{Bad: true}
	}
	v := s.l.variableOf(t)
	switch {
	case t.sort == aMeasure && s.open != nil && *s.open > 0:
		*s.open--
		m := &s.l.measure[t.index]
		return shaper{s.l, s.f, s.l.sketch.statements[m.stmt].file, s.open}.sum(m.m.Sum)
	case v < 0:
		return quantity.Known(quantity.Angle)
	}
	return s.f.Of(v)
}

func (s shaper) binary(x *syntax.Binary) quantity.Shape {
	a, b := s.sum(x.X), s.sum(x.Y)
	switch x.Op {
	case '+', '-':
		return s.beside(a, b, place{s.file, x.Span})
	case '*':
		return a.Times(b, 1)
	case '/':
		return a.Times(b, -1)
	}
	s.f.Equate(b, quantity.Known(quantity.Plain), s.at(x.Y))
	if n, ok := quantity.PlainFigure(x.Y); ok {
		return a.Power(n)
	}
	s.f.Equate(a, quantity.Known(quantity.Plain), s.at(x.X))
	return quantity.Shape{Free: a.Free, Bad: a.Bad || b.Bad}
}

// beside is the shape of two sums that are side by side, and so must be of one kind.
func (s shaper) beside(a, b quantity.Shape, at place) quantity.Shape {
	s.f.Equate(a, b, at)
	out := a
	if a.Flexible() || len(a.Terms) > 0 && len(b.Terms) == 0 && !b.Flexible() {
		out = b
	}
	out.Free, out.Bad = a.Free && b.Free, a.Bad || b.Bad
	return out
}

// call is the shape of a function of sums, of points or of lines.
func (s shaper) call(x *syntax.Call) quantity.Shape {
	f, ok := functions[x.Func.Text]
	if !ok {
		return quantity.Shape{Bad: true}
	}
	switch f.rule {
	case named:
		return quantity.Known(f.gives)
	case placed:
		s.f.Equate(s.sum(x.Args[1]), quantity.Known(quantity.Angle), s.at(x.Args[1]))
		return s.sum(x.Args[0])
	}
	var out quantity.Shape
	if f.rule == slope && s.open == nil { // the rate of an angle is a plain number, whichever measure has that angle
		most := mostOpen
		s.open = &most
	}
	for i, arg := range x.Args {
		a := s.sum(arg)
		if f.rule == wants {
			s.f.Equate(a, quantity.Known(f.takes), s.at(arg))
		}
		if i == 0 {
			out = a
		} else {
			out = s.beside(out, a, place{s.file, x.Span})
		}
	}
	switch f.rule {
	case wants, heading:
		return quantity.Shape{Kind: f.gives, Bad: out.Bad}
	case root:
		return out.Power(0.5)
	case slope:
		out.Free = false
		out.Kind = quantity.SlopeKind(out.Kind)
		return out
	}
	return out
}
