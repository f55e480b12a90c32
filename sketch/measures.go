package sketch

import (
	"slices"

	"barover/sketch/quantity"
	"barover/sketch/syntax"
	"barover/solver"
	"barover/solver/expr"
)

// measures makes nodes of what is measured: first the measures, in the order in which they use one another, then the sums
// of keep and mark.
func (l *loader) measures() {
	l.partCircles()
	l.markCircles()
	order, circles := ordered(len(l.measure), func(i int) []int { return l.measuresIn(l.measure[i].m.Sum) })
	for _, c := range circles {
		l.measureCircle(c)
	}
	w := l.sum
	for _, i := range order {
		m := &l.measure[i]
		out := w.wantOf(m.m.Sum)
		if out.bad {
			l.kinds.Variables[m.variable].Broken = true
		}
		w.made[i] = lowered{id: out.id}
	}
	for i := range l.wants {
		w.want(i)
	}
	p := l.sketch.Problem
	for _, m := range l.measure {
		k := l.kinds.KindOf(m.variable)
		p.Measures = append(p.Measures, solver.Measure{Name: m.m.Name.Text, Stmt: m.stmt, Note: m.m.Note.Text, Sum: l.shownSum(m.m.Sum, k),
			Angle: k.Is(quantity.Angle), Number: !k.Is(quantity.Angle) && !k.Is(quantity.Length)})
	}
}

// measuresIn lists the measures that a sum uses, also through marks.
func (l *loader) measuresIn(x syntax.Expr) []int {
	var list []int
	for _, y := range l.withMarks(x) {
		syntax.EachRef(y, func(r *syntax.Ref) {
			if t, ok := l.names.figures.find(r.Name.Text); ok && t.sort == aMeasure {
				list = append(list, t.index)
			}
		})
	}
	return list
}

func (l *loader) measureCircle(c []int) {
	names := make([]string, len(c))
	for i, m := range c {
		names[i] = l.measure[m].m.Name.Text
		l.kinds.Variables[l.measure[m].variable].Broken = true
	}
	m := &l.measure[c[0]]
	l.tell(l.at(m.stmt, m.m.Name.Span), "these measures follow from one another in a circle: "+chain(names), "give one of them without the others")
}

// marks makes the events of the turn, and the traces.
func (l *loader) marks() {
	p := l.sketch.Problem
	for i, st := range l.sketch.statements {
		switch s := st.s.(type) {
		case *syntax.Mark:
			if t, ok := l.names.marks.find(s.Name.Text); !ok || t.index != i {
				continue // a name given twice
			}
			k := l.kinds.KindOf(l.model.askedKind[s])
			m := solver.Mark{Name: s.Name.Text, Stmt: i, Sum: l.shownSum(s.Sum, k), When: when(s.When), Past: l.shownSum(s.Past, k)}
			for _, n := range s.Showing {
				m.Shows = append(m.Shows, l.shows(st.file, n))
			}
			p.Marks = append(p.Marks, m)
		case *syntax.Trace:
			if point, ok := l.point(st.file, s.P); ok && !slices.Contains(p.Traces, point) {
				p.Traces = append(p.Traces, point)
			}
		}
	}
}

func when(word string) solver.MarkWhen {
	switch word {
	case "rises":
		return solver.RisesPast
	case "falls":
		return solver.FallsPast
	case "least":
		return solver.IsLeast
	}
	return solver.IsGreatest
}

// shows finds a measure that a mark shows.
func (l *loader) shows(file *syntax.File, name syntax.Name) int {
	t, _ := l.findOnly(aMeasure, l.names.figures, file, name, "a measure", "write measure NAME = "+name.Text+" and show that")
	return t.index
}

// value is the value of a node that follows from dimensions alone.
func (l *loader) value(id expr.ID) float64 {
	if id == expr.None {
		return l.sum.v.At(l.sum.nan)
	}
	return l.sum.v.At(id)
}
