package sketch

import (
	"fmt"
	"slices"

	"barover/sketch/quantity"
	"barover/sketch/syntax"
	"barover/solver"
)

// charts makes the charts of the measures. The marks have been made before.
func (l *loader) charts() {
	p := l.sketch.Problem
	for i, s := range each[*syntax.Chart](l.sketch) {
		if t, _ := l.names.charts.find(s.Name.Text); t.index != i {
			continue // a name given twice
		}
		file := l.sketch.statements[i].file
		c := solver.Chart{Name: s.Name.Text, Stmt: i, Against: l.against(file, s.Against), Note: s.Note.Text}
		for k, n := range s.Of {
			if m, ok := l.chartMeasure(file, n); ok && !l.twice(file, s.Of[:k], n) {
				c.Of = append(c.Of, m)
			}
		}
		l.oneKind(file, s)
		for k, n := range s.Showing {
			if t, ok := l.find(l.names.marks, file, n, "a mark"); ok && !l.twice(file, s.Showing[:k], n) {
				c.Marks = append(c.Marks, slices.IndexFunc(p.Marks, func(m solver.Mark) bool { return m.Stmt == t.index }))
			}
		}
		p.Charts = append(p.Charts, c)
	}
}

// chartMeasure finds a measure that a chart draws.
func (l *loader) chartMeasure(file *syntax.File, name syntax.Name) (int, bool) {
	return number(l.findOnly(aMeasure, l.names.figures, file, name, "a measure", "write measure NAME = "+name.Text+" and draw that"))
}

// against finds what a chart's lines are drawn against: a measure, or -1 for the turn.
func (l *loader) against(file *syntax.File, name syntax.Name) int {
	t, ok := l.find(l.names.figures, file, name, "a measure or turn")
	switch {
	case !ok || t.sort == aTurn || t.sort == aGiven && l.given[t.index].turn:
		return -1
	case t.sort == aMeasure:
		return t.index
	}
	help := "write measure NAME = " + name.Text + " and draw against that"
	if t.sort == aTravel {
		help = "each setting of a travel is a line of its own"
	}
	l.tell(place{file, name.Span}, fmt.Sprintf("%s is %s, a measure or the turn is wanted here", name.Text, t.sort.the()), help, t.at.note("it is given here"))
	return -1
}

// twice reports a name that a chart has already.
func (l *loader) twice(file *syntax.File, before []syntax.Name, name syntax.Name) bool {
	for _, b := range before {
		if b.Text == name.Text {
			l.tell(place{file, name.Span}, name.Text+" is in this chart already", "take one of the two out")
			return true
		}
	}
	return false
}

// oneKind checks that everything in a chart has one scale.
func (l *loader) oneKind(file *syntax.File, s *syntax.Chart) {
	var first *syntax.Name
	var want quantity.Kind
	for i := range s.Of {
		t, ok := l.names.figures.find(s.Of[i].Text)
		if !ok || t.sort != aMeasure || l.kinds.IsBroken(l.measure[t.index].variable) {
			continue
		}
		k := l.kinds.KindOf(l.measure[t.index].variable)
		if first == nil {
			first, want = &s.Of[i], k
		}
		if !k.Is(want) {
			l.tell(place{file, s.Of[i].Span}, fmt.Sprintf("%s is %s and %s is %s: a chart has one scale for all its lines", first.Text, want, s.Of[i].Text, k),
				"draw two charts")
			return
		}
	}
}
