package linkage

import (
	"math"
	"slices"
	"sort"
	"sync"

	"barover/solver/position"
	"barover/solver/spare"
)

// Motion is a linkage followed over the turn at one travel setting. It never changes after Follow, and many goroutines
// may use it.
type Motion struct {
	l       *Linkage
	travel  []float64
	turn    []float64 // of each position kept, rising, rad
	x       []float64 // scalars of each position, one position after another
	det     []float64 // determinants of its blocks, likewise
	spans   []span
	limits  []limit // beside the ends of spans
	changes []change
	passed  []Pass // on the way from rest to the travel setting
	gaps    []gap

	breaking sync.Once
	broken   []Broken
	pool     *spare.Pool[*position.State]
}

// span is a run of positions, first to last, over which the linkage can be assembled.
type span struct{ first, last int }

// Shifted is the motion at another travel setting near by, where each position is solved from that of mo at the same turn.
// Nothing is followed, so it may be on another branch: it is for a search, and Follow confirms what that finds.
func (mo *Motion) Shifted(travel []float64) *Motion {
	return &Motion{l: mo.l, travel: travel, turn: mo.turn, x: mo.x, det: mo.det, spans: mo.spans, pool: mo.pool}
}

// Travel returns the travel setting.
func (mo *Motion) Travel() []float64 { return slices.Clone(mo.travel) }

// Broken lists the intervals of the turn over which the linkage cannot be assembled.
func (mo *Motion) Broken() []Broken {
	mo.breaking.Do(func() {
		for _, g := range mo.gaps {
			if b, ok := mo.measured(g); ok {
				mo.broken = append(mo.broken, b)
			}
		}
	})
	return mo.broken
}

// FirstBroken returns a function that measures the first of Broken. It is nil where there is none.
func (mo *Motion) FirstBroken() func() *Broken {
	if len(mo.gaps) == 0 || !mo.gaps[0].sure() && len(mo.Broken()) == 0 {
		return nil
	}
	return func() *Broken { return &mo.Broken()[0] }
}

// Spans lists the intervals of the turn over which it can, rad.
func (mo *Motion) Spans() [][2]float64 {
	out := make([][2]float64, len(mo.spans))
	for i, s := range mo.spans {
		out[i] = [2]float64{mo.end(s.first, -1), mo.end(s.last, 1)}
	}
	return out
}

func (mo *Motion) scalars(i int) []float64 {
	n := len(mo.l.start.X)
	return mo.x[i*n : i*n+n : i*n+n]
}

func (mo *Motion) dets(i int) []float64 {
	n := len(mo.l.start.Det)
	return mo.det[i*n : i*n+n : i*n+n]
}

// keep adds a position.
func (mo *Motion) keep(turn float64, x, det []float64) {
	mo.turn = append(mo.turn, turn)
	mo.x = append(mo.x, x...)
	mo.det = append(mo.det, det...)
}

// changeAt returns the change point that covers a turn, nil if none does.
func (mo *Motion) changeAt(turn float64) *change {
	for k := range mo.changes {
		if c := &mo.changes[k]; c.covers(turn) {
			return c
		}
	}
	return nil
}

// reserve makes room for count more positions.
func (mo *Motion) reserve(count int) {
	n := len(mo.turn) + count
	mo.turn = slices.Grow(mo.turn, count)
	mo.x = slices.Grow(mo.x, n*len(mo.l.start.X)-len(mo.x))
	mo.det = slices.Grow(mo.det, n*len(mo.l.start.Det)-len(mo.det))
}

// At puts the pose at a turn (rad) into p, on the branch that the motion has there. The position is solved and
// re-checked, not interpolated. Where it returns NoAssembly or IterationLimit, p is unchanged. p keeps its slices where
// they are large enough.
func (mo *Motion) At(turn float64, p *Pose) Status {
	e, ok := mo.pool.Get()
	if !ok {
		e = position.NewState(mo.l.s, mo.l.p, mo.l.start.Scale)
	}
	defer mo.pool.Put(e)
	status := mo.stand(e, turn)
	if status == Solved || status == DeadCentre {
		e.Complete()
		p.fill(e)
		p.folded = mo.foldedAt(p.Turn)
	}
	return status
}

// stand solves a state at a turn.
func (mo *Motion) stand(e *position.State, turn float64) Status {
	turn = mo.rounded(turn)
	copy(e.Travel, mo.travel)
	if l := mo.limitAt(turn); l != nil {
		return mo.standAt(e, l, turn)
	}
	i, ok := mo.before(turn)
	if !ok {
		return NoAssembly
	}
	if c := mo.changeAt(turn); c != nil {
		return mo.standOn(e, c, turn)
	}
	if f, at := mo.beside(i, turn); f != nil {
		copy(e.X, f.x)
		status := mo.walkOn(e, at, turn)
		if status == Solved { // near a change the error of a pose is larger than the residual of its rows
			e.Solve()
		}
		return status
	}
	mo.between(i, turn, e.X)
	e.Set(turn, mo.travel)
	e.Flanks = [2][]float64{mo.scalars(i), mo.scalars(min(i+1, mo.spanOf(i).last))}
	_, ok = e.Solve()
	e.Flanks = [2][]float64{}
	if ok && e.SameSide(mo.dets(i)) {
		return status(e)
	}
	return mo.walkFrom(e, i, turn)
}

// standOn solves at a turn beside or on a change point.
func (mo *Motion) standOn(e *position.State, c *change, turn float64) Status {
	c.place(turn, e.X)
	e.Set(turn, mo.travel)
	if math.Abs(turn-c.at) > 10*leastStep || c.slack() {
		if _, ok := e.Solve(); ok {
			return Solved
		}
		c.place(turn, e.X)
	}
	e.SettleAt()
	return DeadCentre
}

// before returns the last position kept at or before turn, in the same span.
func (mo *Motion) before(turn float64) (i int, ok bool) {
	if math.IsNaN(turn) {
		return 0, false
	}
	i = sort.Search(len(mo.turn), func(i int) bool { return mo.turn[i] > turn }) - 1
	for _, s := range mo.spans {
		if i >= s.first && (i < s.last || i == s.last && turn == mo.turn[i]) {
			return i, true
		}
	}
	return 0, false
}

// rounded returns turn, or the end of a span if turn is outside by rounding only.
func (mo *Motion) rounded(turn float64) float64 {
	for _, s := range mo.spans {
		if end := mo.end(s.first, -1); turn < end && end-turn < endsRounding {
			return end
		}
		if end := mo.end(s.last, 1); turn > end && turn-end < endsRounding {
			return end
		}
	}
	return turn
}

// spanOf returns the span that position i is in.
func (mo *Motion) spanOf(i int) span {
	for _, s := range mo.spans {
		if i >= s.first && i <= s.last {
			return s
		}
	}
	return span{i, i}
}

// between puts the scalars interpolated from the positions about i at a turn into x.
func (mo *Motion) between(i int, turn float64, x []float64) {
	if turn == mo.turn[i] {
		copy(x, mo.scalars(i))
		return
	}
	first, w := mo.weights(i, turn)
	clear(x)
	for j, w := range w {
		if w != 0 {
			for c, v := range mo.scalars(first + j) {
				x[c] += w * v
			}
		}
	}
}

// weights are the weights of the scalars of four positions about i at a turn, from the first on: of the cubic through
// them, or through as many as the span has.
func (mo *Motion) weights(i int, turn float64) (first int, w [4]float64) {
	s := mo.spanOf(i)
	first = max(s.first, min(i-1, s.last-3))
	last := min(s.last, first+3)
	for j := first; j <= last; j++ {
		w[j-first] = 1
		for k := first; k <= last; k++ {
			if k != j {
				w[j-first] *= (turn - mo.turn[k]) / (mo.turn[j] - mo.turn[k])
			}
		}
	}
	return first, w
}

// walkFrom goes to a turn from a position kept, in steps that cannot lose the branch.
func (mo *Motion) walkFrom(e *position.State, i int, turn float64) Status {
	if s := mo.spanOf(i); i < s.last && mo.turn[i+1]-turn < turn-mo.turn[i] {
		i++
	}
	copy(e.X, mo.scalars(i))
	return mo.walkOn(e, mo.turn[i], turn)
}

// walkOn goes to a turn from another, at which the present scalars hold.
func (mo *Motion) walkOn(e *position.State, from, turn float64) Status {
	e.Set(from, mo.travel)
	if _, ok := e.Solve(); !ok {
		return IterationLimit
	}
	w := newWalker(e)
	if !w.walk(turnRoad(e, turn)) {
		return IterationLimit
	}
	if n := len(w.changes); n > 0 && w.changes[n-1].covers(turn) {
		return mo.standOn(e, &w.changes[n-1], turn)
	}
	return status(e)
}

// beside returns the nearer side of a change that is between a turn and the neighbouring positions, i and i + 1, and the
// turn there. The walk to the turn begins there, so that it does not cross the change. It returns nil where there is
// none.
func (mo *Motion) beside(i int, turn float64) (f *footing, at float64) {
	if turn == mo.turn[i] {
		return nil, 0
	}
	for k := range mo.changes {
		c := &mo.changes[k]
		lo, hi, a, b := c.turn, c.turn+c.dTurn, &c.from, &c.to
		if lo > hi {
			lo, hi, a, b = hi, lo, b, a
		}
		if hi < mo.turn[i] || lo > mo.turn[min(i+1, len(mo.turn)-1)] {
			continue
		}
		if turn > hi {
			a, lo = b, hi
		}
		if f == nil || math.Abs(turn-lo) < math.Abs(turn-at) {
			f, at = a, lo
		}
	}
	return f, at
}

// status distinguishes a dead centre from an ordinary position.
func status(e *position.State) Status {
	for k := range e.Program.Blocks {
		if e.OnDeadCentre(k) {
			return DeadCentre
		}
	}
	return Solved
}
