package checker

import (
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/blas"
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
	sign     float64 // of the determinant of the rows
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
		x: append([]float64(nil), p.x...), headings: append([]float64(nil), p.headings...), sign: p.sign}
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

// jacobian is the derivative of the rows by the found coordinates, by central differences, factorized.
func (s *Sketch) jacobian(p *Pose) *factors {
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
	return factorize(a)
}

// factors is a matrix as L·U, and the sign of its determinant; zero if it is singular.
type factors struct {
	lu   blas64.General
	swap []int
	sign float64
}

func factorize(a blas64.General) *factors {
	f := &factors{a, make([]int, a.Rows), 1}
	if !lapack64.Getrf(f.lu, f.swap) {
		f.sign = 0
	}
	for i, j := range f.swap {
		if i != j {
			f.sign = -f.sign
		}
		f.sign *= math.Copysign(1, f.lu.Data[i*a.Stride+i])
	}
	return f
}

// solve puts the solution for a right-hand side in its place.
func (f *factors) solve(b []float64) {
	lapack64.Getrs(blas.NoTrans, f.lu, blas64.General{Rows: len(b), Cols: 1, Stride: 1, Data: b}, f.swap)
}

// mostSteps bounds Newton's iteration. From close by it takes three to five.
const mostSteps = 12

// newton solves the rows from the place of p, at p's turn and travels. It reports whether it converged. It takes the
// derivative again until the steps are short.
func (s *Sketch) newton(p *Pose) bool {
	if s.known != nil {
		return s.byTheorem(p)
	}
	if len(p.x) == 0 {
		s.stand(p)
		return true
	}
	var j *factors
	most := math.Inf(1)
	for range mostSteps {
		if most > 1e-5*s.Size() {
			if j = s.jacobian(p); j.sign == 0 {
				return false
			}
			p.sign = j.sign
		}
		step := s.misses(p)
		j.solve(step)
		most = 0
		for k := range p.x {
			p.x[k] -= step[k]
			most = math.Max(most, math.Abs(step[k]))
		}
		if math.IsNaN(most) {
			return false
		}
		if most < 1e-9*s.Size() { // the next step would be at most a thousandth of it
			return s.assembled(p)
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
	p.sign = 1
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
	j.solve(up)
	return up, true
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
