package sketch

import (
	"barover/sketch/quantity"
	"barover/sketch/syntax"
	"barover/solver"
	"barover/solver/expr"
	"barover/solver/outline"
	"barover/solver/schedule"
)

// slotLine is a slot: a straight or a bent middle line on a part, along which a point may slide from end to end.
type slotLine struct {
	written[*syntax.Slot]
	part        int
	first, last int     // points of the model at the ends of the middle line
	line        int     // of a straight one, the line of the model
	arc, centre int     // of a bent one, the arc of the model and its centre
	bend        bending // of a bent one
	length      expr.ID // of the middle line
}

// slots makes the lines and arcs of the slots. Their ends may depend on lengths, which come later: see bendSlots.
func (l *loader) slots() {
	m := l.sketch.Problem.Linkage
	for i := range l.model.slots {
		t := &l.model.slots[i]
		t.part, _ = l.part(l.sketch.statements[t.stmt].file, t.s.On)
		t.part = max(t.part, 0) // reported already
		t.first, t.last = l.endOfSlot(t, &t.s.P), l.endOfSlot(t, &t.s.Q)
		if t.s.Bend == nil {
			t.line = len(m.Lines)
			m.Lines = append(m.Lines, schedule.Line{Name: t.s.Name.Text, Stmt: t.stmt, P: t.first, Q: t.last, Heading: expr.None})
			l.apart(t.stmt, t.s.P.Name, t.s.Q.Name, "a slot")
			continue
		}
		t.arc, t.centre = len(m.Arcs), l.unnamed(schedule.Point{Stmt: t.stmt, Kind: schedule.OnPart, Part: t.part})
		from, to := t.first, t.last
		if !t.s.Bend.Left {
			from, to = to, from
		}
		m.Arcs = append(m.Arcs, schedule.Arc{Name: t.s.Name.Text, Stmt: t.stmt, Centre: t.centre, Radius: l.id(t.s.Bend.Radius), From: from, To: to})
	}
}

func (l *loader) endOfSlot(t *slotLine, p *syntax.Spot) int {
	if p.Name != nil {
		i, _ := l.point(l.sketch.statements[t.stmt].file, *p.Name)
		return max(i, 0)
	}
	if p.Pair == nil {
		return 0
	}
	return l.unnamed(schedule.Point{Stmt: t.stmt, Kind: schedule.OnPart, Part: t.part, U: l.id(p.Pair.U), V: l.id(p.Pair.V)})
}

// bendSlots finds where the centres of bent slots lie, and how long each slot is.
func (l *loader) bendSlots() {
	g := l.sum.g
	for i := range l.model.slots {
		t := &l.model.slots[i]
		from, to := l.endsOfSlot(t)
		if t.s.Bend == nil {
			t.length = g.Binary(expr.Hypot, g.Sub(to.X, from.X), g.Sub(to.Y, from.Y))
			continue
		}
		t.bend = l.bend(from, to, l.id(t.s.Bend.Radius), t.s.Bend.Left)
		t.length = t.bend.length()
		half := g.Div(l.id(t.s.Wide), g.Const(2))
		l.bent = append(l.bent, bent{l.at(t.stmt, t.s.Bend.Radius.Where()), from, to, t.bend.radius, [2]expr.ID{half, half}})
		c := &l.sketch.Problem.Linkage.Points[t.centre]
		c.U, c.V = t.bend.centre.X, t.bend.centre.Y
	}
}

// endsOfSlot is where the middle line of a slot ends, in the axes of its part.
func (l *loader) endsOfSlot(t *slotLine) (from, to outline.Place) {
	file := l.sketch.statements[t.stmt].file
	return l.placeOn(file, t.part, &t.s.P), l.placeOn(file, t.part, &t.s.Q)
}

// slides is the line or arc under a point on that slot.
func (l *loader) slides(slot int) (schedule.EquationKind, int) {
	if t := &l.model.slots[slot]; t.s.Bend != nil {
		return schedule.OnArc, t.arc
	}
	return schedule.OnLine, l.model.slots[slot].line
}

// alongBend makes nodes of along(P, SLOT) of a bent slot: the way round from its first end.
func (w *lowering) alongBend(x *syntax.Call) (out lowered, ok bool) {
	if x.Func.Text != "along" || len(x.Args) != 2 {
		return lowered{}, false
	}
	p, isP := x.Args[0].(*syntax.Ref)
	on, isOn := x.Args[1].(*syntax.Ref)
	if !isP || !isOn {
		return lowered{}, false
	}
	t, found := w.l.names.guides.find(on.Name.Text)
	if !found || t.sort != aSlot || w.l.model.slots[t.index].s.Bend == nil {
		return lowered{}, false
	}
	point, found := w.l.point(w.file, p.Name)
	if !found {
		return lowered{bad: true}, true
	}
	if w.parts != nil {
		return lowered{id: w.g.X(0), kind: quantity.Length}, true
	}
	return lowered{id: w.along(point, &w.l.model.slots[t.index]), kind: quantity.Length}, true
}

// along is how far a point is along a slot, from its first end.
func (w *lowering) along(point int, t *slotLine) expr.ID {
	if t.s.Bend == nil {
		return w.measurement("along", []int{point, t.line})
	}
	turned := w.measurement("angle", []int{t.first, t.centre, point})
	if !t.s.Bend.Left {
		turned = w.g.Unary(expr.Neg, turned)
	}
	return w.g.Mul(t.bend.radius, turned)
}

// slotChecks adds a check for every point that slides in a slot: it must stay between the ends.
func (l *loader) slotChecks() {
	for i, s := range each[*syntax.Slide](l.sketch) {
		t, found := l.names.guides.find(s.On.Text)
		p, known := l.names.points.find(s.P.Text)
		if !found || !known || t.sort != aSlot {
			continue
		}
		slot := &l.model.slots[t.index]
		l.sketch.Problem.Checks = append(l.sketch.Problem.Checks, solver.Check{Kind: solver.Keep, Stmt: i, Sum: l.sum.along(p.index, slot),
			AtLeast: l.sum.g.Const(0), AtMost: slot.length, Note: s.P.Text + " between the ends of " + s.On.Text})
	}
}

// slotShape is the shape that hole NAME takes away.
func (l *loader) slotShape(file *syntax.File, line profileLine, s *syntax.Shape) outline.Shape {
	none := outline.Place{X: expr.None, Y: expr.None}
	out := outline.Shape{Kind: outline.Strip, Stmt: line.stmt, Hole: true, Round: true, P: [2]outline.Place{none, none}, W: [2]expr.ID{expr.None, expr.None}}
	t, ok := l.findOnly(aSlot, l.names.guides, file, *s.Slot, "a slot", "")
	if !ok {
		return outline.Shape{Kind: outline.Disc, Stmt: line.stmt, Hole: true, P: [2]outline.Place{{X: l.sum.nan, Y: l.sum.nan}, none}, W: [2]expr.ID{l.sum.nan, expr.None}}
	}
	slot := &l.model.slots[t.index]
	if slot.part != line.part {
		l.tell(place{file, s.Slot.Span}, s.Slot.Text+" is a slot on "+l.sketch.Problem.Linkage.Parts[slot.part].Name+", another part", "cut the hole in a profile of that part, or give this part a slot of its own", t.at.note("it is given here"))
	}
	from, to := l.endsOfSlot(slot)
	if slot.s.Bend != nil {
		return l.bentStrip(line, out, from, to, slot.s.Bend, l.id(slot.s.Wide), expr.None)
	}
	out.P = [2]outline.Place{from, to}
	out.W = [2]expr.ID{l.id(slot.s.Wide), l.id(slot.s.Wide)}
	return out
}
