package position

import "math"

// Determinant is that of block k's slopes at the present position, as Newton's method would find it.
func (e *State) Determinant(k int) float64 {
	step := e.Program.Blocks[k].Step
	if len(step.Loose) > 0 {
		if step = e.Program.Square[k]; step == nil {
			return 1
		}
	}
	m := e.room[k]
	e.Jacobian(step, m.A)
	clear(m.R)
	return m.Solve()
}

// SameSide reports whether every block is on the same side of its dead centre as det says; a det of zero is ignored.
func (e *State) SameSide(det []float64) bool {
	for k, d := range det {
		if !(d*e.Det[k] >= 0) {
			return false
		}
	}
	return true
}

// OnDeadCentre reports whether block k is on its dead centre.
func (e *State) OnDeadCentre(k int) bool {
	b := &e.Program.Blocks[k]
	switch {
	case b.Kernel == Loosely:
		return e.Slack[k]
	case b.Kernel == lengths && b.n > 3 && math.Abs(e.Det[k]) > b.sound:
		return false
	case b.Kernel == general || b.n > 3:
		e.Complete()
		return !(e.Squareness(k) > singular)
	}
	return !(math.Abs(e.Det[k]) > singular*b.steep)
}

// Squareness is near zero where block k is on a dead centre, and 1 where its rows are orthogonal. For up to three rows it
// is the determinant as a share of the greatest possible, else the reciprocal of the condition.
func (e *State) Squareness(k int) float64 {
	step, m := e.Program.Blocks[k].Step, e.room[k]
	n := len(step.Scalars)
	e.Place(step)
	e.Jacobian(step, m.A)
	for i := range n {
		row := m.A[i*n : i*n+n]
		sum := 0.0
		for j, s := range step.Scalars {
			if e.Schedule.Scalars[s].Direction {
				row[j] /= e.Program.Size[s]
			}
			sum += row[j] * row[j]
		}
		for j := range row {
			row[j] /= math.Sqrt(sum)
		}
	}
	if n > 3 {
		return reciprocalCondition(m)
	}
	clear(m.R)
	return math.Abs(m.Solve())
}
