package tube

import (
	"math"

	"barover/solver/taylor"
)

// solver encloses the motion over one box after another. It holds scratch space; give each goroutine its own.
type solver struct {
	plan   *Plan
	st     *taylor.State
	space  *taylor.Space
	size   float64   // of the sketch, mm
	widest float64   // half width, at first, of the tube in which the solution is shown to be the only one, mm
	unit   []float64 // what counts as one mm for each scalar: 1, less for a direction
	wide   []float64 // of each scalar, half width of the tube in which the last box's solution is the only one

	jac, inv, left, miss, sum []float64 // of the present block

	common *Common // nil for none

	mid, half float64        // of the box's turn
	eased     map[int]*eased // steps with a row left out, by their number in the Plan; nil away from change points
	folding   *folding       // a box up to a dead centre; nil for others
	blame     blame          // what failed in the last box, or was nearest to failing
}

const (
	newtonSteps = 12
	wideTries   = 6
	closeIn     = 0.25 // factor by which the wide tube shrinks from try to try

	// centred is how near its solution the centre of a box is brought, as a share of the widest tube. Rounding allows
	// only about the same for a large engine near a dead centre.
	centred = 1e-6
	roughly = 1e-2
)

// borrowSolver returns a solver that another enclosure of the Plan has finished with, or a new one: a solver is as large
// as several boxes. Give it back with Plan.solvers.Put.
func borrowSolver(p *Plan, s *taylor.Space, widest, size float64) *solver {
	if v, ok := p.solvers.Get(); ok && v.space == s && v.size == size {
		v.widest, v.common = widest, nil
		return v
	}
	return newSolver(p, s, widest, size)
}

func newSolver(p *Plan, s *taylor.Space, widest, size float64) *solver {
	n := 0
	for i := range p.steps {
		n = max(n, len(p.steps[i].scalars))
	}
	v := &solver{plan: p, st: taylor.NewState(p.tape, s), space: s, widest: widest, size: size,
		unit: make([]float64, len(p.scalar)), wide: make([]float64, len(p.scalar)),
		jac: make([]float64, n*n), inv: make([]float64, n*n), left: make([]float64, n), miss: make([]float64, n*n), sum: make([]float64, s.N-1)}
	for i, k := range p.Schedule.Scalars {
		v.unit[i] = 1
		if k.Direction {
			v.unit[i] = 1 / size
		}
	}
	return v
}

// enclose computes every place over the box, starting from the scalars guessed at its centre. It reports whether the
// motion is proved to lie within the tube: exactly one solution near the guess, over the whole box.
func (v *solver) enclose(box *taylor.Box, guess []float64) bool {
	v.st.Place(box, 0, taylor.Slot(v.plan.tape.Len()))
	v.mid, v.half = box.Mid[0], box.Half[0][0]
	if v.folding != nil {
		v.folding.place(v)
	}
	key, recalled := "", false
	if v.common != nil {
		key = v.common.key(box)
		recalled = v.common.recall(v, key)
	}
	for i := range v.plan.steps {
		if recalled && v.common.steps[i] {
			continue
		}
		s := &v.plan.steps[i]
		if !v.st.Fill(s.a, s.unknowns) {
			v.blameFill(s.a, s.unknowns)
			return false
		}
		if v.folding != nil && v.folding.step == i {
			if !v.folding.solve(v, guess) {
				return false
			}
		} else if e := v.eased[i]; e != nil {
			if !v.easily(e, guess) {
				v.blameScalars(s)
				return false
			}
		} else if len(s.row) > 0 {
			if !v.block(s, guess) {
				return false
			}
		} else if !v.st.Fill(s.ops, s.rows) {
			v.blameFill(s.ops, s.rows)
			return false
		}
		if !v.above(s) {
			return false
		}
	}
	v.common.record(v, key)
	return true
}

// above reports whether everything that a step requires above zero is above zero over the whole box.
func (v *solver) above(s *step) bool {
	if len(s.positive) == 0 {
		return true
	}
	if !v.st.Fill(s.asks, s.end) {
		v.blameFill(s.asks, s.end)
		return false
	}
	for _, f := range s.positive {
		if lo, _ := v.st.Range(f); !(lo > 0) {
			v.blame.on(1, f)
			return false
		}
	}
	return true
}

// block solves the unknowns of one step.
func (v *solver) block(s *step, guess []float64) bool {
	if !v.centre(s, guess) {
		v.blame.on(1)
		return false
	}
	v.series(s)
	if !v.prove(s) {
		v.blameScalars(s)
		return false
	}
	return true
}

// centre brings the scalars to the solution at the centre of the box by Newton's steps, and leaves the inverse of the
// slopes there.
func (v *solver) centre(s *step, guess []float64) bool {
	n := len(s.scalars)
	for _, k := range s.scalars {
		v.st.Clear(v.plan.scalar[k])
		v.st.Poly(v.plan.scalar[k])[0] = guess[k]
	}
	best := math.Inf(1)
	for range newtonSteps {
		v.st.Grade(0, s.ops, s.asks)
		if !v.invertSlopes(s, n) {
			return false
		}
		move := 0.0
		for i, k := range s.scalars {
			d := 0.0
			for j, f := range s.row {
				d += v.inv[i*n+j] * v.st.Poly(f)[0]
			}
			v.st.Poly(v.plan.scalar[k])[0] -= d
			move = max(move, math.Abs(d)/v.unit[k])
		}
		switch {
		case !(move < math.MaxFloat64):
			return false
		case move < centred*v.widest, move < roughly*v.widest && move > best/4:
			v.st.Grade(0, s.ops, s.asks)
			return true
		case move > 4*best:
			return false
		}
		best = min(best, move)
	}
	return false
}

func (v *solver) invertSlopes(s *step, n int) bool {
	return invert(v.inv, v.slopesAtCentre(s, n), n)
}

func (v *solver) slopesAtCentre(s *step, n int) []float64 {
	jac := v.jac[:n*n]
	clear(jac)
	for j := 0; j < n; j++ {
		for _, e := range s.slope[s.column[j]:s.column[j+1]] {
			jac[e.i*n+j] = v.st.Poly(e.at)[0]
		}
	}
	return jac
}

// series computes the scalars' coefficients degree by degree: those of one degree enter the rows' coefficients of the
// same degree by the slopes at the centre alone.
func (v *solver) series(s *step) {
	n := len(s.scalars)
	for m := 1; m <= v.space.Order; m++ {
		v.st.Grade(m, s.ops, s.slopes)
		for c := v.space.At[m]; c < v.space.At[m+1]; c++ {
			for i, k := range s.scalars {
				d := 0.0
				for j, f := range s.row {
					d -= v.inv[i*n+j] * v.st.Poly(f)[c]
				}
				v.st.Poly(v.plan.scalar[k])[c] = d
			}
		}
		v.st.Grade(m, s.ops, s.asks)
	}
}

// prove shows that exactly one solution is near the polynomials everywhere on the box, and gives radii to the scalars and
// to what follows from them.
func (v *solver) prove(s *step) bool {
	n := len(s.scalars)
	for _, k := range s.scalars {
		v.st.SetRad(v.plan.scalar[k], 0)
	}
	if !v.st.Radii(s.unknowns, s.slopes) {
		return false
	}
	v.leftOver(s, n)
	v.st.Sizes(s.slopes, s.asks)
	wide, shrink := v.widest, closeIn
	if len(v.plan.Sizes) > 0 {
		wide, shrink = v.widestOver(n), closeInOver
	}
	for range wideTries {
		if share, ok := v.test(s, n, wide); ok {
			return v.settle(s, n, share, wide)
		}
		wide *= shrink
	}
	return false
}

// leftOver bounds |C·F| on the box, each scalar in its own unit.
func (v *solver) leftOver(s *step, n int) {
	for i, k := range s.scalars {
		t := 0.0
		for j, f := range s.row {
			lo, hi := v.st.Range(f)
			t += math.Abs(v.inv[i*n+j]) * max(-lo, hi)
		}
		v.left[i] = (1 - v.plan.lost) * t * (1 + 1e-9) / v.unit[k]
	}
}

// test applies Krawczyk's test to the tube of half width wide. It returns a bound of |I - C·J| on that tube as a row sum
// norm in the scalars' own units.
func (v *solver) test(s *step, n int, wide float64) (share float64, ok bool) {
	for _, k := range s.scalars {
		v.st.SetRad(v.plan.scalar[k], wide*v.unit[k])
	}
	if !v.st.RadiiAgain(s.unknowns, s.asks) {
		return 0, false
	}
	v.spread(s, n)
	worst := 0.0
	for i, k := range s.scalars {
		row := 0.0
		for j, l := range s.scalars {
			row += v.miss[i*n+j] * v.unit[l]
		}
		row = row * (1 + 1e-9) / v.unit[k]
		share = max(share, row)
		worst = max(worst, v.left[i]+row*wide)
	}
	return share, share < 0.9 && worst < wide*(1-1e-9)
}

// spread bounds |I - C·J| entry by entry over the tube of the present slopes.
func (v *solver) spread(s *step, n int) {
	miss := v.miss[:n*n]
	clear(miss)
	v.drift(s, n, miss)
	// At the centre the two cancel except for rounding, which is bounded by the sizes of what was added up.
	jac := v.slopesAtCentre(s, n)
	for i := 0; i < n; i++ {
		for j := 0; j < n; j++ {
			t, size := 0.0, 1.0
			if i == j {
				t = 1
			}
			for k := 0; k < n; k++ {
				p := v.inv[i*n+k] * jac[k*n+j]
				t -= p
				size += math.Abs(p)
			}
			miss[i*n+j] += math.Abs(t) + size*float64(n+2)*0x1p-52
		}
	}
}

// drift adds to miss the deviation of C·J from its value at the centre. It adds the polynomials before it takes sizes,
// since the slopes of one block move together.
func (v *solver) drift(s *step, n int, miss []float64) {
	sum := v.sum
	for j := 0; j < n; j++ {
		column := s.slope[s.column[j]:s.column[j+1]]
		for i := 0; i < n; i++ {
			clear(sum)
			t, size := 0.0, 0.0
			for _, e := range column {
				c := v.inv[i*n+e.i]
				if c == 0 {
					continue
				}
				for m, q := range v.st.Poly(e.at)[1:] {
					q *= c
					sum[m] += q
					size += math.Abs(q)
				}
				t += math.Abs(c) * v.st.Rad(e.at)
			}
			for _, q := range sum {
				t += math.Abs(q)
			}
			miss[i*n+j] += t + size*float64(n+2)*0x1p-52
		}
	}
}

// narrow applies the test again to the radii that it gave, scalar by scalar. Each of the other scalars counts with its own radius, where the
// first test counted all with the greatest. Each result holds the solution, so it may replace the last.
func (v *solver) narrow(s *step, n int) {
	for range narrowings {
		for i, k := range s.scalars {
			r := v.left[i] * v.unit[k]
			for j, l := range s.scalars {
				r += v.miss[i*n+j] * v.st.Rad(v.plan.scalar[l])
			}
			if r *= 1 + 1e-9; r < v.st.Rad(v.plan.scalar[k]) {
				v.st.SetRad(v.plan.scalar[k], r)
			}
		}
	}
}

// narrowings is how often that pays.
const narrowings = 3

// settle gives the scalars their radii: a tube that the test maps into itself holds the solution.
func (v *solver) settle(s *step, n int, share, wide float64) bool {
	most := 0.0
	for i := range s.scalars {
		most = max(most, v.left[i])
	}
	most = most / (1 - share) * (1 + 1e-9)
	for i, k := range s.scalars {
		row := 0.0
		for j, l := range s.scalars {
			row += v.miss[i*n+j] * v.unit[l]
		}
		v.wide[k] = wide * v.unit[k]
		v.st.SetRad(v.plan.scalar[k], (v.left[i]*v.unit[k]+row*most)*(1+1e-9))
	}
	if len(v.plan.Sizes) > 0 && n > 1 {
		v.narrow(s, n)
	}
	return v.st.RadiiAgain(s.unknowns, s.rows)
}
