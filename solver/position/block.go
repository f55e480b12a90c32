package position

import (
	"math"
	"slices"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// kernel says how a block is solved.
type kernel uint8

const (
	general kernel = iota // rows of any kind, slopes found at every step
	Loosely               // the same with loose rows
	lengths               // constant lengths, between places that are linear in the scalars
	dyad                  // two such lengths that hold one free point
	solo                  // one such length and one scalar
	slider                // the same of one point on a slide
)

// Block is some scalars that must be solved together.
type Block struct {
	Kernel  kernel
	n       int
	Step    *schedule.Step
	Scalars []int
	first   int    // scalars[0]
	moves   []move // places that follow from the scalars
	rows    []lengthRow
	pair    [2]lengthRow // dyad, slider: the same
	invert  float64      // dyad: 1 / l·l'
	slide   move         // slider: how the point moves
	least   float64      // solo: lower bound of the scalar
	ahead   []int        // scalars that must be above zero
	slope   []plane.Vec  // lengths: derivative of row i's arm by scalar j, at i·n+j
	steep   float64      // lengths: the greatest determinant that the slopes could have; 0 of others
	sound   float64      // with a determinant above this it is far from a dead centre; +Inf where only a closer look decides
	near    float64      // a last correction whose square is below this leaves a residual within tolerance, mm²
	tol     float64      // residual, mm
	Size    float64      // the greatest length in it, mm: the unit of its own tolerances
	area    float64      // size²
}

// lengthRow is (|a − b|² − l²) / 2l with l given.
type lengthRow struct {
	a, b             int32
	l2, half, invert float64 // l², 1/2l, 1/l
}

// newBlock chooses a kernel.
func (b *programmer) newBlock(step *schedule.Step) Block {
	n := len(step.Scalars)
	blk := Block{n: n, Step: step, Scalars: step.Scalars, first: step.Scalars[0], Size: b.sizeOf(step)}
	blk.area, blk.tol = blk.Size*blk.Size, b.scale.solvedOver(blk.Size)
	for i := range step.Ops {
		if op := &step.Ops[i]; op.Ahead {
			blk.ahead = append(blk.ahead, op.S)
		}
	}
	if len(step.Loose) > 0 {
		blk.Kernel = Loosely
	}
	slopes, ok := b.straight(step)
	for i := range step.Rows {
		ok = ok && step.Rows[i].Kind == schedule.RowLength && b.constant(step.Rows[i].V)
	}
	if !ok || n != len(step.Rows) {
		for _, op := range step.Ops {
			b.wanted[op.Z] = true
			for _, z := range [3]schedule.Place{op.P, op.Q, op.D} {
				b.want(z)
			}
		}
		return blk
	}
	b.lengthRows(&blk, slopes)
	return blk
}

// sizeOf is the greatest constant length in a block, mm; where there is none, the size of the sketch.
func (b *programmer) sizeOf(step *schedule.Step) (size float64) {
	grow := func(ids ...expr.ID) {
		for _, id := range ids {
			if v := math.Abs(b.p.coef.At(id)); v > size { // not where it is driven: NaN
				size = v
			}
		}
	}
	for _, rows := range [2][]schedule.Row{step.Rows, step.Loose} {
		for i := range rows {
			if k := rows[i].Kind; k == schedule.RowLength || k == schedule.RowLoose {
				grow(rows[i].V)
			}
		}
	}
	for i := range step.Ops {
		switch op := &step.Ops[i]; op.Kind {
		case schedule.OpRigid, schedule.OpSpun:
			grow(op.A, op.B)
		case schedule.OpPolar:
			grow(op.A)
		}
	}
	if size == 0 {
		return b.scale.Size
	}
	return size
}

// squared is a step with as many rows as scalars, with its loose rows as lengths: where their play is not needed the step
// satisfies it. It returns nil where the numbers differ.
func squared(step *schedule.Step) *schedule.Step {
	if len(step.Loose) == 0 || len(step.Rows)+len(step.Loose) != len(step.Scalars) {
		return nil
	}
	out := &schedule.Step{Ops: step.Ops, Scalars: step.Scalars, Rows: slices.Clone(step.Rows)}
	for _, r := range step.Loose {
		r.Kind = schedule.RowLength
		out.Rows = append(out.Rows, r)
	}
	return out
}

// lengthRows fills the rows of a block of lengths.
func (b *programmer) lengthRows(blk *Block, slopes map[schedule.Place][]plane.Vec) {
	blk.Kernel = lengths
	blk.steep = 1
	steepest := 0.0
	for _, r := range blk.Step.Rows {
		l := b.p.coef.At(r.V)
		blk.rows = append(blk.rows, lengthRow{int32(r.P), int32(r.Q), l * l, 1 / (2 * l), 1 / l})
		sum := 0.0
		for j := range blk.n {
			d := at(slopes[r.P], j).Sub(at(slopes[r.Q], j))
			blk.slope = append(blk.slope, d)
			sum += d.Dot(d)
		}
		steepest = max(steepest, sum/(2*l))
		blk.steep *= math.Sqrt(sum)
	}
	// A row's residual after the step δ is |Σ slope·δ|²/2l, at most Σ|slope|²·|δ|²/2l.
	blk.near = blk.tol / steepest
	blk.sound = soundAbove(blk, b.s)
	switch {
	case blk.n == 1:
		blk.Kernel = solo
		blk.least = math.Inf(-1)
		if len(blk.ahead) > 0 {
			blk.least = 0
		}
	case blk.n == 2 && b.isDyad(blk):
		blk.Kernel = dyad
		blk.pair = [2]lengthRow(blk.rows)
		blk.invert = blk.rows[0].invert * blk.rows[1].invert
	}
}

// isDyad reports whether the block is one free point held by two lengths, and puts that point first in both rows.
func (b *programmer) isDyad(blk *Block) bool {
	s := blk.Scalars
	if s[1] != s[0]+1 || b.s.Scalars[s[0]].Place != b.s.Scalars[s[1]].Place {
		return false
	}
	free := int32(b.s.Scalars[s[0]].Place)
	for i := range blk.rows {
		r := &blk.rows[i]
		if r.b == free {
			r.a, r.b = r.b, r.a
			blk.slope[2*i], blk.slope[2*i+1] = blk.slope[2*i].Scale(-1), blk.slope[2*i+1].Scale(-1)
		}
		if r.a != free || blk.slope[2*i] != schedule.One || blk.slope[2*i+1] != schedule.One.Turned() {
			return false
		}
	}
	return true
}

// findSlider checks whether all that moves in a block of one scalar is one point on a slide, and puts that point first.
func (blk *Block) findSlider() {
	if blk.Kernel != solo || len(blk.moves) != 1 || blk.moves[0].kind != moveSlide {
		return
	}
	blk.Kernel, blk.slide, blk.pair[0] = slider, blk.moves[0], blk.rows[0]
	if r := &blk.pair[0]; r.b == blk.slide.z {
		r.a, r.b = r.b, r.a
	}
}

func at(s []plane.Vec, i int) plane.Vec {
	if s == nil {
		return plane.Vec{}
	}
	return s[i]
}

// straight finds how each place of a block moves with each of its scalars. It reports false if that changes in the turn.
func (b *programmer) straight(step *schedule.Step) (slopes map[schedule.Place][]plane.Vec, ok bool) {
	n := len(step.Scalars)
	slopes = make(map[schedule.Place][]plane.Vec)
	index := make(map[int]int, n)
	for j, s := range step.Scalars {
		index[s] = j
	}
	c := b.p.coef
	for i := range step.Ops {
		op := &step.Ops[i]
		g := make([]plane.Vec, n)
		add := func(p schedule.Place, k plane.Vec) {
			for j, v := range slopes[p] {
				g[j] = g[j].Add(k.Times(v))
			}
		}
		switch {
		case op.Kind == schedule.OpFree:
			for k, d := range [2]plane.Vec{schedule.One, schedule.One.Turned()} {
				if j, ok := index[op.S+k]; ok {
					g[j] = d
				}
			}
		case op.Kind == schedule.OpPolar:
			add(op.P, schedule.One)
		case op.Kind == schedule.OpSlide && b.still[op.D]:
			add(op.P, schedule.One)
			if j, ok := index[op.S]; ok {
				g[j] = g[j].Add(b.p.fixed[op.D])
			}
		case op.Kind == schedule.OpRigid && (b.constant(op.A, op.B) || slopes[op.D] == nil),
			op.Kind == schedule.OpAim && b.constant(op.A, op.B),
			op.Kind == schedule.OpSpun && b.constant(op.A, op.B, op.C):
			s := op.Slopes(c, b.p.fixed, nil)
			add(op.P, s.P)
			add(op.Q, s.Q)
			if slopes[op.D] != nil {
				add(op.D, s.D)
			}
		default:
			return nil, false
		}
		slopes[op.Z] = g
	}
	return slopes, true
}

// soundAbove is the determinant above which status need not look closer. With n rows of length 1, whose squares add up to
// n, the geometric mean of the n − 1 greater singular values is at most that of n/(n − 1), so the least of them is above
// det/√e. And the reciprocal of the condition, by sums of columns, is not below the least over n·√n.
func soundAbove(blk *Block, s *schedule.Schedule) float64 {
	for _, i := range blk.Scalars {
		if s.Scalars[i].Direction { // status weighs directions differently
			return math.Inf(1)
		}
	}
	n := float64(blk.n)
	return singular * blk.steep * math.Sqrt(math.E) * n * math.Sqrt(n)
}
