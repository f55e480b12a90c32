package checker

import (
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// Pose is an engine at one place of the turn and the travels.
type Pose struct {
	Turn   float64
	Travel []float64
	Points []complex128

	x        []float64 // coordinates of the found points, in the order of the points
	headings []float64
	slopes   *inverse // of the derivative of the rows, by which it was found
}

// moved is a copy whose turn has advanced by h, and its found coordinates by h times the velocity v.
func (p *Pose) moved(h float64, v []float64) *Pose {
	q := p.copied()
	q.Turn += h
	for i := range q.x {
		q.x[i] += h * v[i]
	}
	return q
}

func (p *Pose) copied() *Pose {
	return &Pose{Turn: p.Turn, Travel: append([]float64(nil), p.Travel...), Points: make([]complex128, len(p.Points)),
		x: append([]float64(nil), p.x...), headings: append([]float64(nil), p.headings...), slopes: p.slopes}
}

// stand computes every point from the found coordinates.
func (s *Sketch) stand(p *Pose) {
	k := 0
	for i := range s.points {
		if set := s.points[i].set; set != nil {
			p.Points[i] = set(p)
			continue
		}
		p.Points[i] = complex(p.x[k], p.x[k+1])
		k += 2
	}
}

// misses is by how much each row is missed.
func (s *Sketch) misses(p *Pose) []float64 { return s.missesInto(make([]float64, len(s.rows)), p) }

// missesInto is the same, in room that the caller has.
func (s *Sketch) missesInto(out []float64, p *Pose) []float64 {
	s.stand(p)
	for i := range s.rows {
		out[i] = s.rows[i].miss(p)
	}
	return out
}

// jacobian is the derivative of the rows by the found coordinates, by central differences, inverted.
func (s *Sketch) jacobian(p *Pose) *inverse {
	n := len(p.x)
	a := blas64.General{Rows: n, Cols: n, Stride: n, Data: make([]float64, n*n)}
	up, down := make([]float64, n), make([]float64, n)
	h := 1e-6 * s.Size()
	for k := range n {
		was := p.x[k]
		p.x[k] = was + h
		s.missesInto(up, p)
		p.x[k] = was - h
		s.missesInto(down, p)
		p.x[k] = was
		for i := range n {
			a.Data[i*n+k] = (up[i] - down[i]) / (2 * h)
		}
	}
	return inverted(a)
}

// inverse is the inverse of a matrix, and the sign of its determinant; zero if it is singular.
type inverse struct {
	blas64.General
	sign float64
}

// inverted turns a matrix into its inverse.
func inverted(a blas64.General) *inverse {
	inv := &inverse{a, 1}
	swap := make([]int, a.Rows)
	if !lapack64.Getrf(a, swap) {
		inv.sign = 0
		return inv
	}
	for i, j := range swap {
		if i != j {
			inv.sign = -inv.sign
		}
		inv.sign *= math.Copysign(1, a.Data[i*a.Stride+i])
	}
	lapack64.Getri(a, swap, make([]float64, a.Rows), a.Rows)
	return inv
}

// times puts the inverse times b into out.
func (inv *inverse) times(b, out []float64) {
	n := len(b)
	for i := range out {
		out[i] = 0
		for k, v := range inv.Data[i*n : (i+1)*n] {
			out[i] += v * b[k]
		}
	}
}

// mostSteps bounds Newton's iteration. From close by it takes three to five.
const mostSteps = 20

// slow is the share of a step that the next may be: if it is more, the derivative is taken again. As long as steps shrink like this,
// the determinant of the rows has the sign that it has where the derivative was taken.
const slow = 0.1

// newton solves the rows from the place of p, at p's turn and travels. It reports whether it converged. It begins with the derivative
// by which p was found, and takes it again where that no longer serves.
func (s *Sketch) newton(p *Pose) bool {
	if s.known != nil {
		return s.byTheorem(p)
	}
	if len(p.x) == 0 {
		s.stand(p)
		return true
	}
	misses, step := make([]float64, len(p.x)), make([]float64, len(p.x))
	shrunk, last := slow, 0.0
	for range mostSteps {
		if p.slopes == nil {
			p.slopes = s.jacobian(p)
		}
		if p.slopes.sign == 0 {
			return false
		}
		p.slopes.times(s.missesInto(misses, p), step)
		most := 0.0
		for i := range p.x {
			p.x[i] -= step[i]
			most = math.Max(most, math.Abs(step[i]))
		}
		if last > 0 {
			shrunk = most / last
		}
		switch {
		case math.IsNaN(most):
			return false
		case most < 1e-9*s.Size() && shrunk*most < 1e-15*s.Size(): // the next step is shorter than that, as second derivatives need it
			return s.assembled(p)
		case shrunk > slow:
			p.slopes, shrunk, last = nil, slow, 0
		default:
			last = most
		}
	}
	return false
}

// byTheorem puts the found points where a theorem says that they are.
func (s *Sketch) byTheorem(p *Pose) bool {
	s.stand(p)
	k := 0
	for _, z := range s.known(p) {
		if cmplx.IsNaN(z) {
			return false
		}
		p.x[k], p.x[k+1] = real(z), imag(z)
		k += 2
	}
	return s.assembled(p)
}

// assembled reports whether every row is met, and in the right sense.
func (s *Sketch) assembled(p *Pose) bool {
	for i, miss := range s.misses(p) {
		if math.Abs(miss) > 1e-8*s.Size() || math.IsNaN(miss) {
			return false
		}
		if sense := s.rows[i].sense; sense != nil && !(sense(p) > 0) {
			return false
		}
	}
	return true
}

// velocity is how the found coordinates move with the turn, mm/rad.
func (s *Sketch) velocity(p *Pose) ([]float64, bool) {
	const h = 1e-5
	n := len(p.x)
	if n == 0 {
		return nil, true
	}
	q := p.copied()
	q.Turn = p.Turn + h
	up := s.misses(q)
	q.Turn = p.Turn - h
	down := s.misses(q)
	for i := range up {
		up[i] = -(up[i] - down[i]) / (2 * h)
	}
	q.Turn = p.Turn
	j := s.jacobian(q)
	if j.sign == 0 {
		return nil, false
	}
	j.times(up, down)
	return down, true
}

// carryHeadings carries each heading from the pose before to p, so that none jumps.
func (s *Sketch) carryHeadings(p, before *Pose) {
	p.headings = make([]float64, len(s.headings))
	for k, h := range s.headings {
		p.headings[k] = cmplx.Phase(p.Points[h[1]] - p.Points[h[0]])
		if before != nil {
			p.headings[k] += 2 * math.Pi * math.Round((before.headings[k]-p.headings[k])/(2*math.Pi))
		}
	}
}
