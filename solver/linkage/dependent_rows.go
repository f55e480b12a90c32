package linkage

import (
	"barover/solver/schedule"
	"math"
	"math/rand/v2"
	"slices"
)

// stiffness says what is wrong with a block of which the rows are not independent where it stands at the start: a dead
// centre, from which it can go either way, or statements that say the same thing and leave another unsaid.
func (l *Linkage) stiffness(step *schedule.Step) Faults {
	if f := l.dependent(step); f != nil {
		return f
	}
	e := l.start
	f := &Fault{Kind: TwoWays, Stmt: step.Stmt()}
	for _, r := range slices.Concat(step.Rows, step.Loose) {
		if r.Stmt != f.Stmt {
			f.Also = append(f.Also, r.Stmt)
		}
	}
	name := "the linkage"
	for _, op := range step.Ops {
		if i := int(op.Z); i < len(l.s.Model.Points) && l.s.Named(i) {
			name = l.s.PointName(i)
			f.Stmt = l.s.Model.Points[i].Stmt
			break
		}
	}
	f.Msg = name + f.angle(" stands on a dead centre at the start, the turn at {}: it can go either way from there", e.turn)
	return Faults{f}
}

// dependent looks at a block in poses about the one in hand, whether they are met or not: rows that depend on one another
// in all of them say the same thing. It returns nil if they do not.
func (l *Linkage) dependent(step *schedule.Step) Faults {
	n := len(step.Scalars)
	if n > denseMost || len(step.Rows) == 0 {
		return nil
	}
	e := l.start
	was := e.scalars(step)
	rnd := rand.New(rand.NewPCG(uint64(n), 2))
	var same []bool
	for range 3 {
		x := slices.Clone(was)
		for j, s := range step.Scalars {
			far := 0.1 * e.scale.size
			if e.s.Scalars[s].Direction {
				far = 0.1
			}
			x[j] += far * (rnd.Float64() - 0.5)
		}
		e.put(step, x)
		rows, _ := nullvectors(e.slopes(step), len(step.Rows), n)
		if len(rows) == 0 {
			e.put(step, was)
			return nil
		}
		same = involved(rows)
	}
	e.put(step, was)
	return l.repeated(step, same)
}

// slopes is the Jacobian of a step in fresh room.
func (e *workspace) slopes(step *schedule.Step) []float64 {
	a := make([]float64, len(step.Rows)*len(step.Scalars))
	e.jacobian(step, a)
	return a
}

// involved marks the rows that take part in any of the combinations.
func involved(rows [][]float64) []bool {
	out := make([]bool, len(rows[0]))
	for _, u := range rows {
		for i, v := range u {
			out[i] = out[i] || math.Abs(v) > 1e-6
		}
	}
	return out
}

// repeated says that the marked rows of a step repeat one another, and what they leave free.
func (l *Linkage) repeated(step *schedule.Step, same []bool) Faults {
	e := l.start
	last := -1
	for i, in := range same {
		if in && (last < 0 || step.Rows[i].Stmt >= step.Rows[last].Stmt) {
			last = i
		}
	}
	e.closest(step, nil, closestSteps)
	row, miss := &step.Rows[last], e.missAlone(step, last)
	f := &Fault{Kind: TooMany, Stmt: row.Stmt}
	for i, in := range same {
		if s := step.Rows[i].Stmt; in && s != row.Stmt {
			f.Also = append(f.Also, s)
		}
	}
	also := l.s.SayStatements(f.Also)
	f.Msg = l.s.Say(row) + " says nothing that is not held already"
	if also != "" {
		f.Msg += ", by " + also
	}
	if !(math.Abs(miss) <= e.scale.agrees()) {
		f.Kind = Disagree
		f.Msg = l.s.Say(row) + " disagrees with " + also + f.length(" by {}", math.Abs(miss)) + f.angle(" with the turn at {}", e.turn)
	}
	free := &freedoms{s: l.s, e: e, step: &schedule.Step{Ops: step.Ops, Scalars: step.Scalars, Rows: slices.Concat(step.Rows, step.Loose)}}
	return append(Faults{f}, free.name()...)
}
