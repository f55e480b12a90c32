package position

import (
	"math"

	"barover/solver/schedule"
)

// balance is the square system that a block's scalars obey where it stands, so that they can be differentiated. For a
// block with Loose rows it is what holds it there: shares that stay level, or a worst that stays where it is least.
type balance struct {
	e     *State
	step  *schedule.Step
	rows  []schedule.Row
	loose *looser // where the block has Loose rows; its bonds are the equations, and not the rows
	m     *Matrix // the slopes of the equations by the scalars
	one   [1]term // room for an equation that is a row
}

// terms are the rows that equation k is made of; none for a worst that is least along a way.
func (b *balance) terms(k int) []term {
	if b.loose != nil {
		return b.loose.bonds[k].terms
	}
	b.one[0] = term{k, 1}
	return b.one[:]
}

// balanced puts a block's system into m. It returns nil where there is none: where loose rows do not hold the block, as
// on its dead centre.
func (e *State) balanced(step *schedule.Step, m *Matrix) *balance {
	b := &balance{e: e, step: step, m: m, rows: step.Rows}
	if len(step.Loose) > 0 {
		return b.loosely()
	}
	e.Jacobian(step, m.A)
	return b
}

func (b *balance) loosely() *balance {
	x := b.e.Scalars(b.step)
	l, ok := b.e.settled(b.step, nil)
	b.e.Put(b.step, x)
	if !ok || l.free() > 0 || !l.look() {
		return nil
	}
	b.loose, b.m, b.rows = l, NewMatrix(l.n), l.step.Rows
	for i := range l.bonds {
		q := &l.bonds[i]
		a := b.m.A[i*l.n : (i+1)*l.n]
		if q.lean != nil {
			copy(a, l.bendAlong(l.weigh(q.lean), q.way))
		} else {
			l.slope(q, a)
		}
		for j, u := range l.unit {
			a[j] *= u
		}
	}
	return b
}

func (b *balance) weight(r *schedule.Row) float64 { return r.Weight(b.e.C, b.e.Z, b.e.sizeOf(b.step)) }

// against solves for how the scalars answer what drives the rows: fast tells how fast a row moves with the scalars held.
// The answers are in m.r, one for each scalar; no numbers where there are none. lean tells how fast the slope of a sum of
// rows along a way changes; nil for not known.
func (b *balance) against(fast func(r *schedule.Row) float64, lean func(k int) float64) {
	for i := range b.m.n {
		terms := b.terms(i)
		b.m.R[i] = 0
		for _, t := range terms {
			r := &b.rows[t.row]
			b.m.R[i] -= t.by * fast(r) * b.weight(r)
		}
		if terms == nil {
			b.m.R[i] = math.NaN()
			if lean != nil {
				b.m.R[i] = -lean(i)
			}
		}
	}
	if b.m.Solve() == 0 {
		b.m.R[0] = math.NaN()
	}
}

// turn swaps the matrix' rows and columns.
func (b *balance) turn() {
	n := b.m.n
	for i := range n {
		for j := range i {
			b.m.A[i*n+j], b.m.A[j*n+i] = b.m.A[j*n+i], b.m.A[i*n+j]
		}
	}
}

// displaced does something with the scalars a little to either side along the way of equation k, and tells what it is to
// be counted for to come to a derivative along that way.
func (b *balance) displaced(k int, do func(lean []float64, by float64)) {
	l := b.loose
	q := &l.bonds[k]
	w := l.weigh(q.lean)
	h := bendStepRel * b.e.Scale.Size
	x := b.e.Scalars(b.step)
	for _, far := range [2]float64{h, -h} {
		for j, s := range b.step.Scalars {
			b.e.X[s] = x[j] + far*q.way[j]/l.unit[j]
		}
		b.e.Place(b.step)
		do(w, 1/(2*far))
	}
	b.e.Put(b.step, x)
}

// leaning is how fast the slope of equation k along its way changes, with the scalars held and all else moved as v says.
func (b *balance) leaning(k int, v *Speed) (fast float64) {
	b.displaced(k, func(lean []float64, by float64) {
		b.e.drift(b.step, v)
		for i, w := range lean {
			if w != 0 {
				fast += by * w * b.rows[i].Tangent(b.e.C, b.e.Z, v.C, v.Z)
			}
		}
	})
	return fast
}

// pull takes the derivatives w of a result by the equations back to places and coefficients.
func (b *balance) pull(w []float64, p *Adjoint) {
	for k := range w {
		for _, t := range b.terms(k) {
			r, by := &b.rows[t.row], w[k]*t.by
			if p.Held != nil {
				p.Held(r, by)
			}
			r.Pull(b.e.C, b.e.Z, by*b.weight(r), p.Z, p.C)
		}
	}
	// What the rows hand back to the block's own places only says again that the rows hold: the scalars have answered
	// for it. Their places go on to what else they are made from.
	p.ops(b.step)
	for k := range w {
		if b.terms(k) != nil {
			continue
		}
		b.displaced(k, func(lean []float64, by float64) {
			for i, c := range lean {
				if c != 0 {
					b.rows[i].Pull(b.e.C, b.e.Z, w[k]*by*c, p.Z, p.C)
				}
			}
			p.ops(b.step)
		})
	}
}
