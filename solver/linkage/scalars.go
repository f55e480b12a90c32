package linkage

// Scalars puts the values of the Schedule's scalars at a solved pose into x, which has one place for each.
func (l *Linkage) Scalars(p *Pose, x []float64) {
	e := l.borrow()
	defer l.pool.Put(e)
	l.stand(e, p)
	for i, v := range e.X {
		x[i] = v + e.Shift(i)
	}
}
