package linkage

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/position"
	"barover/solver/schedule"
)

// free says of each remaining freedom what can move, in which direction, and what would hold it.
func (m *misfit) free() (faults Faults) {
	parts := m.loosePart()
	near := m.l.toldPlaces()
	for i, part := range parts {
		if len(faults) >= faultsMost {
			break
		}
		addOps(m.Schedule, part)
		if len(part.Scalars) > denseMost {
			faults = append(faults, freeAtAll(m.Schedule, part))
			continue
		}
		part.Rows = append(part.Rows, m.LooseIn(part)...)
		f := &freedoms{s: m.Schedule, v: m.l.v, e: m.l.start, step: part, near: near}
		for _, p := range parts[i+1:] {
			f.later = append(f.later, p.Scalars...)
		}
		faults = append(faults, f.name()...)
	}
	return faults
}

// loosePart returns the unsettled scalars, with the rows that depend on them, one step for each connected group.
func (m *misfit) loosePart() (parts []*schedule.Step) {
	st := m.Schedule.Structure
	g := st.Unsettled(len(m.Schedule.Scalars))
	for c := range g {
		if o := partner(m.Schedule, int32(c)); o >= 0 {
			g.Join([]int32{int32(c), o}) // both parts of a free place
		}
	}
	index := make(map[int32]int)
	for c := range g {
		root := g.Of([]int32{int32(c)})
		if root < 0 {
			continue
		}
		k, ok := index[root]
		if !ok {
			k = len(parts)
			index[root] = k
			parts = append(parts, &schedule.Step{})
		}
		parts[k].Scalars = append(parts[k].Scalars, c)
		if r := st.RowOf[c]; r >= 0 {
			parts[k].Rows = append(parts[k].Rows, st.Rows[r])
		}
	}
	return parts
}

// partner is the other scalar of a free place, -1 for a scalar on its own.
func partner(s *schedule.Schedule, c int32) int32 {
	switch s.Scalars[c].Kind {
	case schedule.ScalarX:
		return c + 1
	case schedule.ScalarY:
		return c - 1
	}
	return -1
}

// addOps gives a step every op that depends on its scalars, in order.
func addOps(s *schedule.Schedule, part *schedule.Step) {
	in := make([]bool, len(s.Scalars))
	for _, c := range part.Scalars {
		in[c] = true
	}
	for _, step := range s.Steps {
		for _, op := range step.Ops {
			if slices.ContainsFunc(s.Depends[op.Z], func(c int32) bool { return in[c] }) {
				part.Ops = append(part.Ops, op)
			}
		}
	}
}

// freeAtAll names what is free without saying in which direction.
func freeAtAll(s *schedule.Schedule, part *schedule.Step) *Fault {
	f := &Fault{Kind: TooFew}
	add := func(stmt int, name string) {
		if f.Msg == "" {
			f.Stmt, f.Msg = stmt, name+" and what depends on it are not held: too few statements"
		} else {
			f.Also = append(f.Also, stmt)
		}
	}
	for _, op := range part.Ops {
		if i := int(op.Z); i < len(s.Model.Points) && s.Named(i) && s.Model.Points[i].Kind == schedule.Found {
			add(s.Model.Points[i].Stmt, s.PointName(i))
		}
	}
	if f.Msg != "" {
		return f
	}
	for _, op := range part.Ops { // what is free is the heading of a part
		if i := slices.Index(s.Part, op.Z); i >= 0 && s.Model.Parts[i].Stmt >= 0 {
			add(s.Model.Parts[i].Stmt, s.Model.Parts[i].Name)
		}
	}
	if f.Msg == "" {
		f.Stmt, f.Msg = part.Ops[0].Stmt, "the parts are not held: too few statements"
	}
	return f
}

// freedoms finds the movements that the rows of a step allow.
type freedoms struct {
	s     *schedule.Schedule
	v     *expr.Values
	e     *position.State
	step  *schedule.Step
	holds [][]float64       // what would hold the freedoms named so far: rows of slopes by the step's scalars
	later []int             // scalars that are named later: a point that depends on them holds nothing
	near  map[int]plane.Vec // where the sketch says that found points are, in its frame
}

// toldPlaces are the places that the sketch gives for found points, in its frame.
func (l *Linkage) toldPlaces() map[int]plane.Vec {
	told := map[int]plane.Vec{}
	for _, h := range l.hintsFor() {
		for _, p := range h.points {
			if p.told {
				told[p.point] = p.near.Add(l.start.Scale.Origin)
			}
		}
	}
	return told
}

// name gives a fault for each freedom. The statement that would hold one counts as written when the next is looked for,
// so that all of them together hold everything.
func (f *freedoms) name() (faults Faults) {
	for range min(len(f.step.Scalars), faultsMost) {
		moves := f.nullspace()
		if len(moves) == 0 {
			return faults
		}
		fault, hold := f.one(moves)
		faults = append(faults, fault)
		if len(hold) == 0 {
			return faults
		}
		f.holds = append(f.holds, hold...)
	}
	return faults
}

// nullspace returns movements of the scalars, of length 1 and orthogonal, that change no row.
func (f *freedoms) nullspace() (moves [][]float64) {
	m, n := len(f.step.Rows), len(f.step.Scalars)
	a := make([]float64, m*n, (m+len(f.holds))*n)
	f.e.Jacobian(f.step, a)
	for _, h := range f.holds {
		a = append(a, h...)
	}
	_, moves = nullvectors(a, m+len(f.holds), n)
	return moves
}

// nullvectors returns the combinations of rows that vanish, and the movements of columns that change no row, of an m × n
// matrix; nothing where it has entries that are not numbers.
func nullvectors(a []float64, m, n int) (rows, moves [][]float64) {
	if slices.ContainsFunc(a, func(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) }) {
		return nil, nil
	}
	if m == 0 {
		m, a = 1, make([]float64, n)
	}
	var svd mat.SVD
	if !svd.Factorize(mat.NewDense(m, n, a), mat.SVDFull) {
		return nil, nil
	}
	var u, v mat.Dense
	svd.UTo(&u)
	svd.VTo(&v)
	values := svd.Values(nil)
	rank := 0
	for _, s := range values {
		if s > position.RankRel*max(values[0], 1) {
			rank++
		}
	}
	for k := rank; k < m; k++ {
		rows = append(rows, mat.Col(nil, k, &u))
	}
	for k := rank; k < n; k++ {
		moves = append(moves, mat.Col(nil, k, &v))
	}
	return rows, moves
}

// drift returns how every place moves when the step's scalars do.
func (f *freedoms) drift(move []float64) []plane.Vec {
	dz, dx := make([]plane.Vec, len(f.e.Z)), make([]float64, len(f.e.X))
	for j, s := range f.step.Scalars {
		dx[s] = move[j]
	}
	for i := range f.step.Ops {
		op := &f.step.Ops[i]
		dz[op.Z] = op.Tangent(f.e.C, f.e.Z, f.e.X, nil, dz, dx)
	}
	return dz
}

// one names one freedom: by the first point in the sketch that moves, and the movement that moves it most.
func (f *freedoms) one(moves [][]float64) (fault *Fault, hold [][]float64) {
	drifts := make([][]plane.Vec, len(moves))
	for i, v := range moves {
		drifts[i] = f.drift(v)
	}
	p := firstMoving(f.s, drifts)
	if p < 0 {
		fault = freeAtAll(f.s, f.step)
		return fault, moves[:1]
	}
	z := f.s.Point[p]
	xx, xy, yy := 0.0, 0.0, 0.0
	for _, d := range drifts {
		xx, xy, yy = xx+d[z].X*d[z].X, xy+d[z].X*d[z].Y, yy+d[z].Y*d[z].Y
	}
	mean, half := (xx+yy)/2, math.Hypot((xx-yy)/2, xy)
	fault = &Fault{Kind: TooFew, Stmt: f.s.Model.Points[p].Stmt, Also: alsoMoving(f.s, drifts, p)}
	name := f.s.PointName(p)
	if mean-half > 1e-6*mean {
		fault.Msg = name + " can still move in any direction"
		fault.Help = f.place(fault, p, drifts)
		return fault, [][]float64{f.slope(z, schedule.One), f.slope(z, schedule.One.Turned())}
	}
	way := plane.Polar(math.Atan2(2*xy, xx-yy) / 2)
	fault.Msg = name + f.free(fault, p, way, drifts)
	fault.Help = f.hold(fault, p, way, drifts)
	return fault, [][]float64{f.slope(z, way)}
}

// free returns in words how a point can still move: round the point at the other end of a length; to and from a point from
// which its heading is given; along a line; or along an arc. Otherwise it gives the heading of the motion.
func (f *freedoms) free(fault *Fault, p int, way plane.Vec, drifts [][]plane.Vec) string {
	m := f.s.Model
	for _, e := range m.Equations {
		o := e.P + e.Q - p
		ofTwo := !e.Loose && (e.P == p || e.Q == p) && o >= 0
		switch {
		case e.Kind == schedule.Length && ofTwo && f.s.Named(o) && !f.loose(o, drifts):
			return " can still swing round " + f.s.PointName(o)
		case e.Kind == schedule.Heading && ofTwo && f.s.Named(o) && !f.loose(o, drifts):
			return " can still move to and from " + f.s.PointName(o)
		case e.Kind == schedule.OnLine && e.P == p && math.Abs(way.Cross(f.e.Z[f.s.Line[e.On]])) < 1e-6:
			return " can still slide along " + m.Lines[e.On].Name
		case e.Kind == schedule.OnArc && e.P == p && !f.loose(m.Arcs[e.On].Centre, drifts):
			return " can still slide along " + m.Arcs[e.On].Name
		}
	}
	return fault.angle(" can still move to and fro, at a heading of {} where it stands", math.Atan2(way.Y, way.X))
}

// slope is how far a place moves in a direction, by each scalar of the step.
func (f *freedoms) slope(z schedule.Place, way plane.Vec) []float64 {
	out := make([]float64, len(f.step.Scalars))
	move := make([]float64, len(out))
	for j := range out {
		move[j] = 1
		out[j] = f.drift(move)[z].Dot(way)
		move[j] = 0
	}
	return out
}

// moving reports whether a point moves with any of the drifts.
func moving(s *schedule.Schedule, drifts [][]plane.Vec, p int) bool {
	return slices.ContainsFunc(drifts, func(d []plane.Vec) bool { return d[s.Point[p]].Len() > 1e-6 })
}

// firstMoving is the first found point with a name that moves, or -1.
func firstMoving(s *schedule.Schedule, drifts [][]plane.Vec) int {
	best := -1
	for i, p := range s.Model.Points {
		if p.Kind == schedule.Found && s.Named(i) && moving(s, drifts, i) && (best < 0 || p.Stmt < s.Model.Points[best].Stmt) {
			best = i
		}
	}
	return best
}

// alsoMoving lists the statements of the other found points that move.
func alsoMoving(s *schedule.Schedule, drifts [][]plane.Vec, not int) (stmts []int) {
	for i, p := range s.Model.Points {
		if i != not && p.Kind == schedule.Found && moving(s, drifts, i) {
			stmts = append(stmts, p.Stmt)
		}
	}
	return stmts
}

// loose reports whether a point moves with any of the drifts, or depends on something else that is free.
func (f *freedoms) loose(p int, drifts [][]plane.Vec) bool {
	return moving(f.s, drifts, p) || slices.ContainsFunc(f.s.Depends[f.s.Point[p]], func(c int32) bool { return slices.Contains(f.later, int(c)) })
}

// at is the place of a point in the sketch's frame: where the sketch says that it is, if it does, since a point that is not held
// may stand anywhere.
func (f *freedoms) at(p int) plane.Vec {
	if told, ok := f.near[p]; ok {
		return told
	}
	return f.e.Z[f.s.Point[p]].Add(f.e.Scale.Origin)
}
