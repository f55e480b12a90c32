package sketch

import (
	"fmt"

	"barover/sketch/quantity"
	"barover/sketch/syntax"
)

// bound is the condition on the value of a sum.
type bound uint8

const (
	anyValue bound = iota
	positive
	notNegative
)

// want is one sum of a statement: the kind it must be of, what it may use, and which values it may have. The table below
// lists every sum of the language, so that kinds are found, nodes made and values checked in one way for all.
type want struct {
	x        syntax.Expr
	what     string // "the width of a strip"
	kind     quantity.Kind
	variable int // the figure whose kind it must have; -1 where kind says it
	scope    scope
	bound    bound
	stmt     int
	file     *syntax.File
}

// wanter gathers the wants of one statement.
type wanter struct {
	l    *loader
	stmt int
	file *syntax.File
}

func (g wanter) add(n want) {
	if n.x == nil {
		return
	}
	n.stmt, n.file = g.stmt, g.file
	g.l.wants = append(g.l.wants, n)
}

func (g wanter) of(x syntax.Expr, k quantity.Kind, s scope, b bound, what string) {
	g.add(want{x: x, what: what, kind: k, variable: -1, scope: s, bound: b})
}

func (g wanter) like(x syntax.Expr, variable int, s scope, b bound, what string) {
	g.add(want{x: x, what: what, variable: variable, scope: s, bound: b})
}

// value adds the sum x, which gives a dimension another value.
func (g wanter) value(dim syntax.Name, what string, x syntax.Expr) {
	if t, ok := g.l.names.figures.find(dim.Text); ok && t.sort == aDim {
		g.like(x, g.l.dims[t.index].variable, dimsOnly, anyValue, what)
	}
}

// gather lists every want of the sketch. Those of the dimensions' own lines come first, since they say best what a
// dimension is.
func (l *loader) gather() {
	for _, own := range []bool{true, false} {
		for i, st := range l.sketch.statements {
			d, isDim := st.s.(*syntax.Dim)
			if (isDim && d.Word == "dim") == own {
				l.gatherOne(wanter{l, i, st.file}, st.s)
			}
		}
	}
	for _, s := range l.set {
		wanter{l, -1, s.file}.value(s.name, s.name.Text, s.value)
	}
}

func (l *loader) gatherOne(g wanter, s syntax.Statement) {
	switch s := s.(type) {
	case *syntax.Ghosts:
		g.of(s.Every, quantity.Angle, dimsOnly, positive, "the step of the ghosts")
	case *syntax.Use:
		g.use(s)
	case *syntax.Scan:
		for i := range s.Places {
			at := &s.Places[i]
			g.of(at.Pixel.U, quantity.Plain, dimsOnly, anyValue, "a place in the picture")
			g.of(at.Pixel.V, quantity.Plain, dimsOnly, anyValue, "a place in the picture")
			g.spot(&at.On, dimsOnly, "where it lies on the engine")
		}
	case *syntax.Washers:
		for _, v := range s.Thick {
			g.of(v, quantity.Length, dimsOnly, positive, "the thickness of a washer")
		}
	case *syntax.Dim:
		g.dim(s)
	case *syntax.Stock:
		for _, v := range s.Sizes {
			g.value(s.Name, "a size of "+s.Name.Text, v)
		}
	case *syntax.Case:
		for _, set := range s.Set {
			g.value(set.Dim, set.Dim.Text, set.Value)
		}
	case *syntax.Turn:
		g.turn(s)
	case *syntax.Point:
		g.point(s)
	case *syntax.Line:
		g.of(s.Heading, quantity.Angle, moving, anyValue, "the heading of a line")
		g.spot(s.P, moving, "a place on a line")
		g.spot(s.Q, moving, "a place on a line")
	case *syntax.Arc:
		g.pair(&s.Centre, moving, "the centre of an arc")
		g.of(s.Radius, quantity.Length, dimsOnly, positive, "the radius of an arc")
	case *syntax.Slot:
		g.spot(&s.P, dimsOnly, "a place of a slot")
		g.spot(&s.Q, dimsOnly, "a place of a slot")
		g.of(s.Wide, quantity.Length, dimsOnly, positive, "the width of a slot")
		g.bend(s.Bend)
	case *syntax.Length:
		g.of(s.Value, quantity.Length, moving, positive, fmt.Sprintf("the length from %s to %s", s.P.Text, s.Q.Text))
		g.of(s.Play, quantity.Length, dimsOnly, positive, "the play")
	case *syntax.Angle:
		g.of(s.Value, quantity.Angle, moving, anyValue, "the value of an angle")
	case *syntax.Part:
		g.part(s)
	case *syntax.Sideplay:
		g.of(s.Value, quantity.Length, dimsOnly, notNegative, "the sideplay of "+s.Part.Text)
	case *syntax.Play:
		g.of(s.Value, quantity.Length, dimsOnly, notNegative, "the play")
	case *syntax.Profile:
		g.profile(s)
	default:
		l.gatherAsked(g, s)
	}
}

// gatherAsked lists the wants of checks and of what is reported.
func (l *loader) gatherAsked(g wanter, s syntax.Statement) {
	switch s := s.(type) {
	case *syntax.Clear:
		g.of(s.By, quantity.Length, dimsOnly, notNegative, "the distance to be kept")
		g.of(s.AtMost, quantity.Length, dimsOnly, notNegative, "the distance to come within")
	case *syntax.Gap:
		g.of(s.AtLeast, quantity.Length, dimsOnly, anyValue, "the least gap")
		g.of(s.AtMost, quantity.Length, dimsOnly, anyValue, "the greatest gap")
	case *syntax.Keep:
		v := l.kinds.Add("the sum")
		g.like(s.Sum, v, inMeasures, anyValue, "the sum")
		g.like(s.Above, v, dimsOnly, anyValue, "the limit")
		g.like(s.Below, v, dimsOnly, anyValue, "the limit")
		l.model.askedKind[s] = v
	case *syntax.Column:
		v := l.kinds.Add("the figure")
		for _, x := range s.Of {
			g.like(x, v, inMeasures, anyValue, "the figure")
		}
		l.model.askedKind[s] = v
		if s.When != nil {
			w := l.kinds.Add("the condition")
			g.like(s.When, w, inMeasures, anyValue, "the condition")
			g.like(s.Above, w, dimsOnly, anyValue, "the limit")
			g.like(s.Below, w, dimsOnly, anyValue, "the limit")
		}
	case *syntax.Measure:
		if t, ok := l.names.figures.find(s.Name.Text); ok && t.sort == aMeasure && l.measure[t.index].m == s {
			g.like(s.Sum, l.measure[t.index].variable, inMeasures, anyValue, s.Name.Text)
		}
	case *syntax.Mark:
		v := l.kinds.Add("the sum")
		g.like(s.Sum, v, inMeasures, anyValue, "the sum")
		g.like(s.Past, v, passed, anyValue, "the value that the sum passes")
		l.model.askedKind[s] = v
	}
}

func (g wanter) dim(s *syntax.Dim) {
	t, ok := g.l.names.figures.find(s.Name.Text)
	if !ok || t.sort != aDim {
		return
	}
	d := &g.l.dims[t.index]
	if s != d.dim && s != d.madeLine && s != d.planLine {
		return // given twice
	}
	if s != d.dim || d.given == nil {
		g.like(s.Value, d.variable, dimsOnly, anyValue, s.Name.Text)
	}
	g.like(s.PlusMinus, d.variable, dimsOnly, notNegative, "the tolerance of "+s.Name.Text)
	g.like(s.Lower, d.variable, dimsOnly, anyValue, "the lower deviation of "+s.Name.Text)
	g.like(s.Upper, d.variable, dimsOnly, anyValue, "the upper deviation of "+s.Name.Text)
	if s.Fit.Given {
		g.l.kinds.Equate(g.l.kinds.Of(d.variable), quantity.Known(quantity.Length), place{g.file, s.Fit.Span})
	}
}

func (g wanter) turn(s *syntax.Turn) {
	variable, what := -1, "the turn"
	if s.Travel {
		t, ok := g.l.names.figures.find(s.Name.Text)
		if !ok || t.sort != aTravel || g.l.travels[t.index].t != s {
			return
		}
		variable, what = g.l.travels[t.index].variable, s.Name.Text
	} else if g.stmt != g.l.turn {
		return
	}
	add := func(x syntax.Expr, b bound, what string) {
		g.add(want{x: x, what: what, kind: quantity.Angle, variable: variable, bound: b})
	}
	add(s.From, anyValue, what)
	add(s.To, anyValue, what)
	add(s.Step, positive, "the step of "+what)
	for _, x := range s.Settings {
		add(x, anyValue, what)
	}
	add(s.Rest, anyValue, what)
}

func (g wanter) point(s *syntax.Point) {
	switch {
	case s.On != nil:
		g.pair(s.Place, moving, "a place on "+s.On.Text)
	case s.Place != nil:
		g.pair(s.Place, moving, "the place of a point")
	}
	g.pair(s.Near, dimsOnly, "the place near which a point is")
}

func (g wanter) part(s *syntax.Part) {
	may := moving
	if s.Q != nil {
		may = dimsOnly
	}
	g.of(s.Heading, quantity.Angle, may, anyValue, "the heading of "+s.Name.Text)
}

func (g wanter) profile(s *syntax.Profile) {
	name := s.Part.Text + "." + s.Name.Text
	g.of(s.From, quantity.Length, dimsOnly, anyValue, "where "+name+" lies across")
	g.of(s.To, quantity.Length, dimsOnly, anyValue, "where "+name+" lies across")
	g.of(s.Centred, quantity.Length, dimsOnly, anyValue, "where "+name+" lies across")
	g.of(s.Thick, quantity.Length, dimsOnly, positive, "the thickness of "+name)
	for i := range s.Shapes {
		sh := &s.Shapes[i]
		g.spot(&sh.P, dimsOnly, "a place on "+s.Part.Text)
		g.spot(&sh.Q, dimsOnly, "a place on "+s.Part.Text)
		g.of(sh.Dia, quantity.Length, dimsOnly, positive, "the diameter of a disc")
		wide := positive
		if sh.WideTo != nil {
			wide = notNegative // a strip may come to a point
		}
		g.of(sh.Wide, quantity.Length, dimsOnly, wide, "the width of a strip")
		g.of(sh.WideTo, quantity.Length, dimsOnly, wide, "the width of a strip")
		g.bend(sh.Bend)
		for j := range sh.Steps {
			g.spot(&sh.Steps[j].To, dimsOnly, "a place on "+s.Part.Text)
			g.of(sh.Steps[j].Radius, quantity.Length, dimsOnly, positive, "the radius of an arc")
		}
	}
}

func (g wanter) pair(p *syntax.Pair, s scope, what string) {
	if p != nil {
		g.of(p.U, quantity.Length, s, anyValue, what)
		g.of(p.V, quantity.Length, s, anyValue, what)
	}
}

func (g wanter) spot(p *syntax.Spot, s scope, what string) {
	if p != nil {
		g.pair(p.Pair, s, what)
	}
}

// use gathers what a use statement gives to its file.
func (g wanter) use(s *syntax.Use) {
	for _, in := range g.l.instances {
		if in.use != s {
			continue
		}
		for i := range s.Set {
			name := in.prefix + in.given[i]
			t, _ := g.l.names.figures.find(name)
			switch {
			case t.sort == aDim && t.at.file != nil:
				g.like(s.Set[i].Value, g.l.dims[t.index].variable, dimsOnly, anyValue, name)
			case t.sort == aGiven:
				g.like(s.Set[i].Value, g.l.given[t.index].variable, moving, anyValue, name)
			}
		}
	}
}

func (g wanter) bend(b *syntax.Bend) {
	if b != nil {
		g.of(b.Radius, quantity.Length, dimsOnly, positive, "the radius of a bend")
	}
}
