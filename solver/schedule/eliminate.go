package schedule

import "barover/solver/expr"

// This file has the rules for making a place without an unknown.

func (b *builder) tryPoint(i int) {
	op := b.pointOp(i)
	if b.made(op.Z) || op.Kind == OpRigid && !(b.made(op.P) && b.made(op.D)) {
		return
	}
	b.make(op)
}

func (b *builder) tryLine(i int) {
	l := b.m.Lines[i]
	if l.Q < 0 {
		b.tryHeading(b.s.Line[i], l.Heading, l.Stmt)
		return
	}
	b.tryDirection(b.s.Line[i], l.P, l.Q, expr.None, l.Stmt)
}

func (b *builder) tryPart(i int) {
	p := b.m.Parts[i]
	switch p.Kind {
	case FromTo:
		b.tryDirection(b.s.Part[i], p.P, p.Q, p.Heading, p.Stmt)
	case AtHeading:
		b.tryHeading(b.s.Part[i], p.Heading, p.Stmt)
	case Frame:
		b.tryHeading(b.s.Part[i], expr.None, p.Stmt)
	}
}

// tryHeading makes the direction z at a heading that is given.
func (b *builder) tryHeading(z Place, heading expr.ID, stmt int) {
	if !b.made(z) {
		b.make(headingOp(z, heading, stmt))
	}
}

// tryDirection makes the direction z of something that runs from p to q and is at own in its own axes.
func (b *builder) tryDirection(z Place, p, q int, own expr.ID, stmt int) {
	if b.made(z) {
		return
	}
	op := none
	op.Z, op.B, op.Stmt = z, own, stmt
	if e, ok := b.heading[pair{p, q}]; ok {
		op.Kind, op.A = OpHeading, b.m.Equations[e].V
	} else if e, ok := b.heading[pair{q, p}]; ok {
		op.Kind, op.A, op.Back = OpHeading, b.m.Equations[e].V, true
	} else if !b.made(Place(p)) || !b.made(Place(q)) {
		return
	} else {
		op.Kind, op.P, op.Q = OpNorm, Place(p), Place(q)
		if e, ok := b.length[pair{p, q}]; ok {
			op.Kind, op.A = OpAim, b.m.Equations[e].V
		}
	}
	b.make(op)
}

func (b *builder) tryEquation(i int) {
	if b.used[i] {
		return
	}
	switch e := b.m.Equations[i]; e.Kind {
	case Length, Heading:
		b.tryPolar(e.P, e.Q)
		b.tryPolar(e.Q, e.P)
	case Angle:
		b.trySpun(i, e.P, e.R, false)
		b.trySpun(i, e.R, e.P, true)
	}
}

// wanted reports whether point i is a Found point without a place yet.
func (b *builder) wanted(i int) bool {
	return b.m.Points[i].Kind == Found && !b.made(Place(i))
}

// tryPolar places q from p where their distance and heading are given.
func (b *builder) tryPolar(p, q int) {
	if !b.made(Place(p)) || !b.wanted(q) {
		return
	}
	l, ok := b.length[pair{p, q}]
	if !ok {
		return
	}
	h, ok := b.heading[pair{p, q}]
	back := !ok
	if back {
		if h, ok = b.heading[pair{q, p}]; !ok {
			return
		}
	}
	op := none
	op.Kind, op.Z, op.P, op.Back = OpPolar, Place(q), Place(p), back
	op.A, op.B, op.Stmt = b.m.Equations[l].V, b.m.Equations[h].V, b.m.Equations[h].Stmt
	b.meet(op.Z, l, h)
	b.make(op)
}

// trySpun places r from p where an angle at q and both lengths there are given.
func (b *builder) trySpun(i, p, r int, back bool) {
	e := b.m.Equations[i]
	if !b.made(Place(p)) || !b.made(Place(e.Q)) || !b.wanted(r) {
		return
	}
	l1, ok1 := b.length[pair{p, e.Q}]
	l2, ok2 := b.length[pair{e.Q, r}]
	if !ok1 || !ok2 {
		return
	}
	op := none
	op.Kind, op.Z, op.P, op.Q, op.Back = OpSpun, Place(r), Place(p), Place(e.Q), back
	op.A, op.B, op.C, op.Stmt = b.m.Equations[l1].V, b.m.Equations[l2].V, e.V, e.Stmt
	b.meet(op.Z, i, l2)
	b.make(op)
}
