package position

import (
	"math"

	"barover/solver/plane"
)

// This file solves blocks by Newton's method from the present scalars. Each kernel leaves the determinant of the slopes
// in det, and reports whether it converged and the scalars that must be above zero are.

// newtonSolo needs its arm once: it is linear in the scalar.
func (e *State) newtonSolo(b *Block, det *float64) bool {
	e.run(b.moves, 0)
	r, g := &b.rows[0], b.slope[0]
	a, q := e.Z[r.a], e.Z[r.b]
	dx, dy := a.X-q.X, a.Y-q.Y
	s := e.X[b.first]
	leap := e.Leap * b.area
	for range newtonSteps {
		k := dx*g.X + dy*g.Y
		d := (dx*dx + dy*dy - r.l2) * 0.5 / k
		s -= d
		if d*d <= b.near {
			e.X[b.first] = s
			e.run(b.moves, 0)
			*det = k * r.invert
			return s > b.least
		}
		if !(d*d <= leap) {
			break
		}
		leap = math.Inf(1)
		dx -= d * g.X
		dy -= d * g.Y
	}
	return false
}

// newtonSlider is newtonSolo for a point on a slide, without moves.
func (e *State) newtonSlider(b *Block, det *float64) bool {
	m := &b.slide
	r := &b.pair[0]
	base, g, q := e.Z[m.a], e.Z[m.b], e.Z[r.b]
	s := e.X[b.first]
	dx, dy := base.X-q.X+s*g.X, base.Y-q.Y+s*g.Y
	leap := e.Leap * b.area
	for range newtonSteps {
		k := dx*g.X + dy*g.Y
		d := (dx*dx + dy*dy - r.l2) * 0.5 / k
		s -= d
		if d*d <= b.near {
			e.X[b.first] = s
			e.Z[m.z] = plane.Vec{X: base.X + s*g.X, Y: base.Y + s*g.Y}
			*det = k * r.invert
			return s > b.least
		}
		if !(d*d <= leap) {
			break
		}
		leap = math.Inf(1)
		dx -= d * g.X
		dy -= d * g.Y
	}
	return false
}

func (e *State) newtonDyad(b *Block, det *float64) bool {
	r1, r2 := &b.pair[0], &b.pair[1]
	s := b.first
	p, q := e.Z[r1.b], e.Z[r2.b]
	x, y := e.X[s], e.X[s+1]
	leap := e.Leap * b.area
	for range newtonSteps {
		ax, ay, bx, by := x-p.X, y-p.Y, x-q.X, y-q.Y
		f := (ax*ax + ay*ay - r1.l2) * 0.5
		g := (bx*bx + by*by - r2.l2) * 0.5
		c := ax*by - ay*bx
		k := 1 / c
		dx, dy := (f*by-ay*g)*k, (ax*g-f*bx)*k
		x -= dx
		y -= dy
		d := dx*dx + dy*dy
		if d <= b.near {
			e.X[s], e.X[s+1] = x, y
			e.Z[r1.a] = plane.Vec{X: x, Y: y}
			*det = c * b.invert
			return true
		}
		if !(d <= leap) {
			break
		}
		leap = math.Inf(1)
	}
	return false
}

// newtonLengths needs its arms once: they are linear in the scalars.
func (e *State) newtonLengths(b *Block, m *Matrix, det *float64) bool {
	n := b.n
	e.run(b.moves, 0)
	for i := range b.rows {
		r := &b.rows[i]
		a, q := e.Z[r.a], e.Z[r.b]
		m.arm[i] = plane.Vec{X: a.X - q.X, Y: a.Y - q.Y}
	}
	leap := e.Leap * b.area
	for range newtonSteps {
		for i := range b.rows {
			r, arm := &b.rows[i], m.arm[i]
			m.R[i] = (arm.X*arm.X + arm.Y*arm.Y - r.l2) * r.half
			x, y := arm.X*r.invert, arm.Y*r.invert
			a := m.A[i*n : i*n+n]
			for j, g := range b.slope[i*n : i*n+n] {
				a[j] = x*g.X + y*g.Y
			}
		}
		*det = m.Solve()
		q := 0.0
		for j, s := range b.Scalars {
			d := m.R[j]
			e.X[s] -= d
			q += d * d
		}
		if q <= b.near {
			e.run(b.moves, 0)
			return e.ahead(b)
		}
		if !(q <= leap) {
			break
		}
		leap = math.Inf(1)
		for i := range m.arm {
			for j, g := range b.slope[i*n : i*n+n] {
				m.arm[i].X -= g.X * m.R[j]
				m.arm[i].Y -= g.Y * m.R[j]
			}
		}
	}
	return false
}

// newtonGeneral computes the residual once more after the last step, since nothing bounds it beforehand.
func (e *State) newtonGeneral(b *Block, m *Matrix, det *float64) bool {
	leap := e.Leap * b.area
	for step := range newtonSteps {
		e.Place(b.Step)
		if largest := e.Residuals(b.Step, m.R); step > 0 && largest <= b.tol {
			return e.aheadIn(b.Step)
		}
		e.Jacobian(b.Step, m.A)
		*det = m.Solve()
		q := 0.0
		for j, s := range b.Scalars {
			e.X[s] -= m.R[j]
			q += m.R[j] * m.R[j]
		}
		if !(q <= leap) {
			break
		}
		leap = math.Inf(1)
	}
	return false
}

// ahead reports whether the scalars of a block that must be above zero are.
func (e *State) ahead(b *Block) bool {
	for _, s := range b.ahead {
		if !(e.X[s] > 0) {
			return false
		}
	}
	return true
}
