package schedule

// This file gives unknown scalars to places that cannot be eliminated.

// maxRank is the highest rank that raise distinguishes: a point tied by two equations to made places is a dyad, and none
// is better.
const maxRank = 2

// raise notes that a place of equation e has been made.
func (b *builder) raise(e Equation) {
	for _, p := range [3]int{e.P, e.Q, e.R} {
		if p >= 0 && p < len(b.rank) && b.wanted(p) && b.mentionsPoint(e, p) && b.rank[p] < maxRank {
			b.rank[p]++
			r := b.rank[p]
			b.ranks[r] = append(b.ranks[r], p)
		}
	}
}

// mentionsPoint guards against fields of an equation that its kind does not use.
func (b *builder) mentionsPoint(e Equation, p int) bool {
	switch e.Kind {
	case Angle:
		return e.P == p || e.Q == p || e.R == p
	case OnLine, OnArc:
		return e.P == p
	}
	return e.P == p || e.Q == p
}

// slideOrFree gives the remaining Found points their unknowns: one along a known line where there is one, else two.
func (b *builder) slideOrFree() {
	for i := range b.m.Equations {
		if b.slide(i) {
			b.settle()
		}
	}
	for i := range b.m.Points {
		b.ranks[0] = append(b.ranks[0], i)
	}
	for {
		p := b.next()
		if p < 0 {
			return
		}
		b.free(Place(p), false)
		b.settle()
		for _, t := range b.touch[p] {
			if int(t) < len(b.m.Equations) && b.slide(int(t)) {
				b.settle()
			}
		}
	}
}

// next takes the Found point without a place that is tied to most made places, or -1.
func (b *builder) next() int {
	for r := maxRank; r >= 0; r-- {
		for len(b.ranks[r]) > 0 {
			p := b.ranks[r][0]
			b.ranks[r] = b.ranks[r][1:]
			if b.wanted(p) {
				return p
			}
		}
	}
	return -1
}

// free makes a place of two unknowns.
func (b *builder) free(z Place, direction bool) {
	op := none
	op.Kind, op.Z, op.S = OpFree, z, len(b.s.Scalars)
	b.s.Scalars = append(b.s.Scalars, Scalar{ScalarX, z, direction}, Scalar{ScalarY, z, direction})
	b.make(op)
}

// slide uses equation i, a slide on a line or a heading without a length, to place its point by one unknown.
func (b *builder) slide(i int) bool {
	e := b.m.Equations[i]
	if b.used[i] || e.Loose {
		return false
	}
	op := none
	op.Kind, op.Stmt = OpSlide, e.Stmt
	switch e.Kind {
	case OnLine:
		op.Z, op.P, op.D = Place(e.P), Place(b.m.Lines[e.On].P), b.s.Line[e.On]
		if !b.wanted(e.P) || !b.made(op.P) || !b.made(op.D) || b.s.Moves(op.D) {
			return false
		}
	case Heading:
		op.Ahead = true
		switch {
		case b.wanted(e.Q) && b.made(Place(e.P)):
			op.Z, op.P = Place(e.Q), Place(e.P)
		case b.wanted(e.P) && b.made(Place(e.Q)):
			op.Z, op.P, op.Back = Place(e.P), Place(e.Q), true
		default:
			return false
		}
		op.D = b.auxHeading(e, op.Back)
		op.Back = false
	default:
		return false
	}
	b.meet(op.Z, i)
	op.S = len(b.s.Scalars)
	b.s.Scalars = append(b.s.Scalars, Scalar{ScalarAlong, op.Z, false})
	b.make(op)
	return true
}

// auxHeading makes a direction that no part or line has.
func (b *builder) auxHeading(e Equation, back bool) Place {
	op := none
	op.Kind, op.Z, op.A, op.Back, op.Stmt = OpHeading, b.s.newPlace(), e.V, back, e.Stmt
	b.s.OpAt = append(b.s.OpAt, none)
	b.s.Met = append(b.s.Met, nil)
	b.touch = append(b.touch, nil)
	b.make(op)
	return op.Z
}

// freeDirections breaks circles: parts that hold one another's ends. Their directions, or if that is not enough their
// points, become unknowns, with rows for the conditions of the part.
func (b *builder) freeDirections() {
	for i, p := range b.m.Parts {
		if p.Kind == FromTo && !b.made(b.s.Part[i]) {
			b.free(b.s.Part[i], true)
			b.aux = append(b.aux, b.s.Part[i])
			b.settle()
		}
	}
	for i, p := range b.m.Points {
		if p.Kind == OnPart && !b.made(Place(i)) {
			op := b.pointOp(i)
			b.tied = append(b.tied, op)
			b.free(op.Z, false)
			b.settle()
		}
	}
}

// freeNorms looks for an OpNorm that a block needs while it is solved, and makes its direction unknown instead, so that
// rows stay of degree two. It reports whether there was one.
func (b *builder) freeNorms() bool {
	found := false
	for _, step := range b.s.Steps {
		for _, op := range step.Ops {
			if op.Kind != OpNorm || len(step.Scalars) == 0 {
				continue
			}
			found = true
			f := none
			f.Kind, f.Z, f.S = OpFree, op.Z, len(b.s.Scalars)
			b.s.Scalars = append(b.s.Scalars, Scalar{ScalarX, op.Z, true}, Scalar{ScalarY, op.Z, true})
			b.s.OpAt[op.Z] = f
			b.aux = append(b.aux, op.Z)
		}
	}
	if found {
		for _, z := range b.order {
			b.s.spread(z)
		}
	}
	return found
}
