package position

import "math"

// This file descends to the smallest maximum of the shares. It solves linear programmes within a trust region that
// shrinks where they promise too much (R. Fletcher and E. Sainz de la Maza, Mathematical Programming 43, 1989). Where
// these gain nothing, it takes a second-order step with the shares that the programme has found to be worst together.

// ending is the shares that are worst together at the end of a descent, with their weights.
type ending struct {
	on    []side
	count []float64
}

func (l *looser) end(on []side, count []float64) bool {
	l.ends = ending{make([]side, 0, len(on)), make([]float64, 0, len(on))}
	for k, s := range on {
		if count[k] > countLeast {
			l.ends.on, l.ends.count = append(l.ends.on, s), append(l.ends.count, count[k])
		}
	}
	return len(l.ends.on) > 0
}

// descend moves the scalars, keeping the bonds, to a local minimum of the worst open share.
func (l *looser) descend() bool {
	reach := l.e.Scale.stray()
	for range looseSteps {
		if !l.survey() {
			return false
		}
		t := l.worst()
		plan := l.plan(reach)
		if plan == nil {
			return false
		}
		gain, far := t-plan.worst, greatest(plan.y)
		x := l.e.Scalars(l.step)
		if gain <= l.quiet() {
			if l.free() >= len(plan.on) { // second derivatives decide: a last step makes the place exact
				if _, done := l.bend(plan, t, x); done {
					return true
				}
				l.back(x)
				l.survey()
			}
			return l.end(plan.on, plan.count)
		}
		if l.try(plan.y, t-0.1*gain) {
			if l.past.knows(l) {
				return false
			}
			if plan.bound {
				reach *= 2
			}
			continue
		}
		l.back(x)
		if moved, done := l.bend(plan, t, x); done {
			return true
		} else if moved {
			continue
		}
		if reach = min(reach, far) / 4; reach < l.noise {
			return l.end(plan.on, plan.count)
		}
	}
	return false
}

// survey finds residuals, slopes and frame at the present place.
func (l *looser) survey() bool {
	if l.q.m == len(l.bonds) && l.here() && l.q.sound {
		return l.look()
	}
	return l.look() && l.q.find(l)
}

// plan is the linear programme at the present place.
func (l *looser) plan(reach float64) *levelled {
	h, f := make([]float64, len(l.open)), l.free()
	g := make([]float64, len(l.open)*f)
	for k, i := range l.open {
		h[k] = l.r[i]
		l.q.along(l.jac[i*l.n:(i+1)*l.n], g[k*f:(k+1)*f])
	}
	p := l.levels.level(h, g, f, reach)
	if p != nil {
		for k := range p.on {
			p.on[k].row = l.open[p.on[k].row]
		}
	}
	return p
}

func greatest(y []float64) (far float64) {
	for _, v := range y {
		far = max(far, math.Abs(v))
	}
	return far
}

// try moves the freedoms, and reports whether the bonds can be kept and the worst is at most so much.
func (l *looser) try(y []float64, most float64) bool {
	l.move(l.q.free(y))
	return l.restore() && l.worst() <= most
}

func (l *looser) back(x []float64) {
	for j, s := range l.step.Scalars {
		l.e.X[s] = x[j]
	}
}

// bend takes a second-order step, from x and a worst of t, to where the shares of a plan stay level and their maximum is
// least. It reports whether that helped, and whether it ends the descent.
func (l *looser) bend(plan *levelled, t float64, x []float64) (moved, done bool) {
	if !l.survey() || !l.end(plan.on, plan.count) {
		return false, false
	}
	bend := l.bending(l.lean())
	for i := range l.free() {
		bend[i*(l.free()+1)] += l.flat() // a freedom without curvature stays where it is
	}
	y, count, ok := l.newton(bend)
	far := greatest(y)
	if !ok || far > l.e.Scale.stray() {
		return false, false
	}
	moved = l.try(y, t-l.quiet())
	if !moved {
		for _, c := range count {
			done = done || c < -countLeast
		}
		if done = !done && far <= stillRel*l.e.Scale.Size && l.worst() <= t+l.quiet(); !done {
			l.back(x)
		}
	}
	return moved, done && l.survey() && l.end(l.ends.on, count)
}

// newton solves H·y + Σ weight·slope = 0 with the shares at the end of the plan level and the sum of their weights 1.
func (l *looser) newton(bend []float64) (y, count []float64, ok bool) {
	f, on := l.free(), l.ends.on
	n := f + 1 + len(on)
	m := NewMatrix(n)
	for i := range f {
		copy(m.A[i*n:i*n+f], bend[i*f:(i+1)*f])
	}
	for k, s := range on {
		for j, v := range l.q.along(l.jac[s.row*l.n:(s.row+1)*l.n], nil) {
			m.A[j*n+f+1+k] = s.sign * v
			m.A[(f+k)*n+j] = s.sign * v
		}
		m.A[(f+k)*n+f] = -1
		m.R[f+k] = -s.sign * l.r[s.row]
		m.A[(n-1)*n+f+1+k] = 1
	}
	m.R[n-1] = 1
	if m.Solve() == 0 || !AllNumbers(m.R) {
		return nil, nil, false
	}
	return m.R[:f], m.R[f+1:], true
}

// overRidge looks across a ridge. Where one share has nearly all the weight, beside a dead centre of its own, there may
// be a place where another share is as great with the other sign and the maximum a little less. It reports whether it has
// gone there; the descent then begins again.
func (l *looser) overRidge() bool {
	e := l.ends
	first := 0
	for k, c := range e.count {
		if c > e.count[first] {
			first = k
		}
	}
	if len(e.on) < 2 || e.count[first] < ridgeCount || !l.survey() {
		return false
	}
	x, t := l.e.Scalars(l.step), l.worst()
	for k := range e.on {
		if y, ok := l.opposite(k, first); ok && k != first {
			if l.try(y, t-l.quiet()) {
				return true
			}
			l.back(x)
		}
	}
	l.survey()
	return false
}

// opposite is the movement to where share k at the end of a descent is as great with the other sign, and the others
// except the first are unchanged.
func (l *looser) opposite(k, first int) (y []float64, ok bool) {
	var a, want []float64
	for j, s := range l.ends.on {
		if j == first {
			continue
		}
		a = append(a, l.q.along(l.jac[s.row*l.n:(s.row+1)*l.n], nil)...)
		want = append(want, 0)
		if j == k {
			want[len(want)-1] = -2 * l.r[s.row]
		}
	}
	y, ok = shortest(a, want, len(want), l.free())
	return y, ok && greatest(y) <= l.e.Scale.stray()
}
