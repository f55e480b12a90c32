package schedule

import "barover/solver/expr"

// noRow is a Row without places.
var noRow = Row{P: Nowhere, Q: Nowhere, R: Nowhere, D: Nowhere, V: expr.None, Play: expr.None, Equation: -1}

// equationRows lists the rows that elimination has not satisfied.
func (b *builder) equationRows() {
	b.rows = b.rows[:0]
	for i, e := range b.m.Equations {
		if !b.used[i] && !e.Loose {
			b.rows = append(b.rows, b.row(i, false))
		}
	}
	for _, z := range b.aux {
		b.rows = append(b.rows, b.directionRows(z)...)
	}
	for i := range b.tied {
		b.rows = append(b.rows, opRows(&b.tied[i])...)
	}
}

// row puts equation i into a Row. A slide on a line whose direction needs a root becomes a chord, unless normal asks for
// the direction.
func (b *builder) row(i int, normal bool) Row {
	e := b.m.Equations[i]
	r := noRow
	r.Stmt, r.Equation, r.V, r.P, r.Q = e.Stmt, i, e.V, Place(e.P), Place(e.Q)
	switch e.Kind {
	case Length:
		r.Kind = RowLength
	case Heading:
		r.Kind = RowHeading
	case Angle:
		r.Kind, r.R = RowAngle, Place(e.R)
	case OnArc:
		a := b.m.Arcs[e.On]
		r.Kind, r.Q, r.V = RowLength, Place(a.Centre), a.Radius
	case OnLine:
		l := b.m.Lines[e.On]
		d := b.s.Line[e.On]
		r.Kind, r.Q, r.D, r.V = RowLine, Place(l.P), d, expr.None
		if k := b.s.OpAt[d].Kind; !normal && l.Q >= 0 && (k == OpNorm || k == OpFree) && b.s.Moves(d) {
			r.Kind, r.R, r.D = RowChord, Place(l.Q), Nowhere
		}
	}
	return r
}

// looseRows lists the rows of loose lengths.
func (b *builder) looseRows() (rows []Row) {
	for i, e := range b.m.Equations {
		if e.Loose {
			r := b.row(i, false)
			r.Kind, r.Play = RowLoose, e.Play
			rows = append(rows, r)
		}
	}
	return rows
}

// directionRows are the conditions that direction z runs along its part or line, and has length 1.
func (b *builder) directionRows(z Place) []Row {
	for i, p := range b.m.Parts {
		if b.s.Part[i] == z && p.Kind == FromTo {
			return aimRows(z, p.P, p.Q, p.Heading, p.Stmt)
		}
	}
	for i, l := range b.m.Lines {
		if b.s.Line[i] == z {
			return aimRows(z, l.P, l.Q, expr.None, l.Stmt)
		}
	}
	return nil
}

// aimRows returns the rows by which the direction z goes with the points p and q: the line from p to q has the angle own, rad,
// in the axes of z.
func aimRows(z Place, p, q int, own expr.ID, stmt int) []Row {
	aim, unit := noRow, noRow
	aim.Kind, aim.D, aim.P, aim.Q, aim.V, aim.Stmt = RowAim, z, Place(p), Place(q), own, stmt
	unit.Kind, unit.D, unit.Stmt = RowUnit, z, stmt
	return []Row{aim, unit}
}

// opRows are the conditions that a place is where op puts it.
func opRows(op *Op) []Row {
	x := noRow
	x.Kind, x.Op, x.P, x.Stmt = RowX, op, op.Z, op.Stmt
	y := x
	y.Kind = RowY
	return []Row{x, y}
}

// wholeRows lists every row of the sketch except the loose ones.
func (b *builder) wholeRows() []Row {
	var rows []Row
	m, s := b.m, b.s
	for i, p := range m.Points {
		if p.Kind != Found {
			op := b.pointOp(i)
			rows = append(rows, opRows(&op)...)
		}
	}
	heading := func(z Place, heading expr.ID, stmt int) {
		op := headingOp(z, heading, stmt)
		rows = append(rows, opRows(&op)...)
	}
	for i, l := range m.Lines {
		if l.Q < 0 {
			heading(s.Line[i], l.Heading, l.Stmt)
		} else {
			rows = append(rows, aimRows(s.Line[i], l.P, l.Q, expr.None, l.Stmt)...)
		}
	}
	for i, p := range m.Parts {
		switch p.Kind {
		case FromTo:
			rows = append(rows, aimRows(s.Part[i], p.P, p.Q, p.Heading, p.Stmt)...)
		case AtHeading:
			heading(s.Part[i], p.Heading, p.Stmt)
		}
	}
	for i, e := range m.Equations {
		if !e.Loose {
			rows = append(rows, b.row(i, true))
		}
	}
	return rows
}

// pointOp is the op of the statement of a driven point, or of one on a part.
func (b *builder) pointOp(i int) Op {
	p := b.m.Points[i]
	op := none
	op.Kind, op.Z, op.P, op.A, op.B, op.Stmt = OpAt, Place(i), b.s.Ground, p.U, p.V, p.Stmt
	if p.Kind == OnPart && b.m.Parts[p.Part].Kind != Frame {
		op.Kind, op.P, op.D = OpRigid, b.origin(p.Part), b.s.Part[p.Part]
	}
	return op
}

// headingOp makes a direction at a heading that is given.
func headingOp(z Place, heading expr.ID, stmt int) Op {
	op := none
	op.Kind, op.Z, op.A, op.Stmt = OpHeading, z, heading, stmt
	return op
}
