package linkage

import (
	"math"
	"slices"
)

// balance is the square system that a block's scalars obey where it stands, so that they can be differentiated: its rows,
// and for a block with Loose rows those that are worst there, each equal to one more unknown, the worst itself.
type balance struct {
	rows []*Row
	sign []float64 // what each row counts for
	m    *matrix   // its slopes by the scalars and the worst
}

// balanced puts a block's system into m, or into fresh room where it has one unknown more. It returns nil where there is
// none.
func (e *engine) balanced(step *Step, m *matrix) *balance {
	if len(step.Loose) > 0 {
		return e.balancedLoose(step)
	}
	b := &balance{m: m}
	for i := range step.Rows {
		b.rows = append(b.rows, &step.Rows[i])
		b.sign = append(b.sign, 1)
	}
	e.jacobian(step, m.a)
	return b
}

// balancedLoose does that for a block with Loose rows. There is no such system where fewer are worst together than the
// freedoms and one: there the way that their misses bend decides.
func (e *engine) balancedLoose(step *Step) *balance {
	q := e.newBargain(step, nil)
	if q == nil {
		return nil
	}
	l, ok := q.level()
	if !ok {
		return nil
	}
	if q = e.newBargain(step, l.counts(len(step.Loose))); q == nil {
		return nil
	}
	if l, ok = q.level(); !ok || len(l.on) <= q.free || slices.Min(l.count) < leanLeast {
		return nil
	}
	b := &balance{}
	worst := &Step{Ops: step.Ops, Scalars: step.Scalars, Rows: slices.Clone(step.Rows)}
	for i := range step.Rows {
		b.rows = append(b.rows, &step.Rows[i])
		b.sign = append(b.sign, 1)
	}
	for _, s := range l.on {
		b.rows = append(b.rows, &step.Loose[s.row])
		b.sign = append(b.sign, s.sign)
		worst.Rows = append(worst.Rows, step.Loose[s.row])
	}
	n, wide := len(step.Scalars), len(b.rows)
	b.m = newMatrix(wide)
	a := e.slopes(worst)
	for i := range wide {
		for j := range n {
			b.m.a[i*wide+j] = b.sign[i] * a[i*n+j]
		}
		if i >= len(step.Rows) {
			b.m.a[i*wide+n] = -1
		}
	}
	return b
}

// against solves for how the scalars answer what drives the rows: fast tells how fast row i moves with the scalars held.
// The answers are in m.r, one for each scalar; no numbers where there are none.
func (b *balance) against(fast func(r *Row) float64) {
	for i, r := range b.rows {
		b.m.r[i] = -b.sign[i] * fast(r)
	}
	if b.m.solve() == 0 {
		b.m.r[0] = math.NaN()
	}
}

// turn swaps the matrix' rows and columns.
func (b *balance) turn() {
	n := b.m.n
	for i := range n {
		for j := range i {
			b.m.a[i*n+j], b.m.a[j*n+i] = b.m.a[j*n+i], b.m.a[i*n+j]
		}
	}
}

// differenceStep is how far to either side a pose is solved to find its speed where nothing but differences tells, rad.
const differenceStep = 1e-5

// looseVelocity finds the speed of the scalars of a step with Loose rows by solving it a little before and a little
// behind, what it needs moved along; no numbers where that fails.
func (e *engine) looseVelocity(step *Step, v *speed) {
	x, z, c := e.scalars(step), slices.Clone(e.z), slices.Clone(e.c)
	var beside [2][]float64
	for k, h := range [2]float64{-differenceStep, differenceStep} {
		for i := range e.z {
			e.z[i] = z[i].Add(v.z[i].Scale(h))
		}
		for i := range e.c {
			e.c[i] = c[i] + h*v.c[i]
		}
		e.put(step, x)
		if e.newtonLoose(step, newtonSteps) {
			beside[k] = e.scalars(step)
		}
	}
	copy(e.z, z)
	copy(e.c, c)
	e.put(step, x)
	for j, s := range step.Scalars {
		v.x[s] = math.NaN()
		if beside[0] != nil && beside[1] != nil {
			v.x[s] = (beside[1][j] - beside[0][j]) / (2 * differenceStep)
		}
	}
}
