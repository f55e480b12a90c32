package tube

import (
	"math"

	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/schedule"
)

// A change point has no enclosure: two branches meet there, and the rows do not hold the unknowns. So a box about it leaves
// one row of the block out and drives one unknown on a polynomial through the motion's own positions. What is left has one
// solution. It is the way that the engine goes if the row left out gives by as much as it is missed there, which the box
// bounds; and on either side it leads to the branch that the boxes there are on.

// Give is a stretch of the turn over which the motion is enclosed for a statement that gives.
type Give struct {
	Turn   Range
	Travel []Range
	Stmt   int
	Most   float64 // by how much at most, mm
}

// Covers reports whether a position lies in the stretch.
func (g *Give) Covers(turn float64, travel []float64) bool {
	for j, r := range g.Travel {
		if !(travel[j] >= r.From && travel[j] <= r.To) {
			return false
		}
	}
	return turn >= g.Turn.From && turn <= g.Turn.To
}

const (
	// easeHalf is how far on either side of a change point such a box goes.
	easeHalf = 0.45 * degree
	// easeSplits is how many times it may be halved.
	easeSplits = 5
	// giveShare is the most that a row may give, as a share of the sketch's size: what statements leave between them.
	giveShare = 1e-9
	// seamShare is how near, as a share of the sketch's size, the driven unknown must come to the box before.
	seamShare = 1e-6
)

// eased is a step of the Plan with a row left out and a scalar driven.
type eased struct {
	step
	driven int       // the scalar
	out    slot      // the row
	stmt   int       // that it obeys
	turns  []float64 // through which the driven scalar goes
	values []float64
	most   float64 // by how much the row is missed over the last box, mm
}

// ease makes the steps of a stretch ready, by their number in the Plan; nil where they depend on a travel that varies, or where
// a row is no length.
func (m *marcher) ease(s *linkage.Stretch) map[int]*eased {
	var vary uint64
	for _, j := range m.vary[1:] {
		vary |= expr.TravelBit(j - 1)
	}
	out := map[int]*eased{}
	for i := range s.Eased {
		e := &s.Eased[i]
		for k := range m.Plan.steps {
			t := &m.Plan.steps[k]
			for j, c := range t.scalars {
				if c != e.Scalar {
					continue
				}
				if !inMillimetres(&t.from.Rows[e.Row]) || m.Plan.rides(t)&vary != 0 {
					return nil
				}
				out[k] = &eased{step: t.without(e.Row, j), driven: c, out: t.row[e.Row], stmt: e.Stmt, turns: e.Turns, values: e.Values}
			}
		}
	}
	if len(out) != len(s.Eased) {
		return nil
	}
	return out
}

// inMillimetres reports whether what a row misses by is a length.
func inMillimetres(r *schedule.Row) bool {
	return r.Kind == schedule.RowLength || r.Kind == schedule.RowLine
}

// without is a step without row i and scalar j.
func (s *step) without(i, j int) step {
	t := *s
	t.row, t.scalars, t.slope, t.column = nil, nil, nil, nil
	for k, r := range s.row {
		if k != i {
			t.row = append(t.row, r)
		}
	}
	for k, c := range s.scalars {
		if k == j {
			continue
		}
		t.scalars = append(t.scalars, c)
		t.column = append(t.column, len(t.slope))
		for _, e := range s.slope[s.column[k]:s.column[k+1]] {
			switch {
			case e.i < i:
				t.slope = append(t.slope, e)
			case e.i > i:
				t.slope = append(t.slope, entry{e.i - 1, e.at})
			}
		}
	}
	t.column = append(t.column, len(t.slope))
	return t
}

// stretchAt returns the stretch about change points in which a turn lies, nil if it lies in none or that has been tried.
func (m *marcher) stretchAt(t float64) *linkage.Stretch {
	if m.stretches == nil {
		m.stretches = append([]linkage.Stretch{}, m.guide.Stretches(easeHalf, middle(m.Travel))...)
	}
	for i := range m.stretches {
		if s := &m.stretches[i]; s.From <= t && t < s.To {
			return s
		}
	}
	return nil
}

// cross lays boxes over a stretch about change points, from t on. It returns the last box laid and where to go on: t itself
// where that cannot be done.
func (m *marcher) cross(s *linkage.Stretch, t float64, strip []Range, prev int, known fix) (last int, at float64) {
	steps := m.ease(s)
	if steps == nil {
		return prev, t
	}
	common := m.solver.common
	m.solver.eased, m.solver.common = steps, nil
	defer func() { m.solver.eased, m.solver.common = nil, common }()
	boxes, gives := len(m.Boxes), len(m.Gives)
	last = prev
	for part, from := 1, t; from < s.To; {
		to := min(from+(s.To-t)/float64(part), s.To)
		if s.To-to < 1e-3*(s.To-t) {
			to = s.To
		}
		if m.lay(Range{from, to}, strip, last, known) {
			last, from = len(m.Boxes)-1, to
			m.give(Range{t, s.To}, strip, steps)
			continue
		}
		if part *= 2; part > 1<<easeSplits || m.spent() {
			m.Boxes, m.Gives = m.Boxes[:boxes], m.Gives[:gives]
			return prev, t
		}
	}
	return last, s.To
}

// give notes by how much the rows left out give over the last box.
func (m *marcher) give(turn Range, strip []Range, steps map[int]*eased) {
	for _, e := range steps {
		m.Gives = append(m.Gives, Give{turn, strip, e.stmt, e.most})
	}
}

// easily solves the unknowns of a step with a row left out, and bounds by how much that is missed.
func (v *solver) easily(e *eased, guess []float64) bool {
	at := v.plan.scalar[e.driven]
	v.drive(e, at)
	v.wide[e.driven] = seamShare * v.size * v.unit[e.driven]
	if !v.centre(&e.step, guess) {
		return false
	}
	v.series(&e.step)
	if !v.prove(&e.step) || !v.st.RadiiAgain(e.rows, e.slopes) {
		return false
	}
	lo, hi := v.st.Range(e.out)
	e.most = max(-lo, hi)
	return e.most <= giveShare*v.size
}

// drive puts the driven scalar on its polynomial, or what comes near it with the degree that boxes have.
func (v *solver) drive(e *eased, at slot) {
	n := min(v.space.Order, len(e.turns)-1) + 1
	tau, val := make([]float64, n), make([]float64, n)
	for i := range tau {
		tau[i] = math.Cos(math.Pi * (float64(i) + 0.5) / float64(n))
		val[i] = through(e.turns, e.values, v.mid+v.half*tau[i])
	}
	// Newton's divided differences, then powers of τ.
	for k := 1; k < n; k++ {
		for i := n - 1; i >= k; i-- {
			val[i] = (val[i] - val[i-1]) / (tau[i] - tau[i-k])
		}
	}
	power := make([]float64, n)
	for i := n - 1; i >= 0; i-- {
		for k := n - 1; k > 0; k-- {
			power[k] = power[k-1] - tau[i]*power[k]
		}
		power[0] = val[i] - tau[i]*power[0]
	}
	v.st.Clear(at)
	poly := v.st.Poly(at)
	for k, c := range power {
		poly[v.space.At[k]] = c // the first of each degree is the power of the turn alone
	}
}

// through is the polynomial through some places, by Lagrange.
func through(x, y []float64, t float64) (sum float64) {
	for i := range x {
		w := y[i]
		for k := range x {
			if k != i {
				w *= (t - x[k]) / (x[i] - x[k])
			}
		}
		sum += w
	}
	return sum
}
