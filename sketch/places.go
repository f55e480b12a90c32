package sketch

import (
	"slices"

	"barover/sketch/quantity"
	"barover/sketch/syntax"
	"barover/solver/expr"
)

// placed makes nodes of at(E, V): E at a place of the turn.
func (w *lowering) placed(x *syntax.Call) lowered {
	if w.l.turn < 0 {
		return w.wrong(&syntax.Ref{Name: x.Func}, "at asks for a place of the turn, and the sketch has no turn", "write turn NAME = V to V step V")
	}
	of, place := w.sum(x.Args[0]), w.as(w.sum(x.Args[1]), x.Args[1], quantity.Angle)
	if of.bad || place.bad {
		return lowered{bad: true}
	}
	if w.parts == nil && !w.g.StaysOverTurn(place.id) {
		return w.wrong(x.Args[1], w.text(x.Args[1])+" changes with the turn: it is no place of the turn", "write an angle, a mark, or a sum of them")
	}
	if w.parts != nil || w.g.Uses(of.id).Constant() {
		return lowered{id: of.id, kind: of.kind, free: of.free}
	}
	return lowered{id: w.g.AtPlace(of.id, place.id), kind: of.kind}
}

// markOps are the places of the turn at which marks happen.
var markOps = map[string]expr.Op{"rises": expr.Rises, "falls": expr.Falls, "least": expr.Lowest, "greatest": expr.Highest}

// markPlace makes nodes of a mark's name in a sum: the place of the turn at which it happens first.
func (w *lowering) markPlace(x *syntax.Ref, t thing) lowered {
	if w.parts != nil {
		return lowered{id: w.g.X(0), kind: quantity.Angle}
	}
	if out, ok := w.marks[t.index]; ok {
		return out
	}
	if w.l.turn < 0 {
		return w.wrong(x, "a mark is a place of the turn, and the sketch has no turn", "write turn NAME = V to V step V")
	}
	m := w.l.sketch.statements[t.index].s.(*syntax.Mark)
	w.marks[t.index] = lowered{bad: true} // while it is being made: see markCircles
	file, scope, what := w.file, w.scope, w.what
	sum := w.wantOf(m.Sum)
	past := lowered{id: expr.None}
	if m.Past != nil {
		past = w.wantOf(m.Past)
	}
	w.file, w.scope, w.what = file, scope, what
	out := lowered{kind: quantity.Angle, bad: sum.bad || past.bad}
	if !out.bad {
		id := sum.id
		if m.Past != nil {
			id = w.g.Sub(w.g.Unclipped(sum.id, past.id), past.id)
		}
		out.id = w.g.Place(markOps[m.When], id)
	}
	w.marks[t.index] = out
	return out
}

// marksIn lists the marks that a sum uses, by their statements.
func (l *loader) marksIn(x syntax.Expr) (list []int) {
	syntax.EachRef(x, func(r *syntax.Ref) {
		if _, figure := l.names.figures.find(r.Name.Text); figure {
			return
		}
		if t, ok := l.names.marks.find(r.Name.Text); ok {
			list = append(list, t.index)
		}
	})
	return list
}

// withMarks lists the sums that a sum depends on through marks, itself first.
func (l *loader) withMarks(x syntax.Expr) []syntax.Expr {
	all := []syntax.Expr{x}
	var seen []int
	for i := 0; i < len(all); i++ {
		for _, stmt := range l.marksIn(all[i]) {
			if !slices.Contains(seen, stmt) {
				seen = append(seen, stmt)
				m := l.sketch.statements[stmt].s.(*syntax.Mark)
				all = append(all, m.Sum)
				if m.Past != nil {
					all = append(all, m.Past)
				}
			}
		}
	}
	return all
}

// markCircles reports marks whose place depends on itself.
func (l *loader) markCircles() {
	for i, m := range each[*syntax.Mark](l.sketch) {
		for _, x := range append(l.withMarks(m.Sum), l.withMarks(m.Past)...) {
			if x != nil && slices.Contains(l.marksIn(x), i) {
				l.tell(l.at(i, m.Name.Span), "the place of "+m.Name.Text+" follows from itself", "give its sum without "+m.Name.Text)
				break
			}
		}
	}
}
