package position

import (
	"math"
	"slices"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// State is a linkage in one position, with the room to move it. It allocates nothing while it moves. Give each goroutine
// its own.
type State struct {
	Program  *Program
	Schedule *schedule.Schedule
	Scale    Scale
	Turn     float64
	Travel   []float64

	tapes [2]*expr.Tape
	all   *expr.Tape
	still []float64 // the travels for which the coefficients that only they move are computed
	C     schedule.Coefs
	Z     []plane.Vec
	X     []float64
	Det   []float64 // of each block, where it was last solved
	room  []*Matrix // of each block; blocks of one size share it
	Slack []bool    // of each block, where it was last solved: loose lines leave it free to move

	Flanks [2][]float64 // the scalars of solved positions on either side, if any: loose lengths search for their pose from there

	Folded []int // scalars of blocks that the state has on their folds: there the block has no speeds; nil for none

	Leap      float64 // a first Newton correction counts as failed if its square, as a share of the block's size, is above this
	Unchecked bool    // skip the re-check, to measure its cost

	zBar         []plane.Vec // room for slopes by places and by scalars; see back
	xBar         []float64
	Acceleration *Acceleration // room for rates, allocated when first needed
}

// NewState makes a state without a position: Set drives it, and its scalars must be guessed before it is solved.
func NewState(s *schedule.Schedule, p *Program, scale Scale) *State {
	e := &State{Program: p, Schedule: s, Scale: scale, Travel: make([]float64, s.Model.Travels), Leap: math.Inf(1)}
	e.tapes = [2]*expr.Tape{p.tapes[0].Clone(), p.tapes[1].Clone()}
	e.all = p.all.Clone()
	e.still = slices.Repeat([]float64{math.NaN()}, s.Model.Travels)
	e.C = append(schedule.Coefs(nil), p.coef...)
	e.Z = append([]plane.Vec(nil), p.fixed...)
	e.X = make([]float64, len(s.Scalars))
	e.Det = make([]float64, len(p.Blocks))
	e.Slack = make([]bool, len(p.Blocks))
	e.zBar, e.xBar = make([]plane.Vec, len(p.fixed)), make([]float64, len(s.Scalars))
	rooms := make(map[int]*Matrix)
	for i := range p.Blocks {
		b := &p.Blocks[i]
		m, ok := rooms[b.n]
		if !ok {
			m = NewMatrix(b.n)
			rooms[b.n] = m
		}
		e.room = append(e.room, m)
	}
	return e
}

// Clone returns another state in the same position.
func (e *State) Clone() *State {
	c := NewState(e.Schedule, e.Program, e.Scale)
	c.Copy(e)
	return c
}

// Copy copies the position of another state of the same program.
func (e *State) Copy(o *State) {
	e.Turn = o.Turn
	copy(e.Travel, o.Travel)
	copy(e.still, o.still)
	copy(e.C, o.C)
	copy(e.Z, o.Z)
	copy(e.X, o.X)
	copy(e.Det, o.Det)
}

// Set moves the drives to a position; everything else stays where it is until it is solved.
func (e *State) Set(turn float64, travel []float64) {
	e.Turn = turn
	if len(travel) > 0 && &travel[0] != &e.Travel[0] {
		copy(e.Travel, travel)
	}
	for _, id := range e.Program.turns {
		e.C[id] = turn
	}
	if len(e.Program.Driven) == 0 {
		return
	}
	e.tapes[0].Run(turn, e.Travel, e.C)
	for i, t := range e.Travel {
		if t != e.still[i] {
			e.tapes[1].Run(turn, e.Travel, e.C)
			copy(e.still, e.Travel)
			break
		}
	}
}

// Valued reports whether every sum that drives the engine has a value at the present turn and travels.
func (e *State) Valued() bool {
	return !slices.ContainsFunc(e.Program.Driven, func(id expr.ID) bool { return math.IsNaN(e.C[id]) })
}

// Solve places everything, each block by Newton's method from the present scalars, which must be close. It reports how
// many blocks it solved before one failed, and whether all were solved and the whole sketch holds.
func (e *State) Solve() (solved int, ok bool) {
	if solved, ok = e.run(e.Program.moves, len(e.Program.Blocks)); ok {
		ok = e.Unchecked || e.Program.holds(e.C, e.Z, e.Scale.Size)
	}
	return solved, ok
}

// SolveUpTo does the same with the first limit blocks, and the moves before the next. It re-checks only if they are all.
func (e *State) SolveUpTo(limit int) (solved int, ok bool) {
	if limit >= len(e.Program.Blocks) {
		return e.Solve()
	}
	return e.run(e.Program.moves, limit)
}

// Complete places the rest of a whole pose, after solve.
func (e *State) Complete() { e.run(e.Program.rest, 0) }

// run makes the places of moves and solves the first limit blocks among them. It reports how many it solved, and whether
// none failed.
func (e *State) run(moves []move, limit int) (solved int, ok bool) {
	z := e.Z
	for i := range moves {
		m := &moves[i]
		switch m.kind {
		case moveMul:
			b, a := z[m.b], z[m.a]
			z[m.z] = plane.Vec{X: a.X + (m.k.X*b.X - m.k.Y*b.Y), Y: a.Y + (m.k.X*b.Y + m.k.Y*b.X)}
		case moveMulBy:
			a, b, u, v := z[m.a], z[m.b], e.C[m.s], e.C[m.t]
			z[m.z] = plane.Vec{X: a.X + (u*b.X - v*b.Y), Y: a.Y + (u*b.Y + v*b.X)}
		case moveLerp:
			a, b := z[m.a], z[m.b]
			dx, dy := b.X-a.X, b.Y-a.Y
			z[m.z] = plane.Vec{X: a.X + (m.k.X*dx - m.k.Y*dy), Y: a.Y + (m.k.X*dy + m.k.Y*dx)}
		case moveSlide:
			a, b, s := z[m.a], z[m.b], e.X[m.s]
			z[m.z] = plane.Vec{X: a.X + s*b.X, Y: a.Y + s*b.Y}
		case moveFree:
			z[m.z] = plane.Vec{X: e.X[m.s], Y: e.X[m.s+1]}
		case moveBlock:
			if solved == limit {
				return solved, true
			}
			if !e.SolveBlock(int(m.s)) {
				return solved, false
			}
			solved++
		case moveCrank:
			b, a := plane.Polar(e.C[m.s]), z[m.a]
			z[m.b] = b
			z[m.z] = plane.Vec{X: a.X + m.k.X*b.X, Y: a.Y + m.k.X*b.Y}
		case moveTurn:
			z[m.z] = plane.Polar(e.C[m.s])
		case moveScale:
			z[m.z] = m.k.Times(z[m.b])
		case moveAim:
			z[m.z] = m.k.Times(z[m.b].Sub(z[m.a]))
		default:
			z[m.z] = e.Program.ops[m.s].Value(e.C, z, e.X)
		}
	}
	return solved, true
}

// SolveBlock solves the i-th block, once more where it is skewed: there the error of a place is the residual over the
// determinant.
func (e *State) SolveBlock(i int) bool {
	if !e.solveOnce(i) {
		return false
	}
	b := &e.Program.Blocks[i]
	if det := math.Abs(e.Det[i]); det < skewed*b.steep && det > singular*b.steep {
		return e.solveOnce(i)
	}
	return true
}

// solveOnce solves the i-th block by the kernel that suits it.
func (e *State) solveOnce(i int) bool {
	b, det := &e.Program.Blocks[i], &e.Det[i]
	switch b.Kernel {
	case dyad:
		return e.newtonDyad(b, det)
	case slider:
		return e.newtonSlider(b, det)
	case solo:
		return e.newtonSolo(b, det)
	case Loosely:
		return e.newtonSlack(i)
	case lengths:
		return e.newtonLengths(b, e.room[i], det)
	}
	return e.newtonGeneral(b, e.room[i], det)
}

// newtonSlack solves a block of loose lengths. If these are as many as it takes, the block may be on either side of a
// dead centre, but its determinant shows that it comes near one. For other blocks that is 1.
func (e *State) newtonSlack(i int) bool {
	l, ok := e.loosely(e.Program.Blocks[i].Step)
	e.Slack[i] = l.free() > 0
	e.Det[i] = e.Determinant(i)
	return ok
}
