package tube

import (
	"math"

	"barover/solver/schedule"
	"barover/solver/taylor"
)

// rates is a linkage ready for the motion of its places with the turn: their speeds and, if needed, their accelerations.
// The rows' own derivatives along the motion are linear in the scalars' speeds, and the second ones in their
// accelerations, with the same slopes. So the residual of a guess bounds its error.
type rates struct {
	tape  *taylor.Tape
	in    []input
	moves [][]slot // by order, of each scalar: its speed, its acceleration; filled from outside
	steps []rateStep
	point [][]pair // by order, the motion of each point
	first slot     // where the steps begin
	end   slot
}

// rateStep is a step of the plan, order after order.
type rateStep struct {
	scalars []int
	orders  []rateOrder
}

// rateOrder is a stretch of the tape: from a to places what moves with the turn alone, then the motion of the places, the
// rows' derivatives, and their slopes by the motion of the scalars.
type rateOrder struct {
	a, places, rows, end slot
	row                  []slot
	slope                []slot // row by row
}

// newRates puts speeds on a tape, and accelerations for an order of 2. It reports false where a sum has no enclosure.
func newRates(p *Plan, order int) (*rates, bool) {
	r := &rates{moves: make([][]slot, order), point: make([][]pair, order)}
	w := newWriter(p.Schedule, p.Values, p.Sizes)
	shadow := w.plan
	given := func(from slot) slot {
		s := w.Input()
		r.in = append(r.in, input{s, p.kept[from]})
		return s
	}
	for _, k := range p.known {
		shadow.scalar[k] = given(p.scalar[k])
	}
	for i, z := range p.place {
		if z.x != none {
			shadow.place[i] = pair{given(z.x), given(z.y)}
		}
	}
	moves := map[slot]slot{w.Param(0): w.Number(1)}
	r.first = w.Mark()
	for k := range r.moves {
		r.moves[k] = make([]slot, len(p.scalar))
	}
	for i := range p.steps {
		if !p.steps[i].aside {
			r.steps = append(r.steps, r.step(w, &p.steps[i].from, moves))
		}
	}
	for _, z := range p.Schedule.Point {
		at := shadow.at(z)
		for k := range r.point {
			if at.x != none {
				at = pair{moves[at.x], moves[at.y]}
			}
			r.point[k] = append(r.point[k], at)
		}
	}
	r.tape, r.end = &w.Tape, w.Mark()
	return r, !w.failed
}

// step puts the motion of one step's places on the tape, and adds it to moves.
func (r *rates) step(w *writer, s *schedule.Step, moves map[slot]slot) rateStep {
	t := rateStep{scalars: s.Scalars}
	a := w.Mark()
	w.coefficients(s)
	for order := range r.moves {
		t.orders = append(t.orders, r.order(w, s, moves, order))
		t.orders[order].a, a = a, w.Mark()
	}
	return t
}

// order puts one order of a step on the tape: 0 for speeds.
func (r *rates) order(w *writer, s *schedule.Step, moves map[slot]slot, order int) (t rateOrder) {
	for _, k := range s.Scalars {
		of := w.plan.scalar[k]
		if order > 0 {
			of = r.moves[order-1][k]
		}
		r.moves[order][k] = w.Input()
		moves[of] = r.moves[order][k]
	}
	t.places = w.Mark()
	for i := range s.Ops {
		of := w.plan.place[s.Ops[i].Z]
		for range order {
			of = pair{moves[of.x], moves[of.y]}
		}
		z := of
		if order == 0 {
			z = schedule.MadeBy[taylor.Slot, pair](w, &s.Ops[i])
		}
		v := w.Total([]slot{z.x, z.y}, moves)
		moves[of.x], moves[of.y] = v[0], v[1]
	}
	t.rows = w.Mark()
	for i := range s.Rows {
		t.row = append(t.row, schedule.AskedBy[taylor.Slot, pair](w, &s.Rows[i]))
	}
	for range order + 1 {
		t.row = w.Total(t.row, moves)
	}
	for _, f := range t.row {
		for _, k := range s.Scalars {
			t.slope = append(t.slope, w.Slope(f, r.moves[order][k]))
		}
	}
	t.end = w.Mark()
	w.Fence(t.rows)
	return t
}

// rateRunner encloses the motion of places on the boxes of one tube.
type rateRunner struct {
	*rates
	tube  *Tube
	st    *taylor.State
	box   taylor.Box
	guess map[*Box][][]float64 // of each box and order, the motion of the scalars
	room  []float64
}

func newRateRunner(r *rates, t *Tube) *rateRunner {
	n := 0
	for i := range r.steps {
		n = max(n, len(r.steps[i].scalars))
	}
	return &rateRunner{rates: r, tube: t, st: taylor.NewState(r.tape, t.Space), box: newBox(t), guess: map[*Box][][]float64{},
		room: make([]float64, 3*n*n+2*n)}
}

// over computes the motion of places over a part of a box.
func (r *rateRunner) over(b *Box, p *Part) bool {
	if b.folded != nil { // at its dead centre nothing has a rate
		return false
	}
	sp := r.tube.Space
	r.tube.place(r.st, &r.box, r.in, b, p, r.end)
	if r.guess[b] == nil {
		r.guess[b] = r.tube.moving(b, len(r.moves))
	}
	for order, moves := range r.moves {
		for _, k := range r.tube.Plan.known {
			sp.Shift(r.st.Poly(moves[k]), r.guess[b][order][k*sp.N:(k+1)*sp.N], &p.Mid, &p.Half)
			r.st.SetRad(moves[k], 0)
		}
	}
	if !r.st.Fill(0, r.first) {
		return false
	}
	for j := range r.steps {
		for order := range r.steps[j].orders {
			if !r.step(&r.steps[j], order) {
				return false
			}
		}
	}
	return true
}

// step computes one order of a step.
func (r *rateRunner) step(s *rateStep, order int) bool {
	o := &s.orders[order]
	if !r.st.Fill(o.a, o.end) {
		return false
	}
	if len(o.row) == 0 {
		return true
	}
	moves := make([]slot, len(s.scalars))
	for i, k := range s.scalars {
		moves[i] = r.moves[order][k]
	}
	return r.settle(o, moves, 1+order) && r.st.Fill(o.places, o.rows)
}

// settle improves the guess for a step's scalars several times, and gives it its radii. The derivative of a box's own
// polynomial is off by what the polynomial leaves out over the whole box. Improved, it is off by what is left out over
// the present part.
func (r *rateRunner) settle(s *rateOrder, moves []slot, times int) bool {
	n := len(moves)
	jac, inv, miss := r.room[:n*n], r.room[n*n:2*n*n], r.room[2*n*n:3*n*n]
	left := r.room[3*n*n : 3*n*n+n]
	for i, f := range s.slope {
		jac[i] = r.st.Poly(f)[0]
	}
	if !invert(inv, jac, n) {
		return false
	}
	for range times {
		if r.better(s, moves, inv); !r.st.Fill(s.places, s.end) {
			return false
		}
	}
	share, most := 0.0, 0.0
	for i := range n {
		row := 0.0
		for j := range n {
			miss[i*n+j] = r.missed(s, inv, n, i, j)
			row += miss[i*n+j]
		}
		share = max(share, row)
		left[i] = 0
		for k, f := range s.row {
			lo, hi := r.st.Range(f)
			left[i] += math.Abs(inv[i*n+k]) * max(-lo, hi)
		}
		most = max(most, left[i])
	}
	if !(share < 0.9) {
		return false
	}
	most = most / (1 - share) * (1 + 1e-9)
	for i, u := range moves {
		off := left[i]
		for j := range n {
			off += miss[i*n+j] * most
		}
		r.st.SetRad(u, off*(1+1e-9))
	}
	return true
}

// better subtracts the residual of the rows, times the inverse of their slopes in the middle of the part.
func (r *rateRunner) better(s *rateOrder, moves []slot, inv []float64) {
	for i, u := range moves {
		p := r.st.Poly(u)
		for j, f := range s.row {
			for m, v := range r.st.Poly(f) {
				p[m] -= inv[i*len(moves)+j] * v
			}
		}
	}
}

// missed bounds an entry of I - C·J over the part, n by n.
func (r *rateRunner) missed(s *rateOrder, inv []float64, n, i, j int) float64 {
	t, size := 0.0, 1.0
	if i == j {
		t = 1
	}
	off := 0.0
	for k := range n {
		f := s.slope[k*n+j]
		c := inv[i*n+k]
		v := c * r.st.Poly(f)[0]
		t -= v
		size += math.Abs(v)
		lo, hi := r.st.Range(f)
		off += math.Abs(c) * (hi - lo)
	}
	return math.Abs(t) + off + size*float64(n+2)*0x1p-52
}

// moving guesses the motion of the scalars over a box, order by order: from the derivatives of their polynomials by the
// turn.
func (t *Tube) moving(b *Box, orders int) (out [][]float64) {
	sp := t.Space
	from := make([]float64, len(t.Plan.scalar)*sp.N)
	for i, k := range t.Plan.known {
		copy(from[k*sp.N:(k+1)*sp.N], b.poly[i*sp.N:(i+1)*sp.N])
	}
	h := b.at.Half[0][0]
	for range orders {
		to := make([]float64, len(from))
		for _, k := range t.Plan.known {
			sp.Derivative(to[k*sp.N:(k+1)*sp.N], from[k*sp.N:(k+1)*sp.N])
		}
		for i := range to {
			to[i] /= h
		}
		out, from = append(out, to), to
	}
	return out
}
