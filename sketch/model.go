package sketch

import (
	"strings"

	"barover/sketch/syntax"
	"barover/solver"
	"barover/solver/expr"
	"barover/solver/schedule"
)

// model is the mechanism that the statements give, in their order, before it is put into numbers. The frame is parts[0].
type model struct {
	points    []written[*syntax.Point]
	lines     []written[*syntax.Line]
	arcs      []written[*syntax.Arc]
	slots     []slotLine
	parts     []written[*syntax.Part] // s is nil for the frame
	profiles  []profileLine
	ghosts    syntax.Expr
	askedKind map[syntax.Statement]int // the kind of what a keep or mark asks about
}

// written is a statement with its number in the sketch.
type written[S syntax.Statement] struct {
	stmt int
	s    S
}

type profileLine struct {
	written[*syntax.Profile]
	part int
}

// build puts everything together. The mechanism comes before the figures measured on it.
func (l *loader) build() {
	s := l.sketch
	s.Shown = l.shown()
	s.Problem = &solver.Problem{Graph: l.sum.g, Linkage: &schedule.Model{Graph: l.sum.g, Travels: len(l.travels)}}
	for _, d := range s.Dims {
		s.Problem.Dims = append(s.Problem.Dims, solver.Dim{Name: d.Name, Stmt: d.Stmt, Made: d.IsMade() && !l.options.AsDrawn})
	}
	l.moves()
	if l.model.ghosts != nil {
		s.Ghosts = l.figure(l.model.ghosts)
	}
	l.points()
	l.lines()
	l.parts()
	l.arcs()
	l.slots()
	l.holds()
	l.plays()
	l.bendSlots()
	l.profiles()
	l.measures()
	l.checks()
	l.marks()
	l.columns()
	l.charts()
	l.washers()
	l.stock()
	l.sum.v.Extend()
	l.bounds()
}

// shown says which values count.
func (l *loader) shown() string {
	switch {
	case len(l.cases) > 0:
		return strings.Join(l.cases, ", ")
	case l.options.AsDrawn:
		return "drawn"
	}
	return "now"
}

// id is the node of a sum of a statement; None where it was left out.
func (l *loader) id(x syntax.Expr) expr.ID {
	if x == nil {
		return expr.None
	}
	if out, ok := l.sum.root(x); ok {
		return out.id
	}
	return l.sum.nan
}

// points places the points that have a name.
func (l *loader) points() {
	m := l.sketch.Problem.Linkage
	for _, p := range l.model.points {
		file := l.sketch.statements[p.stmt].file
		out := schedule.Point{Name: p.s.Name.Text, Stmt: p.stmt, Kind: schedule.Found, U: expr.None, V: expr.None}
		switch {
		case p.s.On != nil:
			out.Kind, out.U, out.V = schedule.OnPart, l.id(p.s.Place.U), l.id(p.s.Place.V)
			out.Part, _ = l.part(file, *p.s.On)
		case p.s.Place != nil:
			out.Kind, out.U, out.V = schedule.Driven, l.id(p.s.Place.U), l.id(p.s.Place.V)
		case p.s.Near != nil:
			out.U, out.V = l.id(p.s.Near.U), l.id(p.s.Near.V)
		}
		m.Points = append(m.Points, out)
	}
}

// unnamed adds a point that the sketch gives by its place alone.
func (l *loader) unnamed(p schedule.Point) int {
	m := l.sketch.Problem.Linkage
	m.Points = append(m.Points, p)
	return len(m.Points) - 1
}

// spot is the point at a place of a line.
func (l *loader) spot(stmt int, p *syntax.Spot) int {
	if p.Name != nil {
		i, _ := l.point(l.sketch.statements[stmt].file, *p.Name)
		return i
	}
	return l.unnamed(schedule.Point{Stmt: stmt, Kind: schedule.Driven, U: l.id(p.Pair.U), V: l.id(p.Pair.V)})
}

func (l *loader) lines() {
	m := l.sketch.Problem.Linkage
	for _, ln := range l.model.lines {
		out := schedule.Line{Name: ln.s.Name.Text, Stmt: ln.stmt, P: l.spot(ln.stmt, ln.s.P), Q: -1, Heading: expr.None}
		if ln.s.Q != nil {
			out.Q = l.spot(ln.stmt, ln.s.Q)
			l.apart(ln.stmt, ln.s.P.Name, ln.s.Q.Name, "a line")
		} else {
			out.Heading = l.id(ln.s.Heading)
		}
		m.Lines = append(m.Lines, out)
	}
}

// apart checks that two names are of two points.
func (l *loader) apart(stmt int, p, q *syntax.Name, what string) {
	if p != nil && q != nil && p.Text == q.Text {
		l.tell(l.at(stmt, q.Span), what+" from "+p.Text+" to itself", "name two points")
	}
}

func (l *loader) parts() {
	m := l.sketch.Problem.Linkage
	p := l.sketch.Problem
	m.Parts = append(m.Parts, schedule.Part{Name: "frame", Stmt: -1, Kind: schedule.Frame, P: -1, Q: -1, Line: -1, Heading: expr.None})
	for _, pt := range l.model.parts[1:] {
		file := l.sketch.statements[pt.stmt].file
		out := schedule.Part{Name: pt.s.Name.Text, Stmt: pt.stmt, Kind: schedule.AtHeading, Q: -1, Line: -1, Heading: l.id(pt.s.Heading)}
		out.P, _ = l.point(file, pt.s.P)
		switch {
		case pt.s.Q != nil:
			out.Kind = schedule.FromTo
			out.Q, _ = l.point(file, *pt.s.Q)
			l.apart(pt.stmt, &pt.s.P, pt.s.Q, "a part")
		case pt.s.Along != nil:
			out.Kind = schedule.AlongLine
			out.Line, _ = l.straight(file, *pt.s.Along)
		}
		m.Parts = append(m.Parts, out)
	}
	p.Sideplay = make([]expr.ID, len(m.Parts))
	for i := range p.Sideplay {
		p.Sideplay[i] = expr.None
	}
	for i, s := range each[*syntax.Sideplay](l.sketch) {
		l.sideplay(l.sketch.statements[i].file, s)
	}
}

// straight is the line of that name, not an arc.
func (l *loader) straight(file *syntax.File, name syntax.Name) (int, bool) {
	help := ""
	if t, ok := l.names.guides.find(name.Text); ok && t.sort == aSlot {
		help = "write the name of a line; along a straight slot it is line NAME from P to P, through two points of the slot's part"
	}
	return number(l.findOnly(aLine, l.names.guides, file, name, "a line", help))
}

func (l *loader) sideplay(file *syntax.File, s *syntax.Sideplay) {
	part, ok := l.part(file, s.Part)
	if !ok {
		return
	}
	p := l.sketch.Problem
	if p.Sideplay[part] != expr.None {
		l.tell(place{file, s.Span}, "the sideplay of "+s.Part.Text+" is given twice", "take one of the two out")
		return
	}
	p.Sideplay[part] = l.id(s.Value)
}

func (l *loader) arcs() {
	m := l.sketch.Problem.Linkage
	for _, a := range l.model.arcs {
		part, _ := l.part(l.sketch.statements[a.stmt].file, a.s.On)
		centre := l.unnamed(schedule.Point{Stmt: a.stmt, Kind: schedule.OnPart, Part: part, U: l.id(a.s.Centre.U), V: l.id(a.s.Centre.V)})
		m.Arcs = append(m.Arcs, schedule.Arc{Name: a.s.Name.Text, Stmt: a.stmt, Centre: centre, Radius: l.id(a.s.Radius)})
	}
}

// holds makes the equations.
func (l *loader) holds() {
	m := l.sketch.Problem.Linkage
	for i, st := range l.sketch.statements {
		out := schedule.Equation{Stmt: i, P: -1, Q: -1, R: -1, On: -1, V: expr.None, Play: expr.None}
		switch s := st.s.(type) {
		case *syntax.Length:
			out.Kind, out.V, out.Loose, out.Play = schedule.Length, l.id(s.Value), s.Loose, l.id(s.Play)
			out.P, _ = l.point(st.file, s.P)
			out.Q, _ = l.point(st.file, s.Q)
			l.apart(i, &s.P, &s.Q, "a length")
		case *syntax.Angle:
			out.Kind, out.V = schedule.Heading, l.id(s.Value)
			out.P, _ = l.point(st.file, s.P)
			out.Q, _ = l.point(st.file, s.Q)
			l.apart(i, &s.P, &s.Q, "an angle")
			if s.R != nil {
				out.Kind = schedule.Angle
				out.R, _ = l.point(st.file, *s.R)
				l.apart(i, &s.Q, s.R, "an angle")
			}
		case *syntax.Slide:
			out.Kind = schedule.OnLine
			out.P, _ = l.point(st.file, s.P)
			t, ok := l.find(l.names.guides, st.file, s.On, "a line, arc or slot")
			out.On, _ = number(t, ok)
			switch {
			case t.sort == anArc:
				out.Kind = schedule.OnArc
			case t.sort == aSlot:
				out.Kind, out.On = l.slides(t.index)
			}
		default:
			continue
		}
		m.Equations = append(m.Equations, out)
	}
}
