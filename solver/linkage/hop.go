package linkage

import (
	"math"

	"barover/solver/position"
	"barover/solver/schedule"
)

// hopper takes a walker over change points. It goes straight across, as the linkage would with the least weight in its
// parts, and checks on either side that this is the branch on which it came in.
type hopper struct {
	fall    []float64 // of each block, the distance at which its determinant reaches zero at its rate of fall where the walk began
	tried   []float64 // of each block, its determinant when a search last found nothing
	passing []*passing
	there   footing // behind the change points
	guess   []float64
}

// passing is a change point that a hop crosses.
type passing struct {
	*saddle
	way int
}

const (
	// hopReach is how far ahead a change point is searched for, rad.
	hopReach = 2e-3
	// hopLeast is the least distance that a hop lands behind a change point, rad: far enough for the two branches to
	// separate. hopHalves is the same in halves of the stretch that a miss opens at the crossing.
	hopLeast  = 2e-4
	hopHalves = 30
	// tellLeast is the distance from a change point, rad, below which it cannot be told on which branch the linkage is.
	tellLeast = 1e-5
	// tellShare is how much nearer to one branch than to the other it must be, or land.
	tellShare = 0.1
	// againShare is the share to which a determinant must fall before a search that found nothing is repeated.
	againShare = 0.25
	// slow is the speed, as a share of a block's size per rad, below which its scalars cannot be on the way to a near
	// dead centre. There they are fast, and what grows otherwise may be the residual of the rows.
	slow     = 1e-2
	hopTries = 10
	// looseReach is how far ahead that is done for a block of loose lengths, rad, and looseHalves how far behind it
	// lands. Their play lets them go straight on where rigid lengths would turn.
	looseReach  = 0.35
	looseHalves = 3
	fallStep    = 1e-6 // step over which the fall of determinants is measured where a walk begins, rad
)

func newHopper(e *position.State) hopper {
	n := len(e.Det)
	return hopper{fall: make([]float64, n), tried: make([]float64, n), passing: make([]*passing, n), there: newFooting(e),
		guess: make([]float64, len(e.X))}
}

// hop crosses the change point ahead, if one is near, and reports whether it did.
func (w *walker) hop() bool {
	for k := range w.limit {
		if !w.nears(k) {
			continue
		}
		clear(w.passing) // of the hop before: what it crossed is behind
		s := w.saddle(k, 3*w.reach(k))
		if s != nil && w.over(s) {
			return true
		}
		w.tried[k] = math.Abs(w.here.det[k])
		w.retreat()
	}
	return false
}

// reach is how far ahead a change point of block k is searched for, rad.
func (w *walker) reach(k int) float64 {
	if w.loose(k) {
		return looseReach
	}
	return hopReach
}

// playOf is the play of the row that misses at a saddle, mm: 0 where the row is not loose.
func (w *walker) playOf(s *saddle) float64 {
	if w.loose(s.k) {
		return w.e.C.At(w.e.Program.Square[s.k].Rows[s.row].Play)
	}
	return 0
}

// nears reports whether the determinant of a block falls linearly to zero, and soon. Toward a dead centre beyond which
// the parts do not reach it falls like a square root, and the speeds grow as its reciprocal.
func (w *walker) nears(k int) bool {
	if w.loose(k) && w.e.Program.Square[k] == nil {
		return false
	}
	d := math.Abs(w.here.det[k])
	if d > w.tried[k]/againShare {
		w.tried[k] = math.Inf(1)
	}
	if !(d <= w.tried[k]*againShare) {
		return false
	}
	was := w.behind()
	if was == nil {
		return w.fall[k] < w.reach(k)
	}
	o := math.Abs(was.det[k])
	if !(d < o) || !((w.at-was.at)*d/(o-d) < w.reach(k)) {
		return false
	}
	if w.loose(k) {
		return true
	}
	now, before := 0.0, 0.0
	for _, s := range w.e.Program.Blocks[k].Scalars {
		now, before = max(now, math.Abs(w.here.v[s])*w.mm(s)), max(before, math.Abs(was.v[s])*w.mm(s))
	}
	return now < before*(1+0.5*(o/d-1)) || now < slow*w.e.Program.Blocks[k].Size
}

// behind is the footing before the last, nil where the walk begins.
func (w *walker) behind() *footing {
	if len(w.trail) < 2 || math.IsNaN(w.trail[1].at) {
		return nil
	}
	return &w.trail[1]
}

// begin measures how fast the determinants fall where a walk begins, and keeps the first step well short of zero.
func (w *walker) begin() {
	e := w.e
	w.set(w.at + fallStep)
	for i := range e.X {
		e.X[i] = w.here.x[i] + fallStep*w.here.v[i]
	}
	for i := range e.Schedule.Steps {
		step := &e.Schedule.Steps[i]
		e.Place(step)
		if len(step.Scalars) == 0 {
			continue
		}
		k := step.Block
		if k == w.limit {
			break
		}
		d := e.Determinant(k)
		w.tried[k], w.fall[k] = math.Inf(1), math.Inf(1)
		if f := fallStep / (1 - d/w.here.det[k]); f > 0 {
			w.fall[k] = f
			if !w.loose(k) {
				w.pace = max(min(w.pace, f/4), leastStep)
			}
		}
	}
	w.retreat()
}

// over crosses a change point, and those of other blocks that coincide with it. It reports false where there is none,
// where that cannot be told, or where it is too early.
func (w *walker) over(s *saddle) bool {
	halves := float64(hopHalves)
	if w.loose(s.k) {
		halves = looseHalves
	}
	if !w.take(s) || s.at > w.r.length+max(hopLeast, 1.3*halves*s.half()) {
		return false
	}
	on := max(s.at-w.here.at, hopLeast, halves*s.half())
	for range hopTries + w.limit {
		far := w.last2(s.at) + on
		if w.r.dTurn == 0 && far > w.r.length {
			return false
		}
		found, ok := w.land(far)
		switch {
		case ok:
			w.landed(s, far)
			return true
		case found != nil:
			if !w.take(found) {
				return false
			}
			clear(w.passing[found.k+1:]) // found while block k continued as if its branches did not cross: search again
		default:
			on /= 2
		}
	}
	return false
}

// last2 is the last of the change points that a hop goes over.
func (w *walker) last2(at float64) float64 {
	for _, p := range w.passing {
		if p != nil {
			at = max(at, p.at)
		}
	}
	return at
}

// take adds a saddle to the hop, if it is a change point ahead and it can be told on which branch the linkage comes in.
func (w *walker) take(s *saddle) bool {
	ahead := s.at - w.here.at
	if !(math.Abs(s.off) <= max(w.e.Scale.AgreesOver(w.e.Program.Blocks[s.k].Size), w.playOf(s))) || !(ahead > tellLeast) || w.passing[s.k] != nil {
		return false
	}
	step := w.e.Program.Blocks[s.k].Step
	var off [2]float64
	for i := range off {
		for j, c := range step.Scalars {
			off[i] = max(off[i], math.Abs(w.here.x[c]-s.place(j, i, -ahead))*w.mm(c))
		}
	}
	way := 0
	if off[1] < off[0] {
		way = 1
	}
	if !(off[way] < tellShare*off[1-way]) {
		return false
	}
	w.passing[s.k] = &passing{s, way}
	return true
}

// mm is how far something moves when a scalar changes by one.
func (w *walker) mm(scalar int) float64 {
	if w.e.Schedule.Scalars[scalar].Direction {
		return w.e.Program.Size[scalar]
	}
	return 1
}

// land assembles block after block behind the change points of the hop, each on its own branch. Where a block does not
// follow from its place, it returns a saddle of that block if there is one.
func (w *walker) land(far float64) (found *saddle, ok bool) {
	e := w.e
	w.there.at = far
	w.there.copyScalars(&w.here)
	w.set(far)
	ok = e.Onward(w.limit, func(k int, step *schedule.Step) bool {
		lands := w.landBlock(k, step, far)
		if !lands && w.passing[k] == nil && !w.loose(k) {
			found = w.saddle(k, 3*hopReach)
		}
		return lands
	})
	if ok {
		_, ok = e.SolveUpTo(w.limit) // from the present scalars, to have every place and the re-check
	}
	return found, ok
}

// landBlock assembles one block, and reports whether it is on its branch.
func (w *walker) landBlock(k int, step *schedule.Step, far float64) bool {
	e, p := w.e, w.passing[k]
	h := far - w.here.at
	for j, c := range step.Scalars {
		e.X[c] = w.here.x[c] + h*w.here.v[c]
		if p != nil {
			e.X[c] = w.bent(p, j, c, far)
		}
		w.guess[c] = e.X[c]
	}
	if !e.SolveBlock(k) {
		return false
	}
	d, o := e.Det[k], w.here.det[k]
	if p == nil {
		return (d*o >= 0.5*o*o || w.loose(k)) && w.nearOf(step.Scalars, w.guess, h)
	}
	off, apart := 0.0, 0.0
	for j, c := range step.Scalars {
		off = max(off, math.Abs(e.X[c]-w.guess[c])*w.mm(c))
		apart = max(apart, p.apart(j, far-p.at)*w.mm(c))
	}
	if !(d*o < 0) || !(off < tellShare*apart) {
		return false
	}
	e.Place(step)
	w.rates(w.there.v, step, k)
	for _, c := range step.Scalars {
		w.there.x[c] = e.X[c]
	}
	return true
}

// bent is where a branch leads behind a change point, with the curvature that it has before it.
func (w *walker) bent(p *passing, j, scalar int, far float64) float64 {
	on, d := far-p.at, p.at-w.here.at
	return p.place(j, p.way, on) + on*on/(d*d)*(w.here.x[scalar]-p.place(j, p.way, -d))
}

// rates puts the speeds of a solved block into v.
func (w *walker) rates(v []float64, step *schedule.Step, k int) {
	for i := range w.travel {
		w.travel[i] = w.r.d[i] / w.r.length
	}
	w.e.Velocity(w.v, w.r.dTurn/w.r.length, w.travel, k+1)
	for _, c := range step.Scalars {
		v[c] = w.v.X[c]
	}
	w.set(w.there.at)
}

// copyScalars copies the scalars of another footing, without its speeds.
func (f *footing) copyScalars(o *footing) {
	copy(f.x, o.x)
	copy(f.v, o.v)
}

// landed notes the change points that the walker has crossed; it is behind them.
func (w *walker) landed(s *saddle, far float64) {
	c := w.crossed(&w.here, far)
	scale := w.r.dTurn / w.r.length
	c.at = w.r.turn + s.at*scale
	for _, p := range w.passing {
		if p != nil {
			c.passed = append(c.passed, w.passed(p.saddle))
		}
	}
	w.changes = append(w.changes, c)
	w.pace = max((far-w.at)/2, hopLeast/2)
	w.at = far
	w.forget()
}

// upTo places everything before block k at a place on the road. Blocks that the current hop crosses follow the cubic from
// one side to the other: on the change point itself Newton's method finds nothing.
func (w *walker) upTo(at float64, k int) bool {
	e := w.e
	w.set(at)
	return e.Onward(k, func(i int, step *schedule.Step) bool {
		if w.passing[i] != nil {
			f, h := (at-w.here.at)/(w.there.at-w.here.at), w.there.at-w.here.at
			for _, c := range step.Scalars {
				e.X[c] = hermite(f, h, w.here.x[c], w.here.v[c], w.there.x[c], w.there.v[c])
			}
			return true
		}
		for _, c := range step.Scalars { // near a change point of its own it could go to the other branch from there
			e.X[c] = w.here.x[c] + (at-w.here.at)*w.here.v[c]
		}
		return e.SolveBlock(i)
	})
}
