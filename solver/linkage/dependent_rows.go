package linkage

import (
	"math"
	"math/rand/v2"
	"slices"

	"barover/solver/position"
	"barover/solver/schedule"
)

// stiffness says what is wrong with a block whose rows are dependent at the start: it is on a dead centre, from which it
// can go either way, or statements are redundant and something else is not held.
func (l *Linkage) stiffness(step *schedule.Step) Faults {
	if f := l.dependent(step); f != nil {
		return f
	}
	if f := l.undriven(step); f != nil {
		return Faults{f}
	}
	f, name := l.eitherWay(step)
	f.Msg = name + f.angle(" is on a dead centre at the start, with the turn at {}: it can go either way from there", l.start.Turn)
	f.Help = "start the turn elsewhere, and write near to say which way it is there"
	return Faults{f}
}

// undriven says that nothing drives a crank of a step, since no sum has the turn in it; nil where one has.
func (l *Linkage) undriven(step *schedule.Step) *Fault {
	free := &freedoms{s: l.s, v: l.v, e: l.start, step: step}
	if free.drives() {
		return nil
	}
	moves := l.s.Origins(free.moved)
	for i, p := range l.s.Model.Points {
		o := -1
		if p.Kind == schedule.Found && l.s.Named(i) {
			o = free.crankOf(i, nil, moves)
		}
		if o >= 0 {
			return &Fault{Kind: TooFew, Stmt: p.Stmt, Msg: "nothing drives " + l.s.PointName(i) + ": no line has the turn in its sum",
				Help: "angle " + l.s.PointName(o) + " " + l.s.PointName(i) + " = V"}
		}
	}
	return nil
}

// eitherWay begins a message that a step can go two ways, and names what the step places.
func (l *Linkage) eitherWay(step *schedule.Step) (f *Fault, name string) {
	f, name = &Fault{Kind: TwoWays, Stmt: step.Stmt()}, "the linkage"
	for _, r := range slices.Concat(step.Rows, step.Loose) {
		if r.Stmt != f.Stmt {
			f.Also = append(f.Also, r.Stmt)
		}
	}
	if i := pointOf(l.s, step); i >= 0 {
		name = l.s.PointName(i)
		f.Stmt = l.s.Model.Points[i].Stmt
	}
	return f, name
}

const (
	// startSquare is the squareness of a block at the start from which no change point is near. No unit.
	startSquare = 1e-2
	// startLeast is how far from a change point the turn must start, rad.
	startLeast = 1e-4
	startReach = 0.02
)

// onChange refuses a start so near a change point that it cannot be told on which branch the linkage is.
func (l *Linkage) onChange() Faults {
	for k := range l.p.Blocks {
		step := l.p.Blocks[k].Step
		if len(step.Loose) == 0 && l.start.Squareness(k) < startSquare {
			if at, ok := l.changeNear(k); ok {
				f, name := l.eitherWay(step)
				f.Msg = name + f.angle(" is within {} of a change point at the start: ", math.Abs(at-l.start.Turn)) +
					f.angle("at {} it can go either way. Start elsewhere", at)
				return Faults{f}
			}
		}
	}
	return nil
}

// changeNear returns the turn of a change point of block k that is so near the start that the branches there cannot be
// told apart.
func (l *Linkage) changeNear(k int) (at float64, ok bool) {
	e := l.start.Clone()
	w := newWalker(e)
	w.r = turnRoad(e, e.Turn+1)
	w.stand()
	s := w.saddle(k, startReach)
	if s == nil || !(math.Abs(s.off) <= e.Scale.AgreesOver(e.Program.Blocks[k].Size)) || !(math.Abs(s.at) < max(startLeast, hopHalves*s.half())) {
		return 0, false
	}
	return w.r.turn + s.at, true
}

// dependent looks at a block in poses about the current one, whether the rows are met or not. Rows that are dependent in
// all of them are redundant. It returns nil if there are none.
func (l *Linkage) dependent(step *schedule.Step) Faults {
	n := len(step.Scalars)
	if n > denseMost || len(step.Rows) == 0 {
		return nil
	}
	e := l.start
	var same []bool
	everywhere := besides(e, step, 2, func() bool {
		rows, _ := nullvectors(slopes(e, step), len(step.Rows), n)
		if len(rows) > 0 {
			same = involved(rows)
		}
		return len(rows) > 0
	})
	if !everywhere {
		return nil
	}
	return l.repeated(step, same)
}

// besides reports whether a condition holds at three random places near the present scalars of a step. It restores the
// scalars.
func besides(e *position.State, step *schedule.Step, seed uint64, is func() bool) bool {
	was := e.Scalars(step)
	defer e.Put(step, was)
	rnd := rand.New(rand.NewPCG(uint64(len(was)), seed))
	for range 3 {
		x := slices.Clone(was)
		for j, s := range step.Scalars {
			far := 0.1
			if !e.Schedule.Scalars[s].Direction {
				far *= e.Scale.Size
			}
			x[j] += far * (rnd.Float64() - 0.5)
		}
		e.Put(step, x)
		if !is() {
			return false
		}
	}
	return true
}

// slopes is the Jacobian of a step, newly allocated.
func slopes(e *position.State, step *schedule.Step) []float64 {
	a := make([]float64, len(step.Rows)*len(step.Scalars))
	e.Jacobian(step, a)
	return a
}

// involved marks the rows that are in any of the combinations.
func involved(rows [][]float64) []bool {
	out := make([]bool, len(rows[0]))
	for _, u := range rows {
		for i, v := range u {
			out[i] = out[i] || math.Abs(v) > 1e-6
		}
	}
	return out
}

// repeated says that the marked rows of a step are redundant, and what they leave free.
func (l *Linkage) repeated(step *schedule.Step, same []bool) Faults {
	e := l.start
	last := -1
	for i, in := range same {
		if in && (last < 0 || step.Rows[i].Stmt >= step.Rows[last].Stmt) {
			last = i
		}
	}
	e.Closest(step, nil, position.ClosestSteps)
	row, miss := &step.Rows[last], e.MissAlone(step, last)
	f := &Fault{Kind: TooMany, Stmt: row.Stmt}
	for i, in := range same {
		if s := step.Rows[i].Stmt; in && s != row.Stmt {
			f.Also = append(f.Also, s)
		}
	}
	one, also := f.against(l.s, row)
	f.Msg = one + " is redundant"
	if also != "" {
		f.Msg += ": it follows from " + also
	}
	if !(math.Abs(miss) <= e.Scale.Agrees()) {
		f.Kind = Disagree
		f.Msg = one + " disagrees with " + also + f.length(" by {}", math.Abs(miss)) + f.angle(" with the turn at {}", e.Turn)
	}
	free := &freedoms{s: l.s, v: l.v, e: e, step: step.Tight()}
	return append(Faults{f}, free.name()...)
}
