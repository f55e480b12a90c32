package linkage

import (
	"cmp"
	"slices"

	"barover/solver/plane"
	"barover/solver/position"
	"barover/solver/schedule"
)

// assembler puts a linkage together at its start, block by block.
type assembler struct {
	l      *Linkage
	e      *position.State
	hints  []hints
	ahead  bool // look ahead for every choice, not only for those without a hint
	any    bool // the first way will do
	budget int
	work   int // work done in searches
	faults Faults
	like   *Linkage // searches begin at the ways found for it; nil for none
}

// assemble puts the linkage together at its start, or says why that fails.
func (l *Linkage) assemble() Faults {
	a := &assembler{l: l, e: l.start, hints: l.hintsFor()}
	if !a.run() && !a.ahead {
		a.ahead, a.faults = true, nil
		a.run()
	}
	l.ahead = a.ahead
	if len(a.faults) > 0 {
		return a.faults
	}
	return l.settle()
}

// run assembles one block after another. It reports whether all succeeded.
func (a *assembler) run() bool {
	chose := false
	for i := range a.l.s.Steps {
		step := &a.l.s.Steps[i]
		if len(step.Scalars) == 0 {
			a.e.Place(step)
			continue
		}
		ways, ok := a.again(i)
		if !ok {
			return false
		}
		if len(ways) == 0 {
			a.faults = append(a.faults, a.l.unreached(a.e, step, a.hints[i].guess(a.e, step))...)
			a.ahead = a.ahead || !chose
			return false
		}
		chose = chose || len(ways) > 1
		told := a.hints[i].order(a.e, step, ways)
		if len(ways) > 1 && (!told || a.ahead) && !a.any {
			if open := a.viable(i, ways); len(open) > 0 {
				ways = open
				told = a.hints[i].order(a.e, step, ways)
			}
		}
		if !told && !a.any && len(a.faults) < twoWaysMost {
			if free := a.movable(step, ways); free != nil {
				a.faults = append(a.faults, free...)
				return false
			}
			a.faults = append(a.faults, a.twoWays(i, ways))
		}
		a.e.Put(step, ways[0])
	}
	return true
}

func (a *assembler) ways(i int) [][]float64 {
	step := &a.l.s.Steps[i]
	return a.e.Ways(step, a.hints[i].guess(a.e, step), a.starts(len(step.Scalars)))
}

// starts is the number of starts of a search for a block of n scalars, and counts the work.
func (a *assembler) starts(n int) int {
	starts := max(1, min(position.StartsFor(n), (position.StartsWork-a.work)/(n*n*n)))
	if n > 2 {
		a.work += starts * n * n * n
	}
	return starts
}

// viable returns those of the ways of step i with which the following blocks can be assembled, as far as it looks.
func (a *assembler) viable(i int, ways [][]float64) (open [][]float64) {
	for _, w := range ways {
		a.e.Put(&a.l.s.Steps[i], w)
		a.budget = lookTries
		if a.possible(i+1, lookahead) {
			open = append(open, w)
		}
	}
	return open
}

// possible reports whether the steps from i on, as many as depth blocks, can be assembled. When the budget is used up it
// assumes that they can.
func (a *assembler) possible(i, depth int) bool {
	for ; i < len(a.l.s.Steps); i++ {
		step := &a.l.s.Steps[i]
		if len(step.Scalars) == 0 {
			a.e.Place(step)
			continue
		}
		if a.budget--; a.budget < 0 || depth == 0 {
			return true
		}
		for _, w := range a.ways(i) {
			a.e.Put(step, w)
			if a.possible(i+1, depth-1) {
				return true
			}
		}
		return false
	}
	return true
}

// fewWays is how many ways of assembly may all be on a dead centre and still be apart from one another.
const fewWays = 2

// movable reports that a step is not held: the many ways found are then places along one movement, and not ways to choose from. It returns
// nil where they are ways apart from one another.
func (a *assembler) movable(step *schedule.Step, ways [][]float64) Faults {
	if len(ways) <= fewWays {
		return nil
	}
	f := &freedoms{s: a.l.s, v: a.l.v, e: a.e, step: step.Tight(), near: a.l.toldPlaces()}
	for _, w := range slices.Backward(ways) {
		if a.e.Put(step, w); len(f.nullspace()) == 0 {
			return nil
		}
	}
	return f.name()
}

// twoWays says that a step can be assembled in several ways and that nothing tells which.
func (a *assembler) twoWays(i int, ways [][]float64) *Fault {
	step, h := &a.l.s.Steps[i], &a.hints[i]
	places := make([][]plane.Vec, len(ways))
	for k, w := range ways {
		places[k] = h.places(a.e, step, w)
	}
	f := &Fault{Kind: TwoWays, Stmt: step.Stmt()}
	p := apart(places)
	if p < 0 {
		f.Msg = "the parts can be put together in several ways, and nothing says which"
		return f
	}
	point := h.points[p].point
	a.likeliestFirst(point, places, p)
	f.Stmt = a.l.s.Model.Points[point].Stmt
	name := a.l.s.PointName(point)
	f.Msg = name + " can stand at"
	for k := range ways {
		switch {
		case k == 0:
		case k == len(ways)-1:
			f.Msg += " or at"
		default:
			f.Msg += ","
		}
		f.Msg += a.said(f, " ", places[k][p])
	}
	if h.points[p].told {
		f.Msg += a.said(f, ": near ", h.points[p].near) + " is nearly as far from one as from the other"
	} else {
		f.Msg += ": nothing says which"
	}
	f.Help = "point " + name + a.said(f, " near ", places[0][p])
	for k, o := range h.points {
		if k != p {
			f.Also = append(f.Also, a.l.s.Model.Points[o.point].Stmt)
		}
	}
	return f
}

// said is a place, in the frame, in a message.
func (a *assembler) said(f *Fault, before string, z plane.Vec) string {
	z = z.Add(a.e.Scale.Origin)
	return f.length(before+"{}, ", z.X) + f.length("{}", z.Y)
}

// likeliestFirst sorts the places where a point can be: those farthest along the line on which it slides come first, else
// the highest. So the engine offered is upright, with its cylinder on the side to which its line is drawn.
func (a *assembler) likeliestFirst(point int, places [][]plane.Vec, p int) {
	up := plane.Vec{X: 1e-6, Y: 1} // of two equally high, the one to the right
	for _, e := range a.l.s.Model.Equations {
		if e.Kind == schedule.OnLine && e.P == point {
			up = a.e.Z[a.l.s.Line[e.On]]
		}
	}
	slices.SortStableFunc(places, func(q, r []plane.Vec) int { return cmp.Compare(r[p].Dot(up), q[p].Dot(up)) })
}

// apart returns the point whose places in the first two ways are farthest apart.
func apart(places [][]plane.Vec) int {
	if len(places) < 2 || len(places[0]) == 0 {
		return -1
	}
	all := make([]int, len(places[0]))
	for i := range all {
		all[i] = i
	}
	return slices.MaxFunc(all, func(i, j int) int {
		return cmp.Compare(places[0][i].Sub(places[1][i]).Len(), places[0][j].Sub(places[1][j]).Len())
	})
}
