package linkage

import "barover/solver/schedule"

// Scalars puts the values of the Schedule's scalars at a pose that was solved before into x, which has one place for each.
func (l *Linkage) Scalars(p *Pose, x []float64) {
	e := l.borrow()
	defer l.pool.Put(e)
	l.stand(e, p)
	for i, v := range e.x {
		x[i] = v + e.shift(i)
	}
}

// shift is by how much a scalar is greater in the frame of the sketch than in that which it is solved in.
func (e *workspace) shift(scalar int) float64 {
	switch k := e.s.Scalars[scalar]; {
	case k.Direction:
	case k.Kind == schedule.ScalarX:
		return e.scale.origin.X
	case k.Kind == schedule.ScalarY:
		return e.scale.origin.Y
	}
	return 0
}
