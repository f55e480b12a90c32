package position

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// levelling is the smallest maximum of shares that are linear in freedoms y: the least of max |h + G·y| with no |y|
// beyond far. It is a linear programme, solved by exchange (E. L. Stiefel, Numerische Mathematik 1, 1959). As many shares
// as freedoms and one more are made level. The one that exceeds them most takes the place of one of them, until none
// exceeds them. A freedom at its bound replaces a share. The library's simplex method does not say which shares are level
// in the end, and fails on right sides of zero; all but one are zero here.
type levelling struct {
	free int
	h    []float64 // the shares at y = 0
	g    []float64 // their slopes, by rows; times far, so that y is within ±1
	size float64   // of shares and slopes: the unit of tolerances

	at    []side // what is level, or at its bound
	count []float64
	y     []float64
	worst float64

	m         *Matrix // room for every exchange, and for the next levelling
	col, loss []float64
}

// side is a share with its sign; or a freedom at its upper or lower bound, where row is not less than the number of
// shares.
type side struct {
	row  int
	sign float64
}

// levelled is the result of a levelling.
type levelled struct {
	y     []float64
	worst float64
	on    []side    // the shares that are worst together
	count []float64 // the weight of each: positive, sum 1
	bound bool      // a freedom that matters is at its bound
}

// Tolerances of a levelling, as shares of its size, and its limit.
const (
	levelOut   = 1e-13 // a share that exceeds by less does not count
	levelCount = 1e-11 // a bound with less weight does not count
	levelMost  = 400   // exchanges
)

// level solves the problem for shares h and slopes g (by rows) with every freedom within ±far, in the room of the last one. It
// returns nil where the result is not a number.
func (l *levelling) level(h, g []float64, free int, far float64) *levelled {
	if len(h) == 0 || !AllNumbers(h) || !AllNumbers(g) {
		return nil
	}
	n := free + 1
	l.free, l.h, l.g, l.worst = free, h, zeros(l.g, len(g)), 0
	l.count, l.y, l.col, l.loss = zeros(l.count, n), zeros(l.y, free), zeros(l.col, n), zeros(l.loss, n)
	if l.m == nil || l.m.n != n {
		l.m = NewMatrix(n)
	}
	for i, v := range g {
		l.g[i] = v * far
	}
	if l.size = max(greatest(l.g), greatest(h)); l.size == 0 {
		return &levelled{y: make([]float64, free), on: []side{{0, 1}}, count: []float64{1}}
	}
	l.begin()
	for k := range levelMost {
		if !l.solve() {
			return nil
		}
		in, out := l.beyond(k > levelMost/2)
		if !out {
			return l.answer(far)
		}
		if !l.exchange(in) {
			return nil
		}
	}
	return nil
}

// AllNumbers reports whether none is NaN or infinite.
func AllNumbers(s []float64) bool {
	return !slices.ContainsFunc(s, func(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) })
}

// largest is the place of the number farthest from zero.
func largest(s []float64) (at int) {
	for i, v := range s {
		if math.Abs(v) > math.Abs(s[at]) {
			at = i
		}
	}
	return at
}

func signOf(v float64) float64 { return math.Copysign(1, v) }

// begin takes the worst share at y = 0, and every freedom at the bound toward which it improves.
func (l *levelling) begin() {
	worst := largest(l.h)
	s := signOf(l.h[worst])
	l.at = append(l.at[:0], side{worst, s})
	for j := range l.free {
		l.at = append(l.at, side{len(l.h) + j, -signOf(s * l.g[worst*l.free+j])})
	}
}

// column is what a side asks: slopes by the freedoms, and 1 for a share.
func (l *levelling) column(s side, to []float64) {
	clear(to)
	if j := s.row - len(l.h); j >= 0 {
		to[j] = s.sign
		return
	}
	for j, v := range l.g[s.row*l.free : (s.row+1)*l.free] {
		to[j] = s.sign * v
	}
	to[l.free] = 1
}

// solve finds y and the maximum with which all of at is level, and the weight of each.
func (l *levelling) solve() bool {
	n, m, col := l.free+1, l.m, l.col
	for i, s := range l.at {
		l.column(s, col)
		copy(m.A[i*n:], col)
		m.A[i*n+l.free] *= -1
		m.R[i] = 1
		if s.row < len(l.h) {
			m.R[i] = -s.sign * l.h[s.row]
		}
	}
	if m.Solve() == 0 || !AllNumbers(m.R) {
		return false
	}
	copy(l.y, m.R[:l.free])
	l.worst = m.R[l.free]
	m.R[l.free] = 1
	clear(m.R[:l.free])
	return l.combine(l.count)
}

// combine writes the column in m.R as a linear combination of those in at.
func (l *levelling) combine(to []float64) bool {
	n, m := l.free+1, l.m
	for k, s := range l.at {
		l.column(s, l.col)
		for i, v := range l.col {
			m.A[i*n+k] = v
		}
	}
	ok := m.Solve() != 0 && AllNumbers(m.R)
	copy(to, m.R)
	return ok
}

// share is a share at y.
func (l *levelling) share(i int) float64 {
	v := l.h[i]
	for j, d := range l.y {
		v += l.g[i*l.free+j] * d
	}
	return v
}

// beyond is the side that exceeds most at y, or the first that does.
func (l *levelling) beyond(first bool) (out side, found bool) {
	most := levelOut * l.size
	take := func(row int, v, by float64) {
		if by > most && !(first && found) {
			out, most, found = side{row, signOf(v)}, by, true
		}
	}
	for i := range l.h {
		v := l.share(i)
		take(i, v, math.Abs(v)-l.worst)
	}
	for j, v := range l.y {
		take(len(l.h)+j, v, (math.Abs(v)-1)*l.size)
	}
	return out, found
}

// exchange takes a side in and removes the one whose weight reaches zero first.
func (l *levelling) exchange(in side) bool {
	l.column(in, l.m.R)
	if !l.combine(l.loss) {
		return false
	}
	out, least := -1, math.Inf(1)
	for k, v := range l.loss {
		if v <= 1e-12 {
			continue
		}
		if q := max(l.count[k], 0) / v; q < least || q == least && l.at[k].row < l.at[out].row {
			out, least = k, q
		}
	}
	if out < 0 {
		return false
	}
	l.at[out] = in
	return true
}

// answer gathers what was found.
func (l *levelling) answer(far float64) *levelled {
	n := len(l.at)
	a := &levelled{worst: l.worst, y: make([]float64, l.free), on: make([]side, 0, n), count: make([]float64, 0, n)}
	held := true
	for k, s := range l.at {
		switch c := l.count[k]; {
		case s.row < len(l.h):
			a.on, a.count = append(a.on, s), append(a.count, max(c, 0))
		case c > levelCount*l.size:
			a.bound = true
		default:
			held = false
		}
	}
	if !held {
		l.rest()
	}
	for j, v := range l.y {
		a.y[j] = v * far
	}
	return a
}

// rest moves freedoms that do not matter to the worst no more than needed.
func (l *levelling) rest() {
	n := l.free
	rows, want := 0, []float64(nil)
	a := []float64(nil)
	col := make([]float64, n+1)
	for k, s := range l.at {
		l.column(s, col)
		switch {
		case s.row < len(l.h):
			want = append(want, l.worst-s.sign*l.h[s.row])
		case l.count[k] > levelCount*l.size:
			want = append(want, 1)
		default:
			continue
		}
		a = append(a, col[:n]...)
		rows++
	}
	y, ok := shortest(a, want, rows, n)
	if !ok {
		return
	}
	was := l.y
	l.y = y
	if _, out := l.beyond(false); out {
		l.y = was
	}
}

// shortest is the shortest least-squares y of a·y = want.
func shortest(a, want []float64, m, n int) (y []float64, ok bool) {
	var svd mat.SVD
	if !svd.Factorize(mat.NewDense(m, n, a), mat.SVDThin) {
		return nil, false
	}
	rank := 0
	for _, s := range svd.Values(nil) {
		if s > RankRel*svd.Values(nil)[0] {
			rank++
		}
	}
	if rank == 0 {
		return make([]float64, n), true
	}
	var out mat.VecDense
	svd.SolveVecTo(&out, mat.NewVecDense(m, want), rank)
	return out.RawVector().Data, true
}
