package position

import (
	"math"
	"slices"

	"barover/solver/schedule"
)

// balance is the square system that a block's scalars satisfy, for their derivatives. For a block with Loose rows it is
// what holds the block: shares that stay level, or a worst share that stays at its minimum.
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

// balanced puts a block's system into its room. It returns nil where there is none: where loose rows do not hold the block, and
// on its fold. There the slopes are singular but for rounding, whose sign says nothing.
func (e *State) balanced(step *schedule.Step) *balance {
	if slices.ContainsFunc(e.Folded, func(c int) bool { return slices.Contains(step.Scalars, c) }) {
		return nil
	}
	b := &balance{e: e, step: step, m: e.room[step.Block], rows: step.Rows}
	if len(step.Loose) > 0 {
		return b.loosely()
	}
	e.Jacobian(step, b.m.A)
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

// against solves for the response of the scalars to what drives the rows. fast gives the rate of a row with the scalars
// held. The answers are in m.r, one for each scalar; NaN where there are none. lean gives how fast the slope of a sum of
// rows along a direction changes; nil for not known.
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

// displaced calls do with the scalars a little to either side along the direction of equation k, with the factor that
// makes the sum a derivative along that direction.
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

// leaning is how fast the slope of equation k along its direction changes, with the scalars held and everything else
// moving by v.
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
	// The derivatives that the rows pass to the block's own places only repeat that the rows hold: the scalars have
	// accounted for that. Their places pass them on to their other operands.
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
