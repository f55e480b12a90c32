package linkage

import (
	"math"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// workspace is a Linkage in one position, with the room to move it. It allocates nothing while it moves. Give each goroutine
// its own.
type workspace struct {
	p      *program
	s      *schedule.Schedule
	scale  scale
	turn   float64
	travel []float64

	tapes [2]*expr.Tape
	all   *expr.Tape
	still []float64 // the travels for which what they alone move is computed
	c     schedule.Coefs
	z     []plane.Vec
	x     []float64
	det   []float64 // of each block, where it was last solved
	room  []*matrix // of each block; blocks of one size share it
	slack []bool    // of each block, where it was last solved: loose lines leave it free to move

	flanks [2][]float64 // the scalars of solved positions on either side, where there are: loose lengths look from there for their pose

	leap      float64 // a first correction by Newton's method whose square, as a share of the block's size, is above this is none
	unchecked bool    // leave the re-check out: to measure what it costs

	zBar []plane.Vec // room for slopes by places and by scalars; see back
	xBar []float64
	bend *bender // room for rates, made when first wanted
}

func newWorkspace(s *schedule.Schedule, p *program, scale scale) *workspace {
	e := &workspace{p: p, s: s, scale: scale, travel: make([]float64, s.Model.Travels), leap: math.Inf(1)}
	e.tapes = [2]*expr.Tape{p.tapes[0].Clone(), p.tapes[1].Clone()}
	e.all = p.all.Clone()
	e.still = filledNumbers(s.Model.Travels, math.NaN())
	e.c = append(schedule.Coefs(nil), p.coef...)
	e.z = append([]plane.Vec(nil), p.fixed...)
	e.x = make([]float64, len(s.Scalars))
	e.det = make([]float64, len(p.blocks))
	e.slack = make([]bool, len(p.blocks))
	e.zBar, e.xBar = make([]plane.Vec, len(p.fixed)), make([]float64, len(s.Scalars))
	rooms := make(map[int]*matrix)
	for i := range p.blocks {
		b := &p.blocks[i]
		m, ok := rooms[b.n]
		if !ok {
			m = newMatrix(b.n)
			rooms[b.n] = m
		}
		e.room = append(e.room, m)
	}
	return e
}

func filledNumbers(n int, v float64) []float64 {
	s := make([]float64, n)
	for i := range s {
		s[i] = v
	}
	return s
}

// clone returns another workspace in the same position.
func (e *workspace) clone() *workspace {
	c := newWorkspace(e.s, e.p, e.scale)
	c.copy(e)
	return c
}

// copy takes over the position of another workspace of the same program.
func (e *workspace) copy(o *workspace) {
	e.turn = o.turn
	copy(e.travel, o.travel)
	copy(e.still, o.still)
	copy(e.c, o.c)
	copy(e.z, o.z)
	copy(e.x, o.x)
	copy(e.det, o.det)
}

// set moves what is driven to a position; the rest stays where it is until it is solved.
func (e *workspace) set(turn float64, travel []float64) {
	e.turn = turn
	if len(travel) > 0 && &travel[0] != &e.travel[0] {
		copy(e.travel, travel)
	}
	for _, id := range e.p.turns {
		e.c[id] = turn
	}
	if len(e.p.driven) == 0 {
		return
	}
	e.tapes[0].Run(turn, e.travel, e.c)
	for i, t := range e.travel {
		if t != e.still[i] {
			e.tapes[1].Run(turn, e.travel, e.c)
			copy(e.still, e.travel)
			break
		}
	}
}

// solve places everything, each block by Newton's method from the scalars in hand, which must be close. It reports how
// many blocks it solved before one failed, and whether all did and the whole sketch holds.
func (e *workspace) solve() (solved int, ok bool) {
	if solved, ok = e.run(e.p.moves, len(e.p.blocks)); ok {
		ok = e.unchecked || e.p.holds(e.c, e.z, e.scale.size)
	}
	return solved, ok
}

// solveUpTo does the same with the first limit blocks, and what comes before the next. The re-check comes only if they
// are all.
func (e *workspace) solveUpTo(limit int) (solved int, ok bool) {
	if limit >= len(e.p.blocks) {
		return e.solve()
	}
	return e.run(e.p.moves, limit)
}

// complete places the rest of a whole pose, after solve.
func (e *workspace) complete() { e.run(e.p.rest, 0) }

// run makes the places of moves and solves the first limit blocks among them. It reports how many it solved, and whether
// none failed.
func (e *workspace) run(moves []move, limit int) (solved int, ok bool) {
	z := e.z
	for i := range moves {
		m := &moves[i]
		switch m.kind {
		case moveMul:
			b, a := z[m.b], z[m.a]
			z[m.z] = plane.Vec{X: a.X + (m.k.X*b.X - m.k.Y*b.Y), Y: a.Y + (m.k.X*b.Y + m.k.Y*b.X)}
		case moveMulBy:
			a, b, u, v := z[m.a], z[m.b], e.c[m.s], e.c[m.t]
			z[m.z] = plane.Vec{X: a.X + (u*b.X - v*b.Y), Y: a.Y + (u*b.Y + v*b.X)}
		case moveLerp:
			a, b := z[m.a], z[m.b]
			dx, dy := b.X-a.X, b.Y-a.Y
			z[m.z] = plane.Vec{X: a.X + (m.k.X*dx - m.k.Y*dy), Y: a.Y + (m.k.X*dy + m.k.Y*dx)}
		case moveSlide:
			a, b, s := z[m.a], z[m.b], e.x[m.s]
			z[m.z] = plane.Vec{X: a.X + s*b.X, Y: a.Y + s*b.Y}
		case moveFree:
			z[m.z] = plane.Vec{X: e.x[m.s], Y: e.x[m.s+1]}
		case moveBlock:
			if solved == limit {
				return solved, true
			}
			if !e.solveBlock(int(m.s)) {
				return solved, false
			}
			solved++
		case moveCrank:
			b, a := plane.Polar(e.c[m.s]), z[m.a]
			z[m.b] = b
			z[m.z] = plane.Vec{X: a.X + m.k.X*b.X, Y: a.Y + m.k.X*b.Y}
		case moveTurn:
			z[m.z] = plane.Polar(e.c[m.s])
		case moveScale:
			z[m.z] = m.k.Times(z[m.b])
		case moveAim:
			z[m.z] = m.k.Times(z[m.b].Sub(z[m.a]))
		default:
			z[m.z] = e.p.ops[m.s].Value(e.c, z, e.x)
		}
	}
	return solved, true
}

// solveBlock solves the i-th block by the kernel that suits it.
func (e *workspace) solveBlock(i int) bool {
	b, det := &e.p.blocks[i], &e.det[i]
	switch b.kernel {
	case dyad:
		return e.newtonDyad(b, det)
	case slider:
		return e.newtonSlider(b, det)
	case solo:
		return e.newtonSolo(b, det)
	case loosely:
		return e.newtonSlack(i)
	case lengths:
		return e.newtonLengths(b, e.room[i], det)
	}
	return e.newtonGeneral(b, e.room[i], det)
}

// newtonSlack solves a block of loose lengths. Where these are as many as it takes, the block need keep to no side of a dead
// centre, but it is seen by its determinant that it comes near one; of others that is 1.
func (e *workspace) newtonSlack(i int) bool {
	step := e.p.blocks[i].step
	l, ok := e.loosely(step)
	e.slack[i] = l.free() > 0
	e.det[i] = e.determinant(step, i)
	return ok
}
