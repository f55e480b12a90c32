package tube

import (
	"context"
	"math"
	"slices"

	"barover/solver/linkage"
	"barover/solver/taylor"
)

const (
	// absenceOrder is the degree of the polynomials in which figures are enclosed.
	absenceOrder = 6
	// absenceBoxes is how many boxes are tried over one stretch.
	absenceBoxes = 3000
	// leastAbsent is the shortest stretch that is tried, in units in the last place of the turn.
	leastAbsent = 256
	// endReach is how far about a dead centre the discriminant is shown to fall, rad, and endBefore how far before it.
	endReach, endBefore = 1e-3, 1e-8
	// closer is how many times nearer than the other way one must be to be the way of a position.
	closer = 4
)

// Beside says what is known of the motion beside a stretch without a position.
type Beside struct {
	Turn    float64         // of a position beside it, rad; NaN where there is none
	Scalars []float64       // of that position
	Folds   []*linkage.Fold // at the ends of the stretch
}

// absenceSearch proves one stretch.
type absenceSearch struct {
	*Absence
	st     *taylor.State
	box    taylor.Box
	over   Range
	beside *Beside
	side   []float64 // of each step, the way that counts: 1, -1, 0 for both
	left   int       // boxes that may still be tried
	disc   float64   // an upper bound of the discriminant of which falls spoke last
}

// Absent lists the stretches of the turn within over in which it is proved that there is no position with some travels, on the
// side of its dead centres on which every block is beside the stretch.
func (a *Absence) Absent(ctx context.Context, over Range, travel []float64, b *Beside) (sure []Range) {
	x := &absenceSearch{Absence: a, st: taylor.NewState(a.tape, taylor.For(1, absenceOrder)), beside: b, side: make([]float64, len(a.steps)), left: absenceBoxes}
	x.st.AllowEnds()
	x.box = taylor.Box{Mid: append([]float64{0}, travel...), Half: make([][taylor.MaxVars]float64, 1+len(travel))}
	x.sides()
	least := leastAbsent * 0x1p-52 * (1 + max(math.Abs(over.From), math.Abs(over.To)))
	in := over
	for _, f := range b.Folds {
		if by := x.end(f, (over.To-over.From)/3); f.Sense > 0 {
			in.From = max(in.From, f.Turn+by)
		} else {
			in.To = min(in.To, f.Turn-by)
		}
	}
	tell := func(r Range) {
		if n := len(sure) - 1; n >= 0 && sure[n].To == r.From {
			sure[n].To = r.To
		} else if r.From < r.To {
			sure = append(sure, r)
		}
	}
	tell(Range{over.From, in.From})
	for todo := []Range{in}; len(todo) > 0 && x.left > 0 && ctx.Err() == nil; x.left-- {
		r := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		if x.place(r); x.none(0) {
			tell(r)
		} else if mid := r.Mid(); r.To-r.From > least && !x.holds(r) {
			todo = append(todo, Range{mid, r.To}, Range{r.From, mid})
		}
	}
	tell(Range{in.To, over.To})
	return sure
}

// holds reports whether a stretch may hold a position at either end and in the middle. It is then not worth dividing.
func (x *absenceSearch) holds(r Range) bool {
	return !slices.ContainsFunc([]float64{r.From, r.To, r.Mid()}, func(t float64) bool {
		x.place(Range{t, t})
		return x.none(0)
	})
}

// place puts a stretch of the turn in.
func (x *absenceSearch) place(r Range) {
	x.over = r
	mid := r.Mid()
	x.box.Mid[0] = mid
	x.box.Half[0][0] = max(r.To-mid, mid-r.From)*(1+0x1p-50) + math.Abs(mid)*0x1p-51
	x.st.Place(&x.box, 0, slot(x.tape.Len()))
	x.st.Fill(x.turn, x.turn+1)
}

// put gives an input a value.
func (x *absenceSearch) put(s slot, v float64) {
	x.st.Clear(s)
	x.st.Poly(s)[0] = v
}

// standing puts in the base of a step: the scalars of the position known next to the box, so that little is lost to rounding there.
func (x *absenceSearch) standing(s *barred) {
	at, far := x.beside.Scalars, math.Abs(x.beside.Turn-x.over.Mid())
	for _, f := range x.beside.Folds {
		if off := math.Abs(f.Turn - x.over.Mid()); at == nil || off < far {
			at, far = f.X, off
		}
	}
	for j, b := range s.base {
		v := 0.0
		if at != nil {
			v = at[s.scalars[j]]
		}
		x.put(b, v)
	}
}

// none reports whether it is proved, over the stretch that was put in, that no position has the steps before i as they are enclosed.
func (x *absenceSearch) none(i int) bool {
	for ; i < len(x.steps); i++ {
		s := &x.steps[i]
		x.standing(s)
		if !x.st.Fill(s.a, s.choice) {
			return false
		}
		if x.st.Lacks(s.a, s.choice) {
			return true
		}
		if s.disc != none {
			return x.noWay(i)
		}
		if !x.goOn(s) {
			return false
		}
		if x.below(s) {
			return true
		}
	}
	return false
}

// noWay is none for a step that has two ways.
func (x *absenceSearch) noWay(i int) bool {
	s := &x.steps[i]
	if _, hi := x.st.Range(s.disc); hi < 0 || x.centre && x.st.Poly(s.disc)[0] < 0 {
		return true
	}
	for _, way := range [2]float64{1, -1} {
		if x.side[i]*way < 0 {
			continue
		}
		if x.put(s.way, way); !x.goOn(s) {
			return false
		}
		if !x.below(s) && !x.none(i+1) {
			return false
		}
	}
	return true
}

// goOn encloses the unknowns of a step on one way, and what they make. It reports whether all could be enclosed.
func (x *absenceSearch) goOn(s *barred) bool {
	if !x.st.Fill(s.choice, s.made) {
		return false
	}
	for j, from := range s.solved {
		to := x.scalar[s.scalars[j]]
		copy(x.st.Poly(to), x.st.Poly(from))
		x.st.SetRad(to, x.st.Rad(from))
	}
	return x.st.Fill(s.made, s.end)
}

// below reports whether something that must be above zero in a step is nowhere above it.
func (x *absenceSearch) below(s *barred) bool {
	return slices.ContainsFunc(s.positive, func(f slot) bool { _, hi := x.st.Range(f); return hi <= 0 })
}

// sides finds on which side of its dead centre every block is beside the stretch.
func (x *absenceSearch) sides() {
	if x.beside.Scalars == nil {
		return
	}
	x.place(Range{x.beside.Turn, x.beside.Turn})
	for i := range x.steps {
		s := &x.steps[i]
		x.standing(s)
		if !x.st.Fill(s.a, s.choice) {
			return
		}
		if s.disc == none {
			if !x.goOn(s) {
				return
			}
			continue
		}
		var off [2]float64
		for k, way := range [2]float64{1, -1} {
			if x.put(s.way, way); !x.goOn(s) {
				return
			}
			for _, c := range s.scalars {
				off[k] = max(off[k], math.Abs(x.st.Poly(x.scalar[c])[0]-x.beside.Scalars[c]))
			}
		}
		way := -1.0
		if off[0] < off[1] {
			way = 1
		}
		if closer*min(off[0], off[1]) < max(off[0], off[1]) {
			x.side[i] = way
		}
		if x.put(s.way, way); !x.goOn(s) {
			return
		}
	}
}

// end returns how much of a stretch, rad, is proved to hold no position because the motion ends or begins at a dead centre at one
// of its ends. The discriminant of the block that turns back falls from a little before on, and a little behind it is below zero. In
// between it is zero at one turn, at which the motion ends: a tube encloses it up to there.
func (x *absenceSearch) end(f *linkage.Fold, wide float64) float64 {
	behind := f.Turn + f.Sense*endBefore
	if x.place(Range{behind, behind}); !x.falls(f) || !(x.disc < 0) {
		return 0
	}
	for ahead := min(endReach, wide); ahead > 16*endBefore; ahead /= 16 {
		from, to := f.Turn-f.Sense*endBefore, f.Turn+f.Sense*ahead
		x.place(Range{min(from, to), max(from, to)})
		if x.falls(f) {
			return ahead
		}
	}
	return 0
}

// falls reports whether the discriminant of the block that turns back at f falls all over the stretch that was put in.
func (x *absenceSearch) falls(f *linkage.Fold) bool {
	for i := range x.steps {
		s := &x.steps[i]
		x.standing(s)
		if !x.st.Fill(s.a, s.choice) {
			return false
		}
		if slices.Contains(s.scalars, f.Scalar) {
			if s.disc == none || !x.st.Fill(s.end, s.rates) {
				return false
			}
			_, x.disc = x.st.Range(s.disc)
			lo, hi := x.st.Range(s.fall)
			return max(f.Sense*lo, f.Sense*hi) < 0
		}
		if s.disc != none {
			if x.side[i] == 0 {
				return false
			}
			x.put(s.way, x.side[i])
		}
		if !x.goOn(s) || !x.st.Fill(s.end, s.last) {
			return false
		}
	}
	return false
}

// NewBeside gathers what a motion is beside a stretch in which it cannot be assembled.
func NewBeside(l *linkage.Linkage, mo *linkage.Motion, over Range) *Beside {
	b := &Beside{Turn: math.NaN()}
	for _, end := range [2]float64{over.From, over.To} {
		if f := mo.Fold(end, end); f != nil {
			b.Folds = append(b.Folds, f)
		}
	}
	for _, s := range mo.Spans() {
		if s[1] > over.From {
			break
		}
		b.Turn = max(s[0]+(s[1]-s[0])/2, s[1]-besideBy)
	}
	var p linkage.Pose
	if s := mo.At(b.Turn, &p); s == linkage.Solved || s == linkage.DeadCentre {
		b.Scalars = make([]float64, len(l.Schedule().Scalars))
		l.Scalars(&p, b.Scalars)
	}
	return b
}

// besideBy is how far before a stretch it is found on which side of its dead centres every block is, rad.
const besideBy = 1e-6
