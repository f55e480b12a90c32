package sketch

import (
	"barover/sketch/quantity"
	"barover/sketch/syntax"
	"barover/solver"
	"barover/solver/expr"
)

// columns makes the columns of the table of settings. Their figures have one value at each setting of the travels.
func (l *loader) columns() {
	p := l.sketch.Problem
	for i, s := range each[*syntax.Column](l.sketch) {
		file := l.sketch.statements[i].file
		k := l.kinds.KindOf(l.model.askedKind[s])
		c := solver.Column{Name: s.Name.Text, Stmt: i, When: l.id(s.When), Above: l.id(s.Above), Below: l.id(s.Below), Note: s.Note.Text,
			Angle: k.Is(quantity.Angle), Number: !k.Is(quantity.Angle) && !k.Is(quantity.Length)}
		for _, x := range s.Of {
			c.Of = append(c.Of, l.shownSum(x, k))
			l.staysOver(file, x, "the column "+s.Name.Text, "write at("+syntax.TextOf(file, x)+", V), or least, greatest or span of it")
		}
		if s.When != nil {
			l.staysOver(file, s.When, "the condition of a column", "write a travel, or a sum that has one value at each setting")
		}
		l.sameColumn(file, s, &c)
		p.Columns = append(p.Columns, c)
	}
}

// staysOver checks that a sum has one value over the whole turn.
func (l *loader) staysOver(file *syntax.File, x syntax.Expr, what, help string) {
	if out, ok := l.sum.root(x); ok && !out.bad && !l.sum.g.StaysOverTurn(out.id) {
		l.tell(place{file, x.Where()}, what+" needs one figure for each setting, and "+syntax.TextOf(file, x)+" changes with the turn", help)
	}
}

// sameColumn checks that lines of one column agree, and that each says when it counts.
func (l *loader) sameColumn(file *syntax.File, s *syntax.Column, c *solver.Column) {
	for _, o := range l.sketch.Problem.Columns {
		if o.Name != c.Name {
			continue
		}
		first := l.at(o.Stmt, l.sketch.statements[o.Stmt].s.Where()).note("this is the first")
		switch {
		case o.When == expr.None || c.When == expr.None:
			l.tell(place{file, s.Name.Span}, "the column "+c.Name+" has a line already", "say when each of the two counts: when E above V", first)
		case len(o.Of) != len(c.Of) || o.Angle != c.Angle || o.Number != c.Number:
			l.tell(place{file, s.Name.Span}, "this line of the column "+c.Name+" does not show the same figures as its first", "give as many figures, of the same kind", first)
		default:
			continue
		}
		return
	}
}
