package quantity

import (
	"barover/sketch/syntax"
)

// Shape is the kind of a sum in which the kinds of some figures are not known yet: kind plus the powers of those. Free
// says that the sum has a bare number as a factor, which may have a unit that was not written.
type Shape struct {
	Kind  Kind
	Terms []term
	Free  bool
	Bad   bool // nothing follows from it: it has a mistake, reported when the sum is made into nodes, or too many terms
}

// Flexible reports whether the sum takes any kind: it has bare numbers alone.
func (s Shape) Flexible() bool { return s.Free && len(s.Terms) == 0 && s.Kind.Is(Plain) }

// Times is the shape of s·oⁿ.
func (s Shape) Times(o Shape, n float64) Shape {
	out := Shape{Kind: s.Kind.Times(o.Kind, n), Free: s.Free || o.Free, Bad: s.Bad || o.Bad}
	out.Terms = append(out.Terms, s.Terms...)
	for _, t := range o.Terms {
		out.add(term{t.v, t.n * n})
	}
	if len(out.Terms) > mostTerms {
		out.Bad = true
	}
	return out
}

func (s *Shape) add(t term) {
	for i := range s.Terms {
		if s.Terms[i].v == t.v {
			s.Terms[i].n += t.n
			return
		}
	}
	s.Terms = append(s.Terms, t)
}

// Power is the shape of sⁿ.
func (s Shape) Power(n float64) Shape {
	out := Shape{Kind: s.Kind.Power(n), Free: s.Free, Bad: s.Bad}
	for _, t := range s.Terms {
		out.Terms = append(out.Terms, term{t.v, t.n * n})
	}
	return out
}

// Known is the shape of a sum whose kind is known.
func Known(k Kind) Shape { return Shape{Kind: k} }

// Of is the shape of a figure with a name.
func (f *Inference[Place]) Of(v int) Shape { return Shape{Terms: []term{{v, 1}}} }

// Literal is the shape of a number that is written with that unit.
func Literal(u syntax.Unit) Shape {
	switch u {
	case syntax.Bare:
		return Shape{Free: true}
	case syntax.Degree, syntax.Radian:
		return Known(Angle)
	}
	return Known(Length)
}

// Written returns the value of a number with its unit: mm, rad, or plain where it has none.
func Written(x *syntax.Number) float64 {
	switch x.Unit {
	case syntax.CM:
		return x.Value * 10
	case syntax.M:
		return x.Value * 1000
	case syntax.Inch:
		return x.Value * MmPerInch
	case syntax.Thou:
		return x.Value * MmPerInch / 1000
	case syntax.Degree:
		return x.Value * Degree
	}
	return x.Value
}

// SlopeKind is the kind of a change per radian of the turn. A radian of the turn counts as a plain number, so that the
// rate of a length is a length; and the rate of an angle is a ratio of angles, a plain number.
func SlopeKind(k Kind) Kind {
	if k.A >= 1 {
		k.A--
	}
	return k
}

// PlainFigure is the value of a power that is written with numbers alone, as 2, 1/2 or -(1/2).
func PlainFigure(x syntax.Expr) (float64, bool) {
	switch x := x.(type) {
	case *syntax.Number:
		return x.Value, x.Unit == syntax.Bare
	case *syntax.Unary:
		v, ok := PlainFigure(x.X)
		if x.Op == '-' {
			v = -v
		}
		return v, ok
	case *syntax.Binary:
		a, okA := PlainFigure(x.X)
		b, okB := PlainFigure(x.Y)
		switch x.Op {
		case '+':
			return a + b, okA && okB
		case '-':
			return a - b, okA && okB
		case '*':
			return a * b, okA && okB
		case '/':
			return a / b, okA && okB && b != 0
		}
	}
	return 0, false
}
