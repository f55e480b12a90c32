package linkage

import (
	"math"

	"barover/solver/expr"
	"barover/solver/plane"
)

// engine is a Linkage in one position, with the room to move it. It allocates nothing while it moves. Give each goroutine
// its own.
type engine struct {
	p      *program
	s      *Schedule
	scale  scale
	turn   float64
	travel []float64

	tape  *expr.Tape
	drive []float64 // values of the driven coefficients, as the tape gives them
	c     coefs
	z     []plane.Vec
	x     []float64
	det   []float64 // of each block, where it was last solved
	room  []*matrix // of each block; blocks of one size share it

	unchecked bool // leave the re-check out: to measure what it costs

	dz []plane.Vec // room for slopes; nought between uses
	dx []float64
}

func newEngine(s *Schedule, p *program, scale scale) *engine {
	e := &engine{p: p, s: s, scale: scale, travel: make([]float64, s.Model.Travels), tape: p.tape.Clone()}
	e.drive = make([]float64, len(p.driven))
	e.c = append(coefs(nil), p.coef...)
	e.z = append([]plane.Vec(nil), p.fixed...)
	e.x = make([]float64, len(s.Scalars))
	e.det = make([]float64, len(p.blocks))
	e.dz, e.dx = make([]plane.Vec, len(p.fixed)), make([]float64, len(s.Scalars))
	rooms := make(map[int]*matrix)
	for _, b := range p.blocks {
		m, ok := rooms[b.n]
		if !ok {
			m = newMatrix(b.n)
			rooms[b.n] = m
		}
		e.room = append(e.room, m)
	}
	return e
}

// clone returns another engine in the same position.
func (e *engine) clone() *engine {
	c := newEngine(e.s, e.p, e.scale)
	c.copy(e)
	return c
}

// copy takes over the position of another engine of the same program.
func (e *engine) copy(o *engine) {
	e.turn = o.turn
	copy(e.travel, o.travel)
	copy(e.c, o.c)
	copy(e.z, o.z)
	copy(e.x, o.x)
	copy(e.det, o.det)
}

// set moves what is driven to a position; the rest stays where it is.
func (e *engine) set(turn float64, travel []float64) {
	e.turn = turn
	if len(travel) > 0 && &travel[0] != &e.travel[0] {
		copy(e.travel, travel)
	}
	e.tape.Run(turn, e.travel, e.drive)
	for i, id := range e.p.driven {
		e.c[id] = e.drive[i]
	}
	e.p.run(e.p.turns, e.c, e.z, e.x)
}

// solve places everything, each block by Newton's method from the scalars in hand, which must be close. It reports how
// many blocks it solved before one failed, and whether all did and the whole sketch holds.
func (e *engine) solve() (solved int, ok bool) {
	return e.solveUpTo(len(e.p.blocks))
}

// solveUpTo does the same with the first limit blocks alone. The re-check comes only after the last.
func (e *engine) solveUpTo(limit int) (solved int, ok bool) {
	for i := range e.p.stages {
		st := &e.p.stages[i]
		e.p.run(st.moves, e.c, e.z, e.x)
		if st.block == nil {
			break
		}
		if i == limit {
			return i, true
		}
		det, ok := e.newton(i, st.block)
		if !ok {
			return i, false
		}
		e.det[i] = det
	}
	n := len(e.p.blocks)
	return n, e.unchecked || e.p.holds(e.c, e.z, e.scale.size)
}

// complete places the rest of a whole pose, after solve.
func (e *engine) complete() { e.p.run(e.p.rest, e.c, e.z, e.x) }

// newton solves block k from the scalars in hand and returns the determinant of its slopes.
func (e *engine) newton(k int, b *block) (det float64, ok bool) {
	switch b.kernel {
	case solo:
		return e.newtonSolo(b)
	case dyad:
		return e.newtonDyad(b)
	case lengths:
		return e.newtonLengths(b, e.room[k])
	}
	return e.newtonGeneral(b, e.room[k])
}

func (e *engine) newtonSolo(b *block) (det float64, ok bool) {
	r := &b.rows[0]
	s := &e.x[b.scalars[0]]
	g := b.slope[0]
	for range newtonSteps {
		e.p.run(b.moves, e.c, e.z, e.x)
		a, q := e.z[r.a], e.z[r.b]
		dx, dy := a.X-q.X, a.Y-q.Y
		det = (dx*g.X + dy*g.Y) * r.invert
		d := (dx*dx + dy*dy - r.l2) * r.half / det
		*s -= d
		if d*d <= b.near {
			e.p.run(b.moves, e.c, e.z, e.x)
			return det, true
		}
	}
	return det, false
}

func (e *engine) newtonDyad(b *block) (det float64, ok bool) {
	r1, r2 := &b.rows[0], &b.rows[1]
	s := b.scalars[0]
	p, q := e.z[r1.b], e.z[r2.b]
	x, y := e.x[s], e.x[s+1]
	for range newtonSteps {
		ax, ay, bx, by := x-p.X, y-p.Y, x-q.X, y-q.Y
		f := (ax*ax + ay*ay - r1.l2) * 0.5
		g := (bx*bx + by*by - r2.l2) * 0.5
		det = ax*by - ay*bx
		k := 1 / det
		dx, dy := (f*by-ay*g)*k, (ax*g-f*bx)*k
		x -= dx
		y -= dy
		if dx*dx+dy*dy <= b.near {
			e.x[s], e.x[s+1] = x, y
			e.z[r1.a] = plane.Vec{X: x, Y: y}
			return det * r1.invert * r2.invert, true
		}
	}
	return det, false
}

func (e *engine) newtonLengths(b *block, m *matrix) (det float64, ok bool) {
	n := b.n
	for range newtonSteps {
		e.p.run(b.moves, e.c, e.z, e.x)
		for i := range b.rows {
			r := &b.rows[i]
			a, q := e.z[r.a], e.z[r.b]
			dx, dy := a.X-q.X, a.Y-q.Y
			m.r[i] = (dx*dx + dy*dy - r.l2) * r.half
			dx, dy = dx*r.invert, dy*r.invert
			for j, g := range b.slope[i*n : i*n+n] {
				m.a[i*n+j] = dx*g.X + dy*g.Y
			}
		}
		det = m.solve()
		q := 0.0
		for j, s := range b.scalars {
			d := m.r[j]
			e.x[s] -= d
			q += d * d
		}
		if q <= b.near {
			e.p.run(b.moves, e.c, e.z, e.x)
			return det, true
		}
		if math.IsNaN(q) {
			return det, false
		}
	}
	return det, false
}

// newtonGeneral looks at the residual once more after the last step, for nothing bounds it beforehand.
func (e *engine) newtonGeneral(b *block, m *matrix) (det float64, ok bool) {
	det = math.NaN()
	for step := range newtonSteps {
		e.place(b.step)
		if largest := e.residuals(b.step, m.r); step > 0 && largest <= b.tol {
			return det, e.aheadIn(b.step)
		}
		e.jacobian(b.step, m.a)
		det = m.solve()
		q := 0.0
		for j, s := range b.scalars {
			e.x[s] -= m.r[j]
			q += m.r[j] * m.r[j]
		}
		if math.IsNaN(q) {
			return det, false
		}
	}
	return det, false
}
