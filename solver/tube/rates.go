package tube

import (
	"math"

	"barover/solver/schedule"
	"barover/solver/taylor"
)

// rates is a linkage made ready for the speeds of its places by the turn. The rows' own derivatives along the motion are
// linear in the scalars' speeds, so what a guess of these leaves over bounds how far it is off.
type rates struct {
	tape  *taylor.Tape
	in    []input
	speed []slot // of each scalar, filled from outside
	steps []rateStep
	point []pair // speeds of each point
	first slot   // where the steps begin
	end   slot
}

// rateStep is a stretch of the tape: what moves with the turn alone from a to places, then the speeds of the places, the
// rows' derivatives, and their slopes by the scalars' speeds.
type rateStep struct {
	a, places, rows, end slot
	scalars              []int
	row                  []slot
	slope                []slot // row by row
}

// newRates puts the speeds on a tape. It reports false where a sum has no enclosure.
func newRates(p *Plan) (*rates, bool) {
	r := &rates{point: make([]pair, len(p.Schedule.Point))}
	b := taylor.NewBuilder()
	shadow := &Plan{Schedule: p.Schedule, Values: p.Values, Sizes: p.Sizes, place: nowhere(len(p.place)), scalar: make([]slot, len(p.scalar))}
	w := &writer{plan: shadow, Builder: b}
	w.sums = taylor.Compiler{Builder: b, Values: p.Values, Sizes: p.Params(), Point: func(int) (x, y slot, ok bool) { return none, none, false }}
	given := func(from slot) slot {
		s := b.Input()
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
	moves := map[slot]slot{b.Param(0): b.Number(1)}
	r.first = b.Mark()
	r.speed = make([]slot, len(p.scalar))
	for i := range p.steps {
		if !p.steps[i].aside {
			r.steps = append(r.steps, r.step(w, &p.steps[i].from, moves))
		}
	}
	for i, z := range p.Schedule.Point {
		r.point[i] = pair{none, none}
		if at := shadow.at(z); at.x != none {
			r.point[i] = pair{moves[at.x], moves[at.y]}
		}
	}
	r.tape, r.end = &b.Tape, b.Mark()
	return r, !w.failed
}

// step puts one step's speeds on the tape and adds its places to what moves.
func (r *rates) step(w *writer, s *schedule.Step, moves map[slot]slot) rateStep {
	t := rateStep{a: w.Mark(), scalars: s.Scalars}
	w.coefficients(s)
	for _, k := range s.Scalars {
		r.speed[k] = w.Input()
		moves[w.plan.scalar[k]] = r.speed[k]
	}
	t.places = w.Mark()
	for i := range s.Ops {
		z := schedule.MadeBy[taylor.Slot, pair](w, &s.Ops[i])
		v := w.Total([]slot{z.x, z.y}, moves)
		at := w.plan.place[s.Ops[i].Z]
		moves[at.x], moves[at.y] = v[0], v[1]
	}
	t.rows = w.Mark()
	for i := range s.Rows {
		t.row = append(t.row, schedule.AskedBy[taylor.Slot, pair](w, &s.Rows[i]))
	}
	t.row = w.Total(t.row, moves)
	for _, f := range t.row {
		for _, k := range s.Scalars {
			t.slope = append(t.slope, w.Slope(f, r.speed[k]))
		}
	}
	t.end = w.Mark()
	w.Fence(t.rows)
	return t
}

// rateRunner encloses speeds on the boxes of one tube.
type rateRunner struct {
	*rates
	tube  *Tube
	st    *taylor.State
	box   taylor.Box
	guess [][]float64 // of each box, the speeds of the scalars
	room  []float64
}

func newRateRunner(r *rates, t *Tube) *rateRunner {
	n := 0
	for i := range r.steps {
		n = max(n, len(r.steps[i].scalars))
	}
	return &rateRunner{rates: r, tube: t, st: taylor.NewState(r.tape, t.Space), box: newBox(t), guess: make([][]float64, len(t.Boxes)),
		room: make([]float64, 3*n*n+2*n)}
}

// over computes the speeds over a part of box i.
func (r *rateRunner) over(i int, p *Part) bool {
	b := &r.tube.Boxes[i]
	sp := r.tube.Space
	r.tube.place(r.st, &r.box, r.in, b, p, r.end)
	if r.guess[i] == nil {
		r.guess[i] = r.tube.speeds(b)
	}
	for _, k := range r.tube.Plan.known {
		s := r.speed[k]
		sp.Shift(r.st.Poly(s), r.guess[i][k*sp.N:(k+1)*sp.N], &p.Mid, &p.Half)
		r.st.SetRad(s, 0)
	}
	if !r.st.Fill(0, r.first) {
		return false
	}
	for j := range r.steps {
		s := &r.steps[j]
		if !r.st.Fill(s.a, s.end) {
			return false
		}
		if len(s.row) > 0 && !(r.settle(s) && r.st.Fill(s.places, s.rows)) {
			return false
		}
	}
	return true
}

// settle gives the speeds of a step's scalars their radii.
func (r *rateRunner) settle(s *rateStep) bool {
	n := len(s.scalars)
	jac, inv, miss := r.room[:n*n], r.room[n*n:2*n*n], r.room[2*n*n:3*n*n]
	left := r.room[3*n*n : 3*n*n+n]
	for i, f := range s.slope {
		jac[i] = r.st.Poly(f)[0]
	}
	if !invert(inv, jac, n) {
		return false
	}
	share, most := 0.0, 0.0
	for i := range n {
		row := 0.0
		for j := range n {
			miss[i*n+j] = r.missed(s, inv, i, j)
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
	for i, k := range s.scalars {
		off := left[i]
		for j := range n {
			off += miss[i*n+j] * most
		}
		r.st.SetRad(r.speed[k], off*(1+1e-9))
	}
	return true
}

// missed bounds an entry of I - C·J over the part.
func (r *rateRunner) missed(s *rateStep, inv []float64, i, j int) float64 {
	n := len(s.scalars)
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

// speeds guesses the speeds of the scalars over a box: the derivatives of their polynomials by the turn.
func (t *Tube) speeds(b *Box) []float64 {
	sp := t.Space
	out := make([]float64, len(t.Plan.scalar)*sp.N)
	h := b.at.Half[0][0]
	for _, k := range t.Plan.known {
		i := t.Plan.kept[t.Plan.scalar[k]]
		sp.Derivative(out[k*sp.N:(k+1)*sp.N], b.poly[i*sp.N:(i+1)*sp.N])
		for m := range sp.N {
			out[k*sp.N+m] /= h
		}
	}
	return out
}
