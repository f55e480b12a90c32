package position

import (
	"math"
	"slices"

	"barover/solver/schedule"
)

// Fold is a dead centre at which a block turns back: its rows can be met up to there, and not beyond. Near it the scalars
// change as the square root of what is left of the turn. So the fold is solved with one scalar in the place of the turn:
// the turn and the other scalars are smooth functions of that scalar, and the fold is where the turn is least or greatest
// (Keller's continuation, 1977).
type Fold struct {
	Block  int       // index in Program.Blocks
	Turn   float64   // rad
	X      []float64 // the scalars of the block at the fold, mm or components of unit directions
	Driven int       // the scalar of the Schedule that changes most with the turn there
	Row    int       // the row of the block to leave out when Driven and the turn are given: see folder.row
}

const (
	foldSteps  = 12 // the most Newton corrections at one value of the scalar, and the most secant steps to the fold
	foldRounds = 4  // a step of fewer units in the last place is rounding
)

// FoldAhead finds the fold of block k at most reach (rad) ahead of the present position, forward in the turn (sense 1) or
// backward (-1). It reports false where it finds none. The state must be solved at the present position; it is moved to the
// fold.
func (e *State) FoldAhead(k int, sense, reach float64) (Fold, bool) {
	b := &e.Program.Blocks[k]
	if b.Kernel == Loosely {
		return Fold{}, false
	}
	f := folder{e: e, k: k, b: b, m: NewMatrix(b.n), v: NewSpeed(e), column: make([]float64, b.n)}
	from := e.Turn
	if !f.choose() {
		return Fold{}, false
	}
	s, slope, ok := f.stand(e.X[f.scalar()])
	if !ok || !(slope != 0) {
		return Fold{}, false
	}
	first, far := s, 4*reach/math.Abs(slope)
	next := s + sense*reach/2/slope
	for range foldSteps {
		if !(math.Abs(next-first) <= far) {
			return Fold{}, false
		}
		was, wasSlope := s, slope
		if s, slope, ok = f.stand(next); !ok {
			return Fold{}, false
		}
		next = s - slope*(s-was)/(slope-wasSlope)
		if slope == 0 || !(math.Abs(next-s) > foldRounds*0x1p-52*(math.Abs(s)+e.Program.Size[f.scalar()])) {
			break
		}
	}
	if ahead := sense * (e.Turn - from); !(ahead > 0 && ahead <= reach) {
		return Fold{}, false
	}
	return Fold{Block: k, Turn: e.Turn, X: e.Scalars(b.Step), Driven: f.scalar(), Row: f.row()}, true
}

// Along solves the turn and the block of a fold at a given value of the fold's driven scalar (mm or a component of a unit
// direction), from a state near the fold. It reports whether it converged.
func (e *State) Along(f *Fold, value float64) bool {
	b := &e.Program.Blocks[f.Block]
	way := folder{e: e, k: f.Block, b: b, m: NewMatrix(b.n), v: NewSpeed(e), column: make([]float64, b.n), driven: slices.Index(b.Scalars, f.Driven)}
	_, _, ok := way.stand(value)
	return ok
}

// folder solves a block with the turn as an unknown in the place of one scalar, which is given.
type folder struct {
	e      *State
	k      int
	b      *Block
	m      *Matrix // the Jacobian of the rows, with the turn's column in the place of the driven scalar's
	v      *Speed
	driven int       // the given scalar, as an index in the block
	column []float64 // the driven scalar's column of the Jacobian
}

func (f *folder) scalar() int { return f.b.Scalars[f.driven] }

// choose sets driven to the scalar that changes most with the turn. It reports false where the rates are zero or infinite.
func (f *folder) choose() bool {
	n := f.b.n
	if !f.linear(f.e.Turn) {
		return false
	}
	for i := range n { // the whole Jacobian by the scalars again, and the turn's column on the right
		f.m.R[i], f.m.A[i*n+f.driven] = f.m.A[i*n+f.driven], f.column[i]
	}
	f.m.Solve()
	most := 0.0
	for j, c := range f.b.Scalars {
		fast := math.Abs(f.m.R[j])
		if f.e.Schedule.Scalars[c].Direction {
			fast *= f.e.Program.Size[c]
		}
		if fast > most {
			most, f.driven = fast, j
		}
	}
	return most > 0 && most <= math.MaxFloat64
}

// stand solves the other scalars and the turn at the value s of the driven scalar, by Newton's method. It returns s and
// the derivative of the turn by it.
func (f *folder) stand(s float64) (at, slope float64, ok bool) {
	e, n := f.e, f.b.n
	e.X[f.scalar()] = s
	last := math.Inf(1)
	for range foldSteps {
		if !f.linear(e.Turn) || f.m.Solve() == 0 {
			return s, 0, false
		}
		move := 0.0
		for j, c := range f.b.Scalars {
			d := f.m.R[j]
			if j == f.driven {
				e.Turn -= d
				d *= e.Program.Size[c]
			} else {
				e.X[c] -= d
			}
			move = max(move, math.Abs(d))
		}
		if !(move < last/2) { // no nearer: what is left is rounding
			break
		}
		last = move
	}
	if !(last < 1e-9*f.b.Size) || !f.linear(e.Turn) {
		return s, 0, false
	}
	for i := range n {
		f.m.R[i] = -f.column[i]
	}
	ok = f.m.Solve() != 0
	slope = f.m.R[f.driven]
	return s, slope, ok && !math.IsNaN(slope)
}

// linear writes the block's residuals and its Jacobian at a turn into m, after everything before the block is placed. It
// reports false where that cannot be placed.
func (f *folder) linear(turn float64) bool {
	e, n, step := f.e, f.b.n, f.b.Step
	if !e.UpTo(turn, f.k) {
		return false
	}
	e.Place(step)
	e.Velocity(f.v, 1, nil, f.k)
	for _, c := range step.Scalars {
		f.v.X[c] = 0
	}
	e.drift(step, f.v)
	e.Jacobian(step, f.m.A)
	size := e.sizeOf(step)
	for i := range step.Rows {
		r := &step.Rows[i]
		w := r.Weight(e.C, e.Z, size)
		f.column[i] = f.m.A[i*n+f.driven]
		f.m.A[i*n+f.driven] = r.Tangent(e.C, e.Z, f.v.C, f.v.Z) * w
		f.m.R[i] = r.Value(e.C, e.Z) * w
	}
	return true
}

// UpTo places everything before block k at a turn (rad), each block from its present scalars. It reports false where a block
// cannot be solved.
func (e *State) UpTo(turn float64, k int) bool {
	e.Set(turn, nil)
	return e.Onward(k, func(i int, step *schedule.Step) bool { return e.SolveBlock(i) })
}

// Onward places the steps in order, up to but without block k, and calls solve for each block on the way. It stops and reports
// false where solve does.
func (e *State) Onward(k int, solve func(i int, step *schedule.Step) bool) bool {
	for i := range e.Schedule.Steps {
		step := &e.Schedule.Steps[i]
		if len(step.Scalars) > 0 {
			if step.Block == k {
				break
			}
			if !solve(step.Block, step) {
				return false
			}
		}
		e.Place(step)
	}
	return true
}

// row returns the row of the block to leave out when the driven scalar and the turn are both given: the rows that remain
// then determine the other scalars best. At the fold the block's Jacobian is singular, and the row is the one with the
// greatest component in its left null vector.
func (f *folder) row() int {
	if !f.linear(f.e.Turn) {
		return 0
	}
	f.m.transpose()
	clear(f.m.R)
	f.m.R[f.driven] = 1
	f.m.Solve()
	return largest(f.m.R)
}
