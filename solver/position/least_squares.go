package position

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"

	"barover/solver/schedule"
)

// Closest looks for the scalars of a step with the least sum of squared residuals, by the method of Levenberg and
// Marquardt, from the present scalars. There may be more or fewer rows than scalars. favour, where not nil, multiplies
// each residual. It leaves the pose found in e and returns the largest residual, mm; NaN if there is none.
func (e *State) Closest(step *schedule.Step, favour []float64, steps int) float64 {
	m, n := len(step.Rows), len(step.Scalars)
	if n == 0 {
		e.Place(step)
		return e.Residuals(step, make([]float64, m))
	}
	q := &fit{e: e, step: step, favour: favour, r: make([]float64, m), jac: make([]float64, m*n),
		a: make([]float64, (m+n)*n), b: make([]float64, m+n), from: make([]float64, n)}
	cost, damp, solved := q.cost(), 1e-3, e.Scale.solvedOver(e.sizeOf(step))
	for range steps {
		if !(cost > 0) || math.IsInf(cost, 0) {
			break
		}
		e.Jacobian(step, q.jac)
		better := false
		for range 30 {
			moved, ok := q.try(damp)
			if ok {
				if next := q.cost(); next < cost {
					better = moved > 0.1*solved && cost-next > 1e-15*cost
					cost = next
					damp = max(damp/5, 1e-14)
					break
				}
				q.back()
			}
			damp *= 4
		}
		if !better {
			break
		}
	}
	e.Place(step)
	return e.Residuals(step, q.r)
}

// fit is the room for closest.
type fit struct {
	e      *State
	step   *schedule.Step
	favour []float64
	r      []float64
	jac    []float64
	a, b   []float64
	from   []float64
	work   []float64
}

// cost places the step and adds up the squares of its residuals.
func (q *fit) cost() float64 {
	q.e.Place(q.step)
	q.e.Residuals(q.step, q.r)
	sum := 0.0
	for i, v := range q.r {
		if q.favour != nil {
			v *= q.favour[i]
		}
		sum += v * v
	}
	return sum
}

// try moves the scalars by the step that the damped linear problem gives, and returns how far they went. The residuals
// must be those of the present scalars.
func (q *fit) try(damp float64) (moved float64, ok bool) {
	m, n := len(q.step.Rows), len(q.step.Scalars)
	q.e.Place(q.step)
	q.e.Residuals(q.step, q.r)
	clear(q.a)
	clear(q.b)
	for i := range m {
		f := 1.0
		if q.favour != nil {
			f = q.favour[i]
		}
		q.b[i] = q.r[i] * f
		for j := range n {
			q.a[i*n+j] = q.jac[i*n+j] * f
		}
	}
	for j, s := range q.step.Scalars {
		// A direction has no unit: it moves by 1 where a place moves by that of the block.
		k := 1.0
		if q.e.Schedule.Scalars[s].Direction {
			k = q.e.sizeOf(q.step)
		}
		q.a[(m+j)*n+j] = math.Sqrt(damp) * k
	}
	if !AllNumbers(q.a) {
		return 0, false
	}
	a := blas64.General{Rows: m + n, Cols: n, Data: q.a, Stride: n}
	b := blas64.General{Rows: m + n, Cols: 1, Data: q.b, Stride: 1}
	if q.work == nil {
		q.work = make([]float64, 1)
		lapack64.Gels(blas.NoTrans, a, b, q.work, -1)
		q.work = make([]float64, int(q.work[0]))
	}
	if !lapack64.Gels(blas.NoTrans, a, b, q.work, len(q.work)) {
		return 0, false
	}
	for j, s := range q.step.Scalars {
		q.from[j] = q.e.X[s]
		q.e.X[s] -= q.b[j]
		moved = max(moved, math.Abs(q.b[j]))
	}
	return moved, true
}

// back undoes try.
func (q *fit) back() {
	for j, s := range q.step.Scalars {
		q.e.X[s] = q.from[j]
	}
}
