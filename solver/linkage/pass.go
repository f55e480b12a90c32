package linkage

import (
	"math"
	"slices"

	"barover/solver/position"
	"barover/solver/schedule"
)

// Pass is a change point that a motion passes, straight on, or one that the parts miss by little.
type Pass struct {
	Turn   float64 // rad
	Travel []float64
	Stmt   int     // the statement that misses
	Point  int     // a point of the Model that the block places, -1 for none
	Way    Way     // how rigid parts continue
	Miss   float64 // by how much the statement is too long to go straight on, mm
	Half   float64 // half of the stretch of the turn that the miss opens at the crossing, rad
	Play   float64 // of the statement, mm: 0 where it is not loose
	Open   float64 // half of the stretch over which its play alone leaves both ways open, rad

	row    int // of the block, the one that misses
	scalar int // the one that moves most on the way that the rows do not hold
}

// Way says how parts continue at a change point.
type Way uint8

// The ways.
const (
	Straight Way = iota // the miss is within the tolerance of the statements: straight on
	Swaps               // they turn sharply to the other branch
	Locks               // they do not reach across
)

var wayNames = [...]string{"straight", "swaps", "locks"}

func (w Way) String() string { return wayNames[w] }

// passed describes a saddle on the road.
func (w *walker) passed(s *saddle) Pass {
	step := w.e.Program.Blocks[s.k].Step
	if w.loose(s.k) {
		step = w.e.Program.Square[s.k]
	}
	p := Pass{Stmt: step.Rows[s.row].Stmt, Point: pointOf(w.e.Schedule, step), Miss: tooLong(w.e, &step.Rows[s.row], s.off), Half: s.half(), row: s.row, scalar: step.Scalars[s.col]}
	if p.Play = w.playOf(s); p.Play > 0 {
		apart := p.Play - math.Abs(s.off)
		if s.locks() {
			apart = p.Play + math.Abs(s.off)
		}
		p.Open = math.Sqrt(2 * math.Abs(s.a) * apart / s.disc())
	}
	f := s.at / w.r.length
	p.Turn = w.r.turn + f*w.r.dTurn
	for i, t := range w.r.travel {
		p.Travel = append(p.Travel, t+f*w.r.d[i])
	}
	return p
}

// tooLong is by how much the length of a row is too long where its residual is off below zero; the residual of a length
// is not quite its miss.
func tooLong(e *position.State, r *schedule.Row, off float64) float64 {
	if r.Kind != schedule.RowLength {
		return off
	}
	v := e.C.At(r.V)
	return 2 * off / (1 + math.Sqrt(1-2*off/v))
}

// pointOf is a point with a name that a step places, -1 if there is none.
func pointOf(s *schedule.Schedule, step *schedule.Step) int {
	for _, op := range step.Ops {
		if i := int(op.Z); i < len(s.Model.Points) && s.Named(i) {
			return i
		}
	}
	return -1
}

// Passes lists the change points that the motion passes straight on, those on the way from rest to its travel setting
// first, and those that the parts miss by so little that play in the pins may take them to the other branch.
func (mo *Motion) Passes() []Pass {
	out := append([]Pass(nil), mo.passed...)
	for i := range mo.changes {
		for _, p := range mo.changes[i].passed {
			if n := len(mo.turn); n > 0 && p.Turn >= mo.turn[0]-endsRounding && p.Turn <= mo.turn[n-1]+endsRounding {
				out = append(out, p)
			}
		}
	}
	return append(out, mo.misses()...)
}

const (
	// missShare is the share of the block's size above which a miss at a change point is intended.
	missShare = 2e-3
	// lowShare is the share of the greatest determinant below which a minimum may be due to a change point.
	lowShare = 0.3
	// lowTries is the number of steps of a golden section to the least determinant.
	lowTries = 12
	// missReach is how far from there the saddle is searched for, rad.
	missReach = 0.05
	// missNear is how far from the saddle the motion may pass it, as a multiple of the distance of the branches there.
	missNear = 3
)

// misses finds the change points that are missed by little: near a minimum of a determinant, and at the ends of spans.
func (mo *Motion) misses() (out []Pass) {
	e := position.NewState(mo.l.s, mo.l.p, mo.l.start.Scale)
	for _, s := range mo.spans {
		for k := range e.Det {
			if e.Program.Blocks[k].Kernel == position.Loosely {
				continue
			}
			for _, i := range mo.lows(s, k) {
				if p, ok := mo.missNear(e, s, i, k); ok && !told(out, &p) {
					out = append(out, p)
				}
			}
		}
	}
	return out
}

// lows lists the positions of a span at which the determinant of block k has a low minimum.
func (mo *Motion) lows(s span, k int) (at []int) {
	d := func(i int) float64 { return math.Abs(mo.dets(i)[k]) }
	most := 0.0
	for i := s.first; i <= s.last; i++ {
		most = max(most, d(i))
	}
	for i := s.first; i <= s.last; i++ {
		if d(i) < lowShare*most && !(i > s.first && d(i-1) < d(i)) && !(i < s.last && d(i+1) <= d(i)) {
			at = append(at, i)
		}
	}
	return at
}

// missNear looks for a change point of block k about position i of a span.
func (mo *Motion) missNear(e *position.State, s span, i, k int) (p Pass, ok bool) {
	if !mo.lowest(e, s, i, k) {
		return p, false
	}
	w := newWalker(e)
	w.r = turnRoad(e, e.Turn+1)
	w.stand()
	z := w.saddle(k, missReach)
	size := e.Program.Blocks[k].Size
	if z == nil || !(math.Abs(z.off) > e.Scale.AgreesOver(size) && math.Abs(z.off) < missShare*size) {
		return p, false
	}
	far := missNear * (math.Sqrt(2*math.Abs(z.off/z.a)) + (z.half()+math.Abs(z.at))*steepest) * size
	for j, c := range e.Program.Blocks[k].Step.Scalars {
		if !(math.Abs(w.here.x[c]-z.x[j])*w.mm(c) <= far) {
			return p, false
		}
	}
	p = w.passed(z)
	p.Way = Swaps
	if z.locks() {
		p.Way = Locks
	}
	return p, math.Abs(z.at) <= missNear*z.half()+missReach/2
}

// lowest puts e at the minimum of the determinant of block k between the neighbours of position i.
func (mo *Motion) lowest(e *position.State, s span, i, k int) bool {
	at := func(t float64) float64 {
		if st := mo.stand(e, t); st != Solved && st != DeadCentre {
			return math.Inf(1)
		}
		return math.Abs(e.Det[k])
	}
	a, b := mo.turn[max(i-1, s.first)], mo.turn[min(i+1, s.last)]
	best, t := at(mo.turn[i]), mo.turn[i]
	const golden = 0.6180339887498949
	x, y := b-golden*(b-a), a+golden*(b-a)
	fx, fy := at(x), at(y)
	for range lowTries {
		if fx < fy {
			b, y, fy = y, x, fx
			x = b - golden*(b-a)
			fx = at(x)
		} else {
			a, x, fx = x, y, fy
			y = a + golden*(b-a)
			fy = at(y)
		}
	}
	if fx < best {
		best, t = fx, x
	}
	if fy < best {
		best, t = fy, y
	}
	return at(t) < math.Inf(1)
}

// told reports whether a miss is in the list already, or is only the effect of an earlier block's miss on a later one.
func told(list []Pass, p *Pass) bool {
	return slices.ContainsFunc(list, func(q Pass) bool { return math.Abs(q.Turn-p.Turn) <= missNear*max(q.Half, p.Half)+10*leastStep })
}
