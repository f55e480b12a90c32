package linkage

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// A step with Loose rows has a freedom that its Rows leave. Its pose is the one in which the greatest share, the worst
// |miss| / play, is as small as it can be. Where that leaves a choice still (the worst hangs on some of the freedoms
// only) the squares of all shares decide; they count for next to nothing otherwise.
//
// The problem is put in second order about the pose in hand, solved as such (see levelling), and put anew until nothing
// moves. The second order is wanted: next to its own dead centre a rod's miss is least in the middle, and not where
// another's grows as great.

// evenly is what the squares of the shares count for beside the worst of them.
const evenly = 1e-7

// bargain is the problem about one pose: hard rows met, the worst of the loose ones least.
type bargain struct {
	n, free int
	base    []float64  // movement of the scalars that meets the hard rows
	ways    *mat.Dense // the freedoms: columns that no hard row minds
	h       []float64  // shares after base
	slope   *mat.Dense // of the shares, by the freedoms
	jac     *mat.Dense // of the hard rows by the scalars
	gjac    *mat.Dense // of the shares by the scalars
	bend    []float64  // second derivatives of what is made least, by the freedoms: free × free
}

// newBargain puts the problem about where the engine stands. counts tells how much each share counted in the pose before,
// with its sign; nil for not known. It returns nil where the hard rows are not independent or the loose ones too few.
func (e *engine) newBargain(step *Step, counts []float64) *bargain {
	m, n, k := len(step.Rows), len(step.Scalars), len(step.Loose)
	b := &bargain{n: n, free: n - m, base: make([]float64, n)}
	if k < b.free || b.free < 1 {
		return nil
	}
	r := make([]float64, m)
	b.h = make([]float64, k)
	e.residuals(step, r)
	loose := step.onlyLoose()
	e.residuals(loose, b.h)
	jac := e.slopes(step)
	b.gjac = mat.NewDense(k, n, e.slopes(loose))
	if !allNumbers(jac) || !allNumbers(b.gjac.RawMatrix().Data) || !allNumbers(r) || !allNumbers(b.h) || !b.hard(jac, r) {
		return nil
	}
	b.slope = new(mat.Dense)
	b.slope.Mul(b.gjac, b.ways)
	var down mat.VecDense
	down.MulVec(b.gjac, mat.NewVecDense(n, b.base))
	for i := range b.h {
		b.h[i] += down.AtVec(i)
	}
	b.bend = make([]float64, b.free*b.free)
	if counts != nil {
		b.curve(e, step, counts)
	}
	return b
}

func allNumbers(s []float64) bool {
	return !slices.ContainsFunc(s, func(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) })
}

// onlyLoose is the step with its loose rows as its rows.
func (s *Step) onlyLoose() *Step { return &Step{Ops: s.Ops, Scalars: s.Scalars, Rows: s.Loose} }

// hard finds the shortest movement that meets the hard rows, and those that leave them met.
func (b *bargain) hard(jac, r []float64) bool {
	m, n := len(r), b.n
	if m == 0 {
		b.ways = mat.NewDense(n, n, nil)
		for i := range n {
			b.ways.Set(i, i, 1)
		}
		return true
	}
	b.jac = mat.NewDense(m, n, jac)
	var svd mat.SVD
	if !svd.Factorize(b.jac, mat.SVDFull) {
		return false
	}
	values := svd.Values(nil)
	if !(values[m-1] > rankRel*values[0]) {
		return false
	}
	var u, v mat.Dense
	svd.UTo(&u)
	svd.VTo(&v)
	for c, s := range values {
		dot := 0.0
		for i := range m {
			dot += u.At(i, c) * r[i]
		}
		for j := range n {
			b.base[j] -= v.At(j, c) * dot / s
		}
	}
	b.ways = mat.DenseCopyOf(v.Slice(0, n, m, n))
	return true
}

// curve finds how the shares that count bend along the freedoms: their own second derivatives and those of the hard rows,
// which they lean on.
func (b *bargain) curve(e *engine, step *Step, counts []float64) {
	lean := b.lean(counts)
	q := newBender(e)
	along := func(d []float64) (sum float64) {
		for j, s := range step.Scalars {
			q.v.x[s] = d[j]
		}
		e.drift(step, q.v)
		q.drift(e, step)
		for i := range step.Rows {
			r := &step.Rows[i]
			sum += lean[i] * q.row(e, r) * r.weight(e.c, e.z, e.scale.size)
		}
		for i := range step.Loose {
			sum += counts[i] * q.row(e, &step.Loose[i])
		}
		return sum
	}
	f := b.free
	for i := range f {
		di := mat.Col(nil, i, b.ways)
		b.bend[i*f+i] = along(di)
	}
	for i := range f {
		for j := range i {
			both := mat.Col(nil, i, b.ways)
			for c, v := range mat.Col(nil, j, b.ways) {
				both[c] += v
			}
			v := (along(both) - b.bend[i*f+i] - b.bend[j*f+j]) / 2
			b.bend[i*f+j], b.bend[j*f+i] = v, v
		}
	}
}

// lean is how much each hard row takes of what the shares pull at the scalars: the λ with Jᵀλ = −Gᵀ·counts as nearly as
// can be.
func (b *bargain) lean(counts []float64) []float64 {
	if b.jac == nil {
		return nil
	}
	var pull, lambda mat.VecDense
	pull.MulVec(b.gjac.T(), mat.NewVecDense(len(counts), counts))
	pull.ScaleVec(-1, &pull)
	if err := lambda.SolveVec(b.jac.T(), &pull); err != nil {
		if _, poor := err.(mat.Condition); !poor {
			return make([]float64, b.jac.RawMatrix().Rows)
		}
	}
	return lambda.RawVector().Data
}

// shift is the whole movement of the scalars where the freedoms move by y.
func (b *bargain) shift(y []float64) []float64 {
	out := slices.Clone(b.base)
	for j := range out {
		for i, v := range y {
			out[j] += b.ways.At(j, i) * v
		}
	}
	return out
}

// newtonLoose solves a step with Loose rows from the scalars in hand, and reports whether it came to an end.
func (e *engine) newtonLoose(step *Step, steps int) bool {
	leap := e.leap
	e.place(step)
	var counts []float64
	for range steps {
		b := e.newBargain(step, counts)
		if b == nil {
			return false
		}
		l, ok := b.level()
		if !ok {
			return false
		}
		first := counts == nil
		counts = l.counts(len(step.Loose))
		q := e.shiftBy(step, b.shift(l.y))
		e.place(step)
		if !first && q <= e.scale.solved()*e.scale.size && e.residuals(step, make([]float64, len(step.Rows))) <= e.scale.solved() {
			return e.aheadIn(step)
		}
		if !(q <= leap) {
			return false
		}
		leap = math.Inf(1)
	}
	return false
}

// shiftBy moves the scalars, but none by more than a part of the sketch's size, and returns the square of how far, mm².
func (e *engine) shiftBy(step *Step, shift []float64) (q float64) {
	far := 0.0
	for j, s := range step.Scalars {
		d := math.Abs(shift[j])
		if e.s.Scalars[s].Direction {
			d *= e.scale.size
		}
		if !(d <= far) {
			far = d
		}
	}
	k := min(1, 0.2*e.scale.size/far)
	for j, s := range step.Scalars {
		e.x[s] += k * shift[j]
	}
	return k * k * far * far
}

// worstShare is the greatest |miss| / play where the engine stands.
func (e *engine) worstShare(step *Step) float64 {
	return e.residuals(step.onlyLoose(), make([]float64, len(step.Loose)))
}

// looseWays returns the poses of a step with Loose rows that starts lead to; but those that are clearly worse than the
// best are none.
func (e *engine) looseWays(step *Step, starts [][]float64) [][]float64 {
	var found [][]float64
	var worst []float64
	least := math.Inf(1)
	for _, x := range starts {
		e.put(step, x)
		e.closest(&Step{Ops: step.Ops, Scalars: step.Scalars, Rows: slices.Concat(step.Rows, step.Loose)}, nil, 30)
		if !e.newtonLoose(step, looseSteps) {
			continue
		}
		if x := e.scalars(step); !e.known(found, x) {
			found = append(found, x)
			worst = append(worst, e.worstShare(step))
			least = min(least, worst[len(worst)-1])
		}
	}
	var out [][]float64
	for i, x := range found {
		if worst[i] <= max(2*least, 1) {
			out = append(out, x)
		}
	}
	return out
}
