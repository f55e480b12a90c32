package position

import (
	"slices"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// programmer turns a Schedule into a program.
type programmer struct {
	s      *schedule.Schedule
	v      *expr.Values
	p      *Program
	scale  Scale
	still  []bool            // of each place: it does not move at all
	wanted []bool            // of each place: a point, block or re-check needs it
	turns  map[expr.ID]int32 // place of e^{iV}, of each driven heading V
	unit   int32             // the place that is 1
	driven []move            // the directions of driven headings
}

// NewProgram puts the dimensions of v into the Schedule, which must have Steps. The coefficients must depend on
// dimensions, turn and travels alone.
func NewProgram(s *schedule.Schedule, v *expr.Values, scale Scale) *Program {
	p := &Program{coef: append(schedule.Coefs(nil), v.Node...), fixed: make([]plane.Vec, s.Places+1), Size: make([]float64, len(s.Scalars))}
	b := &programmer{s: s, v: v, p: p, scale: scale, turns: make(map[expr.ID]int32), unit: int32(s.Places)}
	b.still, b.wanted = make([]bool, s.Places+1), make([]bool, s.Places+1)
	p.fixed[b.unit], p.fixed[s.Ground] = schedule.One, scale.Origin.Scale(-1)
	b.still[s.Ground] = true
	b.findStill()
	for i := range s.Steps {
		if len(s.Steps[i].Scalars) > 0 {
			blk := b.newBlock(&s.Steps[i])
			for _, c := range blk.Scalars {
				p.Size[c] = blk.Size
			}
			p.Blocks = append(p.Blocks, blk)
			p.Square = append(p.Square, squared(&s.Steps[i]))
		}
	}
	b.findWanted()
	b.moveAll()
	for i := range s.Whole {
		b.check(&s.Whole[i])
	}
	p.moves = merged(append(b.driven, p.moves...)) // those driven before everything that is made from them
	b.tapes()
	return p
}

// tapes divides the driven coefficients: at each turn only those that the turn moves are computed again.
func (b *programmer) tapes() {
	var parts [2][]expr.ID
	for _, id := range b.p.Driven {
		k := 1
		if b.v.Graph.Uses(id)&expr.UsesTurn != 0 {
			k = 0
		}
		parts[k] = append(parts[k], id)
	}
	for k, ids := range parts {
		b.p.tapes[k] = expr.NewTape(b.v, ids, b.s.Model.Travels)
	}
	b.p.all = expr.NewTape(b.v, b.p.Driven, b.s.Model.Travels)
}

// constant reports whether a coefficient is constant.
func (b *programmer) constant(ids ...expr.ID) bool {
	return !slices.ContainsFunc(ids, func(id expr.ID) bool { return id != expr.None && !b.v.Graph.Uses(id).Constant() })
}

// findStill computes the places that do not move, and lists the coefficients that do.
func (b *programmer) findStill() {
	seen := make(map[expr.ID]bool)
	drive := func(ids ...expr.ID) {
		for _, id := range ids {
			if !b.constant(id) && !seen[id] {
				seen[id] = true
				if b.v.Graph.Nodes[id].Op == expr.Turn {
					b.p.turns = append(b.p.turns, id)
				} else {
					b.p.Driven = append(b.p.Driven, id)
				}
			}
		}
	}
	for _, step := range b.s.Steps {
		for i := range step.Ops {
			op := &step.Ops[i]
			drive(op.A, op.B, op.C)
			if b.s.Moves(op.Z) || !b.constant(op.A, op.B, op.C) {
				continue
			}
			still := true
			for _, p := range [3]schedule.Place{op.P, op.Q, op.D} {
				still = still && (p == schedule.Nowhere || b.still[p])
			}
			if still {
				b.still[op.Z] = true
				b.p.fixed[op.Z] = op.Value(b.p.coef, b.p.fixed, nil)
			}
		}
		for _, rows := range [2][]schedule.Row{step.Rows, step.Loose} {
			for _, r := range rows {
				drive(r.V, r.Play)
			}
		}
	}
	for _, r := range b.s.Whole {
		drive(r.V)
	}
}

// folded returns the op of the direction from the part's origin, where op fixes a point on a part of constant length: the
// point then follows from the part's two ends without its direction.
func (b *programmer) folded(op *schedule.Op) (aim *schedule.Op, ok bool) {
	if op.Kind != schedule.OpRigid {
		return nil, false
	}
	aim = &b.s.OpAt[op.D]
	return aim, aim.Kind == schedule.OpAim && aim.P == op.P && b.constant(op.A, op.B, aim.A, aim.B)
}

// findWanted marks the places that are needed in the turn: all points, and the operands of points and rows.
func (b *programmer) findWanted() {
	for _, z := range b.s.Point {
		b.wanted[z] = true
	}
	for i := range b.s.Whole {
		r := &b.s.Whole[i]
		if r.Kind == schedule.RowLine {
			b.wanted[r.D] = true
		}
	}
	for k := range b.p.Blocks {
		blk := &b.p.Blocks[k]
		for _, rows := range [2][]schedule.Row{blk.Step.Rows, blk.Step.Loose} {
			for i := range rows {
				for _, z := range rows[i].Places() {
					b.want(z)
				}
			}
		}
	}
	for i := len(b.s.Steps) - 1; i >= 0; i-- {
		ops := b.s.Steps[i].Ops
		for j := len(ops) - 1; j >= 0; j-- {
			op := &ops[j]
			if !b.wanted[op.Z] || b.still[op.Z] {
				continue
			}
			if aim, ok := b.folded(op); ok {
				b.want(aim.P)
				b.want(aim.Q)
				continue
			}
			b.want(op.P)
			b.want(op.Q)
			b.want(op.D)
		}
	}
}

func (b *programmer) want(z schedule.Place) {
	if z != schedule.Nowhere {
		b.wanted[z] = true
	}
}

// moveAll makes moves of the Steps. A block is one of them, and has moves of its own.
func (b *programmer) moveAll() {
	for i := range b.s.Steps {
		step := &b.s.Steps[i]
		if len(step.Scalars) == 0 {
			b.p.moves = b.moves(b.p.moves, step.Ops)
			continue
		}
		blk := &b.p.Blocks[step.Block]
		blk.moves = b.moves(nil, step.Ops)
		blk.findSlider()
		b.p.moves = append(b.p.moves, move{kind: moveBlock, s: int32(step.Block)})
	}
}

// moves appends the moves of ops that are needed in the turn, and puts the others aside.
func (b *programmer) moves(list []move, ops []schedule.Op) []move {
	for i := range ops {
		switch op := &ops[i]; {
		case b.still[op.Z]:
		case b.wanted[op.Z]:
			list = append(list, b.move(op))
		default:
			b.p.rest = append(b.p.rest, b.move(op))
		}
	}
	return list
}

// move makes the fastest move for an op.
func (b *programmer) move(op *schedule.Op) move {
	c := b.p.coef
	m := move{kind: moveOp, z: int32(op.Z), a: int32(op.P), b: int32(op.D)}
	if aim, ok := b.folded(op); ok {
		m.kind, m.b = moveLerp, int32(aim.Q)
		m.k = plane.Vec{X: c.At(op.A), Y: c.At(op.B)}.Times(plane.Polar(-c.At(aim.B))).Scale(1 / c.At(aim.A))
		return m
	}
	switch {
	case op.Kind == schedule.OpHeading && b.constant(op.B):
		m.kind, m.b, m.k = moveScale, b.turn(op.A), plane.Polar(-c.At(op.B)).Scale(schedule.Signed(1, op.Back))
	case op.Kind == schedule.OpPolar && b.constant(op.A):
		m.kind, m.b, m.k = moveMul, b.turn(op.B), plane.Vec{X: schedule.Signed(c.At(op.A), op.Back)}
	case op.Kind == schedule.OpRigid && b.constant(op.A, op.B):
		m.kind, m.k = moveMul, plane.Vec{X: c.At(op.A), Y: c.At(op.B)}
	case op.Kind == schedule.OpRigid && op.A != expr.None && op.B != expr.None:
		m.kind, m.s, m.t = moveMulBy, int32(op.A), int32(op.B)
	case op.Kind == schedule.OpAim && b.constant(op.A, op.B):
		m.kind, m.b, m.k = moveAim, int32(op.Q), plane.Polar(-c.At(op.B)).Scale(1/c.At(op.A))
	case op.Kind == schedule.OpSpun && b.constant(op.A, op.B, op.C):
		m.kind, m.a, m.b = moveLerp, int32(op.Q), int32(op.P)
		m.k = plane.Polar(schedule.Signed(c.At(op.C), op.Back)).Scale(c.At(op.B) / c.At(op.A))
	case op.Kind == schedule.OpSlide:
		m.kind, m.s = moveSlide, int32(op.S)
	case op.Kind == schedule.OpFree:
		m.kind, m.s = moveFree, int32(op.S)
	default:
		m.s = int32(len(b.p.ops))
		b.p.ops = append(b.p.ops, *op)
	}
	return m
}

// merged makes one move of a heading and the arm that it turns where one follows the other, as in most engines.
func merged(moves []move) []move {
	for i := 0; i+1 < len(moves); i++ {
		t, m := &moves[i], &moves[i+1]
		if t.kind == moveTurn && m.kind == moveMul && m.b == t.z && m.k.Y == 0 {
			m.kind, m.s = moveCrank, t.s
			return append(moves[:i:i], moves[i+1:]...)
		}
	}
	return moves
}

// turn returns the place of e^{iV}; a constant heading has a place too.
func (b *programmer) turn(v expr.ID) int32 {
	if v == expr.None {
		return b.unit
	}
	if z, ok := b.turns[v]; ok {
		return z
	}
	z := int32(len(b.p.fixed))
	b.p.fixed = append(b.p.fixed, plane.Vec{})
	b.turns[v] = z
	if b.constant(v) {
		b.p.fixed[z] = plane.Polar(b.p.coef.At(v))
	} else {
		b.driven = append(b.driven, move{kind: moveTurn, z: z, s: int32(v)})
	}
	return z
}
