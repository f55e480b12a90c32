package tube

import (
	"slices"

	"barover/solver/expr"
	"barover/solver/schedule"
	"barover/solver/taylor"
)

// Absence proves that a linkage has no position over a stretch of the turn. Unlike a Plan it holds every block, whether asked
// about or not, and follows no motion: each block is solved by a closed form whose figures are enclosed over a box. A block of
// one unknown is a quadratic. A block of one free point or direction is the crossing of two circles, or of a circle and a line:
// there every row is k·|z|² + a·x + b·y + c. Either has a discriminant, and no solution where that is below zero. Where it may
// be zero or above, its root encloses both ways, also beside a dead centre.
//
// Where a motion ends on a dead centre the discriminant is zero. About there it is proved to fall in the direction in which the
// motion ends: then it is below zero behind.
type Absence struct {
	tape   *taylor.Tape
	turn   slot
	steps  []barred
	scalar []slot // of each scalar of the Schedule; none where its step cannot be enclosed
	centre bool   // the centre of a box counts for all of it: only in a test
}

// barred is a step of the Schedule as stretches of the tape: up to choice what does not depend on the way of assembly, then,
// once for each way, the unknowns, and from made on what they make. From end on is the slope of the discriminant by the turn, from
// rates on those of the unknowns. Only the proof about a dead centre needs them.
type barred struct {
	a, choice, made, end, rates, last slot

	scalars  []int
	base     []slot // values of the scalars about which the closed form is taken: inputs
	fall     slot   // slope of disc by the turn, per rad
	disc     slot   // below zero where there is no solution; none where there is always one
	way      slot   // an input, 1 or -1
	solved   []slot // of each scalar, by the closed form; it is copied to the scalar's own slot, an input
	positive []slot // what must stay above zero
}

// NewAbsence puts a Schedule on a tape. Steps without a closed form, those that cannot be enclosed, and all that follows from
// them, are left out. They bar nothing.
func NewAbsence(s *schedule.Schedule, v *expr.Values) *Absence {
	w := newWriter(s, v, nil)
	a := &Absence{turn: w.Param(0)}
	speed := map[slot]slot{a.turn: w.Number(1)}
	for i := range s.Steps {
		for _, part := range single(&s.Steps[i]) {
			from := w.Mark()
			if !isClosed(&part) || !w.stands(&part) {
				w.forget(from)
				continue
			}
			t := w.barred(&part)
			t.a = from
			w.rates(&t, speed)
			a.steps = append(a.steps, t)
		}
	}
	a.tape, a.scalar = &w.Tape, w.plan.scalar
	return a
}

// barred puts one step on the tape.
func (w *writer) barred(s *schedule.Step) barred {
	t := barred{scalars: s.Scalars, disc: none, way: none}
	for _, k := range s.Scalars {
		w.plan.scalar[k] = w.Input()
		t.base = append(t.base, w.plan.scalar[k])
	}
	switch {
	case len(s.Scalars) == 0:
		t.choice = w.Mark()
	case len(s.Scalars) == 1:
		w.quadratic(s, &t)
	default:
		w.crossing(s, &t)
	}
	t.made = w.Mark()
	for _, k := range s.Scalars { // copied, so that no slope is taken through the closed form
		w.plan.scalar[k] = w.Input()
	}
	w.made(s)
	t.positive = w.asks(s)
	t.end = w.Mark()
	return t
}

// rates puts the slopes of a step on the tape, and adds those of its scalars to the speeds.
func (w *writer) rates(t *barred, speed map[slot]slot) {
	if t.disc != none {
		t.fall = w.Total([]slot{t.disc}, speed)[0]
	}
	t.rates = w.Mark()
	for j, v := range w.Total(t.solved, speed) {
		speed[w.plan.scalar[t.scalars[j]]] = v
	}
	t.last = w.Mark()
	w.Abandon(t.end)
}

// isClosed reports whether a step has a closed form: it has one scalar at most, or two that are those of one free point or
// direction. All places of the step are then complex-linear in that.
func isClosed(s *schedule.Step) bool {
	return len(s.Scalars) < 2 || len(s.Scalars) == 2 &&
		slices.ContainsFunc(s.Ops, func(o schedule.Op) bool { return o.Kind == schedule.OpFree && o.S == s.Scalars[0] })
}

// made puts the places of a step on the tape, from the present slots of its scalars.
func (w *writer) made(s *schedule.Step) {
	for i := range s.Ops {
		w.plan.place[s.Ops[i].Z] = schedule.MadeBy[slot, pair](w, &s.Ops[i])
	}
}

// row returns the value of a row of the step at the present slots of its scalars.
func (w *writer) row(s *schedule.Step, i int) slot {
	return schedule.AskedBy[slot, pair](w, &s.Rows[i])
}

// quadratic solves the row of a block of one scalar: half·u²/2 + b·u + c is zero, u from the base on.
func (w *writer) quadratic(s *schedule.Step, t *barred) {
	w.made(s)
	c, x := w.row(s, 0), t.base[0]
	b := w.Slope(c, x)
	half := w.Slope(b, x)
	if v, ok := w.Value(half); ok && v == 0 {
		t.choice = w.Mark()
		t.solved = []slot{w.Sub(x, w.Div(c, b))}
		return
	}
	t.disc = w.Sub(w.Mul(b, b), w.Mul(w.Number(2), w.Mul(half, c)))
	t.choice = w.Mark()
	t.way = w.Input()
	root := w.Mul(t.way, w.Sqrt(t.disc))
	t.solved = []slot{w.Add(x, w.Div(w.Sub(root, b), half))}
}

// circle is a row of one free point, k·(x² + y²) + a·x + b·y + c; straight means that k is zero.
type circle struct {
	k, a, b, c slot
	straight   bool
}

func (w *writer) circle(s *schedule.Step, i int, t *barred) (c circle) {
	c.c = w.row(s, i)
	c.a, c.b = w.Slope(c.c, t.base[0]), w.Slope(c.c, t.base[1])
	c.k = w.Mul(w.Number(0.5), w.Slope(c.a, t.base[0]))
	v, ok := w.Value(c.k)
	c.straight = ok && v == 0
	return c
}

// crossing solves the two rows of a block of one free point or direction, from the base on.
func (w *writer) crossing(s *schedule.Step, t *barred) {
	w.made(s)
	p, q := w.circle(s, 0, t), w.circle(s, 1, t)
	if p.straight {
		p, q = q, p
	}
	put := func(x, y slot) { t.solved = []slot{w.Add(t.base[0], x), w.Add(t.base[1], y)} }
	if p.straight {
		t.choice = w.Mark()
		det := w.Sub(w.Mul(p.a, q.b), w.Mul(p.b, q.a))
		put(w.Div(w.Sub(w.Mul(p.b, q.c), w.Mul(p.c, q.b)), det), w.Div(w.Sub(w.Mul(p.c, q.a), w.Mul(p.a, q.c)), det))
		return
	}
	n, c := pair{q.a, q.b}, q.c // the line on which both are met
	if !q.straight {
		less := func(q, p0, k slot) slot { return w.Sub(w.Mul(p.k, q), w.Mul(k, p0)) }
		n, c = pair{less(q.a, p.a, q.k), less(q.b, p.b, q.k)}, less(q.c, p.c, q.k)
	}
	twice := w.Mul(w.Number(-2), p.k)
	mid := pair{w.Div(p.a, twice), w.Div(p.b, twice)}
	dot := func(a, b pair) slot { return w.Add(w.Mul(a.x, b.x), w.Mul(a.y, b.y)) }
	off, nn := w.Add(dot(n, mid), c), dot(n, n)
	t.disc = w.Sub(w.Mul(w.Sub(dot(mid, mid), w.Div(p.c, p.k)), nn), w.Mul(off, off))
	t.choice = w.Mark()
	t.way = w.Input()
	root := w.Mul(t.way, w.Sqrt(t.disc))
	put(w.Add(mid.x, w.Div(w.Sub(w.Neg(w.Mul(n.x, off)), w.Mul(n.y, root)), nn)),
		w.Add(mid.y, w.Div(w.Sub(w.Mul(n.x, root), w.Mul(n.y, off)), nn)))
}
