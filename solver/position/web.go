package position

import (
	"slices"

	"barover/solver/expr"
	"barover/solver/schedule"
)

// Web says of each moving place of a program what makes it and what it is made from, so that the dependences of a few
// places can be found without looking at all others.
type Web struct {
	Knots []knot
	Of    []int32           // of each place of the Schedule, the knot that makes it; -1 where it does not move
	Turn  []int32           // of each place beyond those, the move that makes it; -1 for none
	coefs map[expr.ID]int32 // of each driven coefficient, its place in program.driven, and so in program.all
	tapes []driven          // of each of them
}

// knot is a block of the Schedule, or one op outside blocks.
type knot struct {
	step   *schedule.Step // the block
	op     *schedule.Op   // the op; nil for a block
	from   []int32
	moves  []int32 // of program.moves
	rest   []int32 // of program.rest
	coefs  []int32 // of program.driven
	checks []int32 // of program.checks: those that need nothing later
}

// driven is where a driven coefficient is computed: in which of program.tapes, and in which place of it.
type driven struct{ tape, in int32 }

// NewWeb ties the places of a program.
func NewWeb(s *schedule.Schedule, p *Program) *Web {
	w := &Web{Of: slices.Repeat([]int32{-1}, s.Places), Turn: slices.Repeat([]int32{-1}, len(p.fixed)-s.Places), coefs: make(map[expr.ID]int32),
		tapes: make([]driven, len(p.Driven))}
	w.drive(p)
	w.tie(s, p)
	w.moveAll(s, p)
	for i := range p.checks {
		w.check(p, int32(i))
	}
	for i := range w.Knots {
		k := &w.Knots[i]
		for _, list := range []*[]int32{&k.from, &k.moves, &k.coefs} {
			slices.Sort(*list)
			*list = slices.Compact(*list)
		}
	}
	return w
}

// drive finds where each driven coefficient is computed.
func (w *Web) drive(p *Program) {
	for i, id := range p.Driven {
		w.coefs[id] = int32(i)
	}
	for t := range p.tapes {
		for i, id := range p.tapes[t].Sums() {
			w.tapes[w.coefs[id]] = driven{int32(t), int32(i)}
		}
	}
}

// tie makes the knots, in the order of the Schedule, and ties each to its operands.
func (w *Web) tie(s *schedule.Schedule, p *Program) {
	moves := movingPlaces(s, p)
	for i := range s.Steps {
		step := &s.Steps[i]
		if len(step.Scalars) == 0 {
			for j := range step.Ops {
				if op := &step.Ops[j]; moves[op.Z] {
					w.Of[op.Z] = int32(len(w.Knots))
					w.Knots = append(w.Knots, knot{op: op})
					w.fromOp(op)
				}
			}
			continue
		}
		w.Knots = append(w.Knots, knot{step: step})
		for j := range step.Ops {
			w.Of[step.Ops[j].Z] = int32(len(w.Knots) - 1)
		}
		for j := range step.Ops {
			w.fromOp(&step.Ops[j])
		}
		for _, rows := range [2][]schedule.Row{step.Rows, step.Loose} {
			for j := range rows {
				w.fromRow(&rows[j])
			}
		}
	}
}

// movingPlaces says which places a program makes at every position.
func movingPlaces(s *schedule.Schedule, p *Program) []bool {
	moving := make([]bool, len(p.fixed))
	mark := func(moves []move) {
		for i := range moves {
			if moves[i].kind != moveBlock {
				moving[moves[i].z] = true
			}
		}
	}
	mark(p.moves)
	mark(p.rest)
	for i := range p.Blocks {
		mark(p.Blocks[i].moves)
	}
	return moving[:s.Places]
}

// fromOp ties the last knot to the operands of an op.
func (w *Web) fromOp(op *schedule.Op) {
	w.fromPlaces(op.P, op.Q, op.D)
	w.fromCoefs(op.A, op.B, op.C)
}

func (w *Web) fromRow(r *schedule.Row) {
	for _, z := range r.Places() {
		w.fromPlaces(z)
	}
	w.fromCoefs(r.V, r.Play)
	if r.Op != nil {
		w.fromCoefs(r.Op.A, r.Op.B, r.Op.C)
	}
}

func (w *Web) fromPlaces(places ...schedule.Place) {
	last := int32(len(w.Knots) - 1)
	k := &w.Knots[last]
	for _, z := range places {
		if z != schedule.Nowhere && w.Of[z] >= 0 && w.Of[z] != last {
			k.from = append(k.from, w.Of[z])
		}
	}
}

func (w *Web) fromCoefs(ids ...expr.ID) { w.Knots[len(w.Knots)-1].drivenBy(w, ids...) }

func (k *knot) drivenBy(w *Web, ids ...expr.ID) {
	for _, id := range ids {
		if i, ok := w.coefs[id]; ok {
			k.coefs = append(k.coefs, i)
		}
	}
}

// moveAll gives each knot its moves.
func (w *Web) moveAll(s *schedule.Schedule, p *Program) {
	block := make([]int32, len(p.Blocks))
	for i := range w.Knots {
		if w.Knots[i].op == nil {
			block[w.Knots[i].step.Block] = int32(i)
		}
	}
	for i := range p.moves {
		m := &p.moves[i]
		if m.kind == moveCrank || m.kind == moveTurn {
			made := m.z
			if m.kind == moveCrank {
				made = m.b
			}
			w.Turn[int(made)-s.Places] = int32(i)
		}
	}
	for i := range p.moves {
		switch m := &p.moves[i]; m.kind {
		case moveTurn: // belongs to the knot that reads it
		case moveBlock:
			k := &w.Knots[block[m.s]]
			k.moves = append(k.moves, int32(i))
			for j := range p.Blocks[m.s].moves {
				w.turned(p, k, &p.Blocks[m.s].moves[j])
			}
		default:
			k := &w.Knots[w.Of[m.z]]
			k.moves = append(k.moves, int32(i))
			w.turned(p, k, m)
		}
	}
	for i := range p.rest {
		k := &w.Knots[w.Of[p.rest[i].z]]
		k.rest = append(k.rest, int32(i))
		w.turned(p, k, &p.rest[i])
	}
}

// turned gives a knot the moves that make the directions of headings that one of its moves reads.
func (w *Web) turned(p *Program, k *knot, m *move) {
	if m.kind == moveOp || m.kind == moveSlide || m.kind == moveFree {
		return
	}
	w.reads(p, k, m.a, m.b)
	if m.kind == moveCrank {
		k.drivenBy(w, expr.ID(m.s))
	}
}

// reads gives a knot the moves that make the directions of headings among places.
func (w *Web) reads(p *Program, k *knot, places ...int32) {
	for _, z := range places {
		if i := int(z) - len(w.Of); i >= 0 && w.Turn[i] >= 0 {
			k.moves = append(k.moves, w.Turn[i])
			k.drivenBy(w, expr.ID(p.moves[w.Turn[i]].s))
		}
	}
}

// check gives a check to the last knot that it needs.
func (w *Web) check(p *Program, i int32) {
	c := &p.checks[i]
	last := int32(-1)
	for _, z := range c.row.Places() {
		if z != schedule.Nowhere {
			last = max(last, w.Of[z])
		}
	}
	if last < 0 {
		return
	}
	k := &w.Knots[last]
	k.checks = append(k.checks, i)
	k.drivenBy(w, c.row.V)
	if c.row.Op != nil {
		k.drivenBy(w, c.row.Op.A, c.row.Op.B, c.row.Op.C)
	}
	if c.kind != checkRow {
		w.reads(p, k, c.a, c.b, c.c)
	}
}
