package position

import (
	"math"
	"slices"

	"barover/solver/schedule"
)

// Fold is a dead centre at which a block turns back: its rows can be met up to there, and no farther. On the way there the
// scalars go like the square root of the rest of the turn. So the fold is found along one scalar instead of the turn: by
// that scalar everything is smooth, the turn too, and the fold is where the turn is least or greatest (Keller's
// continuation, 1977).
type Fold struct {
	Block  int
	Turn   float64   // rad
	X      []float64 // scalars of the block there
	Driven int       // the scalar of the Schedule that moves most there
	Row    int       // the row of the block that the others imply least there
}

const (
	foldSteps  = 12 // Newton corrections at one value of the scalar, and steps from value to value
	foldRounds = 4  // units in the last place below which a step is rounding
)

// FoldAhead finds the fold of block k at most reach (rad) ahead of the present position, forward in the turn (sense 1) or
// backward (-1). The state must be solved there, and is moved to the fold.
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

// Along goes from a state near a fold to where the scalar that moves most there has a value, along the way round the fold. It
// reports whether that was found.
func (e *State) Along(f *Fold, value float64) bool {
	b := &e.Program.Blocks[f.Block]
	way := folder{e: e, k: f.Block, b: b, m: NewMatrix(b.n), v: NewSpeed(e), column: make([]float64, b.n), driven: slices.Index(b.Scalars, f.Driven)}
	_, _, ok := way.stand(value)
	return ok
}

// folder goes along one scalar of a block.
type folder struct {
	e      *State
	k      int
	b      *Block
	m      *Matrix // the slopes of the rows, with those by the turn in the place of those by the scalar
	v      *Speed
	driven int       // the scalar, among those of the block
	column []float64 // the slopes by it
}

func (f *folder) scalar() int { return f.b.Scalars[f.driven] }

// choose chooses the scalar that moves most with the turn.
func (f *folder) choose() bool {
	n := f.b.n
	if !f.linear(f.e.Turn) {
		return false
	}
	for i := range n { // the slopes by every scalar again: the turn on the right
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

// stand solves the other scalars and the turn at a value of the scalar. It returns the value, and how fast the turn goes
// with the scalar.
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

// linear puts the block's residuals and slopes at a turn into m, with everything before it in place. It reports false where
// that cannot be placed.
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

// UpTo places everything before block k at a turn, each block from its present scalars.
func (e *State) UpTo(turn float64, k int) bool {
	e.Set(turn, nil)
	return e.Onward(k, func(i int, step *schedule.Step) bool { return e.SolveBlock(i) })
}

// Onward places the steps in order up to block k, and has each block before it solved by solve.
func (e *State) Onward(k int, solve func(i int, step *schedule.Step) bool) bool {
	done := 0
	for i := range e.Schedule.Steps {
		step := &e.Schedule.Steps[i]
		if len(step.Scalars) > 0 {
			if done == k {
				break
			}
			if !solve(done, step) {
				return false
			}
			done++
		}
		e.Place(step)
	}
	return true
}

// row is the row of the block that the others imply least where the slopes were last found: without it, and with the
// scalar given, the others hold the rest best. It has the greatest share in the sum of rows that no scalar moves.
func (f *folder) row() int {
	n := f.b.n
	if !f.linear(f.e.Turn) {
		return 0
	}
	for i := range n {
		for j := range i {
			f.m.A[i*n+j], f.m.A[j*n+i] = f.m.A[j*n+i], f.m.A[i*n+j]
		}
	}
	clear(f.m.R)
	f.m.R[f.driven] = 1
	f.m.Solve()
	best := 0
	for i, w := range f.m.R {
		if math.Abs(w) > math.Abs(f.m.R[best]) {
			best = i
		}
	}
	return best
}
