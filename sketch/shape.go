package sketch

import (
	"barover/sketch/syntax"
)

// shape is the kind of a sum in which the kinds of some figures are not known yet: kind plus the powers of those. Free
// says that the sum has a bare number as a factor, which may have a unit that was not written.
type shape struct {
	kind  Kind
	terms []term
	free  bool
	bad   bool // nothing follows from it: it has a mistake, reported when the sum is made into nodes, or too many terms
}

// flexible reports whether the sum takes any kind: it has bare numbers alone.
func (s shape) flexible() bool { return s.free && len(s.terms) == 0 && s.kind.Is(Plain) }

func (s shape) times(o shape, n float64) shape {
	out := shape{kind: s.kind.times(o.kind, n), free: s.free || o.free, bad: s.bad || o.bad}
	out.terms = append(out.terms, s.terms...)
	for _, t := range o.terms {
		out.add(term{t.v, t.n * n})
	}
	if len(out.terms) > mostTerms {
		out.bad = true
	}
	return out
}

func (s *shape) add(t term) {
	for i := range s.terms {
		if s.terms[i].v == t.v {
			s.terms[i].n += t.n
			return
		}
	}
	s.terms = append(s.terms, t)
}

func (s shape) power(n float64) shape {
	out := shape{kind: s.kind.power(n), free: s.free, bad: s.bad}
	for _, t := range s.terms {
		out.terms = append(out.terms, term{t.v, t.n * n})
	}
	return out
}

func known(k Kind) shape { return shape{kind: k} }

func (f *inference) of(v int) shape { return shape{terms: []term{{v, 1}}} }

// shaper finds the shapes of sums in one file and adds the rows that follow from them.
type shaper struct {
	l    *loader
	f    *inference
	file *syntax.File
	open *int // in a rate: how many more measures are expanded into their sums; nil elsewhere
}

// mostOpen bounds measures of measures in one rate, which may form a circle.
const mostOpen = 100

func (s shaper) at(x syntax.Expr) place { return place{s.file, x.Where()} }

// sum is the shape of a sum.
func (s shaper) sum(x syntax.Expr) shape {
	switch x := x.(type) {
	case *syntax.Number:
		return literal(x.Unit)
	case *syntax.Ref:
		return s.figure(x.Name)
	case *syntax.Unary:
		return s.sum(x.X)
	case *syntax.Binary:
		return s.binary(x)
	case *syntax.Call:
		return s.call(x)
	}
	return shape{bad: true}
}

func literal(u syntax.Unit) shape {
	switch u {
	case syntax.Bare:
		return shape{free: true}
	case syntax.Degree, syntax.Radian:
		return known(Angle)
	}
	return known(Length)
}

func (s shaper) figure(name syntax.Name) shape {
	if name.Text == "pi" {
		return known(Plain)
	}
	t, ok := s.l.names.figures.find(name.Text)
	if !ok {
		if _, mark := s.l.names.marks.find(name.Text); mark {
			return known(Angle) // where it happens
		}
		return shape{bad: true}
	}
	switch t.sort {
	case aDim:
		return s.f.of(s.l.dims[t.index].variable)
	case aTravel:
		return s.f.of(s.l.travels[t.index].variable)
	case aMeasure:
		m := &s.l.measure[t.index]
		if s.open != nil && *s.open > 0 {
			*s.open--
			return shaper{s.l, s.f, s.l.sketch.statements[m.stmt].file, s.open}.sum(m.m.Sum)
		}
		return s.f.of(m.variable)
	case aGiven:
		return s.f.of(s.l.given[t.index].variable)
	}
	return known(Angle) // the turn
}

func (s shaper) binary(x *syntax.Binary) shape {
	a, b := s.sum(x.X), s.sum(x.Y)
	switch x.Op {
	case '+', '-':
		return s.beside(a, b, place{s.file, x.Span})
	case '*':
		return a.times(b, 1)
	case '/':
		return a.times(b, -1)
	}
	s.f.equate(b, known(Plain), s.at(x.Y))
	if n, ok := plainFigure(x.Y); ok {
		return a.power(n)
	}
	s.f.equate(a, known(Plain), s.at(x.X))
	return shape{free: a.free, bad: a.bad || b.bad}
}

// beside is the shape of two sums that are side by side, and so must be of one kind.
func (s shaper) beside(a, b shape, at place) shape {
	s.f.equate(a, b, at)
	out := a
	if a.flexible() || len(a.terms) > 0 && len(b.terms) == 0 && !b.flexible() {
		out = b
	}
	out.free, out.bad = a.free && b.free, a.bad || b.bad
	return out
}

// call is the shape of a function of sums, of points or of lines.
func (s shaper) call(x *syntax.Call) shape {
	f, ok := functions[x.Func.Text]
	if !ok {
		return shape{bad: true}
	}
	switch f.rule {
	case named:
		return known(f.gives)
	case placed:
		s.f.equate(s.sum(x.Args[1]), known(Angle), s.at(x.Args[1]))
		return s.sum(x.Args[0])
	}
	var out shape
	if f.rule == slope && s.open == nil { // the rate of an angle is a plain number, whichever measure has that angle
		most := mostOpen
		s.open = &most
	}
	for i, arg := range x.Args {
		a := s.sum(arg)
		if f.rule == wants {
			s.f.equate(a, known(f.takes), s.at(arg))
		}
		if i == 0 {
			out = a
		} else {
			out = s.beside(out, a, place{s.file, x.Span})
		}
	}
	switch f.rule {
	case wants, heading:
		return shape{kind: f.gives, bad: out.bad}
	case root:
		return out.power(0.5)
	case slope:
		out.free = false
		out.kind = slopeKind(out.kind)
		return out
	}
	return out
}

// slopeKind is the kind of a change per radian of the turn. A radian of the turn counts as a plain number, so that the
// rate of a length is a length; and the rate of an angle is a ratio of angles, a plain number.
func slopeKind(k Kind) Kind {
	if k.A >= 1 {
		k.A--
	}
	return k
}

// plainFigure is the value of a power that is written with numbers alone, as 2, 1/2 or -(1/2).
func plainFigure(x syntax.Expr) (float64, bool) {
	switch x := x.(type) {
	case *syntax.Number:
		return x.Value, x.Unit == syntax.Bare
	case *syntax.Unary:
		v, ok := plainFigure(x.X)
		if x.Op == '-' {
			v = -v
		}
		return v, ok
	case *syntax.Binary:
		a, okA := plainFigure(x.X)
		b, okB := plainFigure(x.Y)
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
