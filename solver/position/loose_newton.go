package position

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// lean is the weight of each row in the maximum at the end of a descent: of the shares that are worst together, and of
// the rows of bonds as far as they bear what those pull.
func (l *looser) lean() []float64 {
	w := make([]float64, len(l.step.Rows))
	pull := make([]float64, l.n)
	for k, s := range l.ends.on {
		by := s.sign * l.ends.count[k]
		w[s.row] += by
		for j, v := range l.jac[s.row*l.n : (s.row+1)*l.n] {
			pull[j] -= by * v
		}
	}
	for i, by := range l.q.bear(pull) {
		for _, t := range l.bonds[i].terms {
			w[t.row] += by * t.by
		}
	}
	return w
}

// weigh multiplies the weights of rows by their factors at the present place, so that these do not move with it.
func (l *looser) weigh(w []float64) []float64 {
	out := make([]float64, len(w))
	for i, v := range w {
		out[i] = v * l.step.Rows[i].Weight(l.e.C, l.e.Z, l.e.sizeOf(l.step))
	}
	return out
}

// pull puts the slope of a sum of rows by the scalars in mm into to, with these so far along a direction.
func (l *looser) pull(w, way []float64, far float64, to []float64) {
	e, step := l.e, l.step
	x := e.Scalars(step)
	for j, s := range step.Scalars {
		e.X[s] += far * way[j] / l.unit[j]
	}
	e.Place(step)
	e.startBack(step)
	for i, by := range w {
		if by != 0 {
			step.Rows[i].Pull(e.C, e.Z, by, e.zBar, nil)
		}
	}
	e.back(step, to)
	for j, u := range l.unit {
		to[j] /= u
	}
	e.Put(step, x)
}

// bendAlong is how the slope of a sum of rows changes along a direction, for each mm: rows are quadratic, or nearly.
func (l *looser) bendAlong(w, way []float64) []float64 {
	h := bendStepRel * l.e.Scale.Size
	up, down := make([]float64, l.n), make([]float64, l.n)
	l.pull(w, way, h, up)
	l.pull(w, way, -h, down)
	for j := range up {
		up[j] = (up[j] - down[j]) / (2 * h)
	}
	return up
}

// bending is the second derivative of a sum of rows by the freedoms, free × free.
func (l *looser) bending(w []float64) []float64 {
	f := l.free()
	w = l.weigh(w)
	out := make([]float64, f*f)
	for i := range f {
		copy(out[i*f:], l.q.along(l.bendAlong(w, l.q.way(i)), nil))
	}
	for i := range f {
		for j := range i {
			v := (out[i*f+j] + out[j*f+i]) / 2
			out[i*f+j], out[j*f+i] = v, v
		}
	}
	return out
}

// flat is a curvature of the maximum that counts as none.
func (l *looser) flat() float64 {
	least := math.Inf(1)
	for _, s := range l.ends.on {
		least = min(least, l.play(s.row))
	}
	return bendLeast / (least * l.e.Scale.Size)
}

// settleBends makes a bond of every freedom along which the maximum, where it has just been settled, curves upward. If it
// curves downward along one, that is returned instead.
func (l *looser) settleBends() (down []float64, ok bool) {
	if !l.survey() {
		return nil, false
	}
	lean := l.lean()
	f := l.free()
	bend := l.bending(lean)
	var eig mat.EigenSym
	if !AllNumbers(bend) || !eig.Factorize(mat.NewSymDense(f, bend), true) {
		return nil, false
	}
	var v mat.Dense
	eig.VectorsTo(&v)
	least := l.flat()
	var bonds []bond
	for k, c := range eig.Values(nil) {
		way := l.q.free(mat.Col(nil, k, &v))
		switch {
		case c < -least && down == nil && l.ridges > 0:
			down = way
		case c > least:
			b := bond{way: way, lean: lean}
			b.from = l.value(&b)
			bonds = append(bonds, b)
		}
	}
	if down == nil {
		l.bonds = append(l.bonds, bonds...)
		l.q.stale()
	}
	return down, true
}

// offRidge moves a little to where the maximum is less, either way along a freedom on which it curves downward. If it is
// less on neither side it stays.
func (l *looser) offRidge(way []float64) {
	l.ridges--
	x := l.e.Scalars(l.step)
	if !l.look() {
		return
	}
	t := l.worst() - l.quiet()
	for far := l.e.Scale.stray(); far > l.noise; far /= 4 {
		for _, s := range [2]float64{far, -far} {
			by := make([]float64, l.n)
			for j := range by {
				by[j] = s * way[j]
			}
			l.move(by)
			if l.restore() && l.worst() < t {
				return
			}
			l.back(x)
		}
	}
	l.ridges = 0
	l.look()
}
