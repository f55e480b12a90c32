package tube

import (
	"math"
	"slices"

	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/schedule"
)

// A change point has no enclosure: two branches meet there, and the rows do not hold the unknowns. So a box about it
// leaves out one row of the block, and drives one unknown by a polynomial, in the turn and the travels, through the
// motion's own positions. The rest has one solution. The engine goes that way if the row left out gives by its residual
// there, which the box bounds. On either side the way leads to the branch of the boxes there.

// Give is a stretch of the turn over which the motion is enclosed for a statement that gives.
type Give struct {
	Turn   Range
	Travel []Range
	Stmt   int
	Most   float64 // by how much at most, mm
}

// Covers reports whether a position lies in the stretch.
func (g *Give) Covers(turn float64, travel []float64) bool {
	return Holds(g.Travel, travel) && turn >= g.Turn.From && turn <= g.Turn.To
}

const (
	// easeHalf is how far on either side of a change point such a box goes.
	easeHalf = 0.45 * degree
	// easeSplits is how many times it may be halved.
	easeSplits = 5
	// giveShare is the most that a row may give, as a share of the sketch's size: more than the rounding between
	// statements.
	giveShare = 1e-9
	// seamShare is how near, as a share of the sketch's size, the driven unknown must come to the box before.
	seamShare = 1e-6
	// easedPlaces is at how many places, of the turn and of each travel, the driven unknown is sampled.
	easedPlaces = 6
	// easedTravels is how many varying travels a block may depend on.
	easedTravels = 2
	// widestEase is the longest stretch, where travels move the change point.
	widestEase = 8 * degree
	// oneChange is the distance along the turn within which change points at different travels count as the same.
	oneChange = 15 * degree
)

// eased is a step of the Plan with a row left out and a scalar driven.
type eased struct {
	step
	driven int  // the scalar
	out    slot // the row
	stmt   int  // that it obeys
	grid   *grid
	values []float64 // of the driven scalar on the grid
	most   float64   // greatest residual of the row over the last box, mm
}

// grid is places of the turn and of each varying travel, all with all.
type grid struct {
	turns []float64   // rad
	taus  [][]float64 // of each varying travel, in the coordinates of the strip
}

// ease prepares the steps of a stretch over a strip, by their number in the Plan. It returns nil where that is
// impossible: a row is no length, the block depends on too many varying travels, or the motion does not exist everywhere.
func (m *marcher) ease(s *linkage.Stretch, strip []Range) map[int]*eased {
	out := map[int]*eased{}
	rides := uint64(0)
	for i := range s.Eased {
		e := &s.Eased[i]
		for k := range m.Plan.steps {
			t := &m.Plan.steps[k]
			if j := slices.Index(t.scalars, e.Scalar); j >= 0 {
				if !inMillimetres(&t.from.Rows[e.Row]) || out[k] != nil {
					return nil
				}
				rides |= m.Plan.rides(t)
				out[k] = &eased{step: t.without(e.Row, j), driven: e.Scalar, out: t.row[e.Row], stmt: e.Stmt}
			}
		}
	}
	g := m.gridOver(Range{s.From, s.To}, rides)
	if len(out) != len(s.Eased) || g == nil || !m.sample(g, strip, out) {
		return nil
	}
	return out
}

// gridOver lays a grid over a stretch of the turn and the varying travels in a set; nil where they are too many.
func (m *marcher) gridOver(turn Range, rides uint64) *grid {
	g := &grid{}
	for _, c := range chebyshev(easedPlaces) {
		g.turns = append(g.turns, turn.Mid()+c*(turn.To-turn.From)/2)
	}
	ridden := 0
	for _, j := range m.vary[1:] {
		taus := []float64{0}
		if rides&expr.TravelBit(j-1) != 0 {
			taus = chebyshev(easedPlaces)
			ridden++
		}
		g.taus = append(g.taus, taus)
	}
	if ridden > easedTravels {
		return nil
	}
	return g
}

// chebyshev lists n places from −1 to 1, both ends among them.
func chebyshev(n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = -math.Cos(math.Pi * float64(i) / float64(n-1))
	}
	return out
}

// sample takes the driven scalars from the motion on the whole grid, the turn changing fastest.
func (m *marcher) sample(g *grid, strip []Range, steps map[int]*eased) bool {
	at := make([]int, len(g.taus))
	for {
		travel := middle(strip)
		for k, i := range at {
			j := m.vary[1+k] - 1
			travel[j] += g.taus[k][i] * (strip[j].To - strip[j].From) / 2
		}
		for _, turn := range g.turns {
			if !m.guide.Position(turn, travel, m.seed) {
				return false
			}
			for _, e := range steps {
				e.grid, e.values = g, append(e.values, m.seed[e.driven])
			}
		}
		k := 0
		for ; k < len(at); k++ {
			if at[k]++; at[k] < len(g.taus[k]) {
				break
			}
			at[k] = 0
		}
		if k == len(at) {
			return true
		}
	}
}

// inMillimetres reports whether the residual of a row is a length.
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

// stretchIn returns the first stretch about change points that contains t, or that begins well before end; nil for none.
func (m *marcher) stretchIn(t, end float64) *linkage.Stretch {
	if m.stretches == nil {
		m.stretches = append([]linkage.Stretch{}, m.findStretches()...)
	}
	for i := range m.stretches {
		if s := &m.stretches[i]; t < s.To && s.From < end-m.least() {
			return s
		}
	}
	return nil
}

// findStretches lists the stretches in the middle of the travels, widened to include those at the ends of the travels.
func (m *marcher) findStretches() []linkage.Stretch {
	list := m.guide.Stretches(easeHalf, middle(m.Travel))
	if len(list) == 0 || len(m.vary) > 1+easedTravels {
		return list
	}
	for corner := range 1 << (len(m.vary) - 1) {
		if len(m.vary) == 1 {
			break
		}
		travel := middle(m.Travel)
		for k, j := range m.vary[1:] {
			if travel[j-1] = m.Travel[j-1].From; corner>>k&1 != 0 {
				travel[j-1] = m.Travel[j-1].To
			}
		}
		for _, o := range m.guide.Stretches(easeHalf, travel) {
			widen(list, &o)
		}
	}
	list = slices.DeleteFunc(list, func(s linkage.Stretch) bool { return s.To-s.From > widestEase })
	out := list[:1]
	for _, s := range list[1:] { // some may overlap now
		if last := &out[len(out)-1]; s.From < last.To {
			last.To, last.Eased = max(last.To, s.To), union(last.Eased, s.Eased)
			continue
		}
		out = append(out, s)
	}
	return out
}

// union returns all that either list eases, each scalar once.
func union(a, b []linkage.Eased) []linkage.Eased {
	for _, e := range b {
		if !slices.ContainsFunc(a, func(o linkage.Eased) bool { return o.Scalar == e.Scalar }) {
			a = append(a, e)
		}
	}
	return a
}

// widen makes the stretch of a list that is nearest to another of the same block long enough to include it.
func widen(list []linkage.Stretch, o *linkage.Stretch) {
	near, best := oneChange, -1
	for i := range list {
		s := &list[i]
		off := math.Abs(s.From+s.To-o.From-o.To) / 2
		if off < near && slices.ContainsFunc(s.Eased, func(e linkage.Eased) bool { return slices.Contains(o.Eased, e) }) {
			near, best = off, i
		}
	}
	if best >= 0 {
		list[best].From, list[best].To = min(list[best].From, o.From), max(list[best].To, o.To)
	}
}

// cross lays boxes over a stretch about change points, from t on. It returns the last box laid and where to go on: t
// itself where that fails.
func (m *marcher) cross(s *linkage.Stretch, t float64, strip []Range, prev int, known fix) (last int, at float64) {
	steps := m.ease(s, strip)
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

// give notes how much the rows left out give over the last box.
func (m *marcher) give(turn Range, strip []Range, steps map[int]*eased) {
	for _, e := range steps {
		m.Gives = append(m.Gives, Give{turn, strip, e.stmt, e.most})
	}
}

// easily solves the unknowns of a step with a row left out, and bounds the residual of that row.
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

// drive puts the driven scalar on its polynomial, or on one near it of the degree that boxes have.
func (v *solver) drive(e *eased, at slot) {
	g := e.grid
	turns := make([]float64, min(v.space.Order, len(g.turns)-1)+1)
	for i := range turns {
		turns[i] = math.Cos(math.Pi * (float64(i) + 0.5) / float64(len(turns)))
	}
	n := len(g.turns)
	val := make([]float64, 0, len(e.values))
	for from := 0; from < len(e.values); from += n {
		for _, tau := range turns {
			val = append(val, through(g.turns, e.values[from:from+n], v.mid+v.half*tau))
		}
	}
	stride, strides := 1, make([]int, 0, 1+len(g.taus))
	lists := append([][]float64{turns}, g.taus...)
	for _, list := range lists {
		powers(list, val, stride)
		strides = append(strides, stride)
		stride *= len(list)
	}
	v.st.Clear(at)
	poly := v.st.Poly(at)
	for c := range poly {
		place, within := 0, true
		for k, p := range v.space.Powers[c][:v.space.Vars] {
			if within = within && (k < len(lists) && int(p) < len(lists[k]) || p == 0); within && k < len(lists) {
				place += int(p) * strides[k]
			}
		}
		if within {
			poly[c] = val[place]
		}
	}
}

// powers turns values at some places of one coordinate into coefficients of its powers, in all rows of a grid with this
// stride: by Newton's divided differences.
func powers(tau, grid []float64, stride int) {
	n := len(tau)
	val, power := make([]float64, n), make([]float64, n)
	for from := range grid {
		if from/stride%n != 0 {
			continue
		}
		for i := range val {
			val[i] = grid[from+i*stride]
		}
		for k := 1; k < n; k++ {
			for i := n - 1; i >= k; i-- {
				val[i] = (val[i] - val[i-1]) / (tau[i] - tau[i-k])
			}
		}
		clear(power)
		for i := n - 1; i >= 0; i-- {
			for k := n - 1; k > 0; k-- {
				power[k] = power[k-1] - tau[i]*power[k]
			}
			power[0] = val[i] - tau[i]*power[0]
		}
		for i, p := range power {
			grid[from+i*stride] = p
		}
	}
}

// through evaluates the polynomial through some places, by Lagrange.
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
