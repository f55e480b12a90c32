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
	for _, op := range part.Ops {
		if i := int(op.Z); i < len(s.Model.Points) && s.Named(i) && s.Model.Points[i].Kind == schedule.Found {
			if f.Msg == "" {
				f.Stmt, f.Msg = s.Model.Points[i].Stmt, s.PointName(i)+" and what depends on it are not held: too few statements"
			} else {
				f.Also = append(f.Also, s.Model.Points[i].Stmt)
			}
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

// place returns the statements that keep point p from moving at all: its distance from the other end of its part and the
// heading there, where the length of a part is missing, else its place. Without a hint in the sketch no figure is known.
func (f *freedoms) place(fault *Fault, p int, drifts [][]plane.Vec) string {
	name, at := f.s.PointName(p), f.at(p)
	_, known := f.near[p]
	o := f.lengthMissing(p, drifts)
	switch {
	case o < 0 && known:
		return "point " + name + fault.length(" at {}, ", at.X) + fault.length("{}", at.Y)
	case o < 0:
		return "point " + name + " at U, V"
	}
	ends, d := f.s.PointName(o)+" "+name, at.Sub(f.at(o))
	if !known || d.Len() == 0 {
		return "length " + ends + " = V\nangle " + ends + " = V"
	}
	return "length " + ends + fault.length(" = {}", d.Len()) + "\nangle " + ends + fault.angle(" = {}", math.Atan2(d.Y, d.X))
}

// lengthMissing is the other end, which does not move, of a part from or to point p without a length between the two; -1
// where there is none.
func (f *freedoms) lengthMissing(p int, drifts [][]plane.Vec) int {
	m := f.s.Model
	for i := range m.Parts {
		part := &m.Parts[i]
		o := part.P + part.Q - p
		if part.Kind != schedule.FromTo || part.P != p && part.Q != p || !f.s.Named(o) || f.loose(o, drifts) {
			continue
		}
		if !slices.ContainsFunc(m.Equations, func(e schedule.Equation) bool {
			return e.Kind == schedule.Length && (e.P == p && e.Q == o || e.P == o && e.Q == p)
		}) {
			return o
		}
	}
	return -1
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

// hold returns a statement that keeps point p from moving in that direction.
func (f *freedoms) hold(fault *Fault, p int, way plane.Vec, drifts [][]plane.Vec) string {
	slide := func(line int) string { return "slide " + f.s.PointName(p) + " on " + f.s.Model.Lines[line].Name }
	if line := f.ownLine(p, way); line >= 0 {
		return slide(line)
	}
	m, at := f.s.Model, f.at
	moves := f.s.Origins(f.moved)
	_, known := f.near[p] // else a figure would be that of any place
	angle := func(o int) string {
		d, ends := at(p).Sub(at(o)), "angle "+f.s.PointName(o)+" "+f.s.PointName(p)
		if !known {
			return ends + " = V"
		}
		return ends + fault.angle(" = {}", math.Atan2(d.Y, d.X))
	}
	if o := f.crankOf(p, drifts, moves); o >= 0 {
		return angle(o)
	}
	aims := func(i int) float64 { // how nearly the direction is that from point i, where both stand
		d := f.e.Z[f.s.Point[p]].Sub(f.e.Z[f.s.Point[i]])
		return math.Abs(d.Dot(way)) / d.Len()
	}
	length := func(o int) string {
		ends := "length " + f.s.PointName(o) + " " + f.s.PointName(p)
		if !known {
			return ends + " = V"
		}
		return ends + fault.length(" = {}", at(p).Sub(at(o)).Len())
	}
	if o := f.lengthMissing(p, drifts); o >= 0 && aims(o) > squarest {
		return length(o)
	}
	if line := f.nearLine(p, way); line >= 0 {
		return slide(line)
	}
	for _, e := range m.Equations {
		if e.Kind != schedule.Length || e.Loose || e.P != p && e.Q != p {
			continue
		}
		o := e.P + e.Q - p
		if !f.loose(o, drifts) && f.s.Named(o) {
			return angle(o) + f.onLever(p, o, moves)
		}
	}
	best, from := 0.0, -1
	for i := range m.Points {
		c := aims(i)
		if !f.s.Named(i) || f.loose(i, drifts) || !(c > squarest) || at(p).Sub(at(i)).Len() <= f.e.Scale.Size*noLength {
			continue
		}
		c += float64(min(moves.Place(f.s.Point[i]), 1)) // a rod to what the crank drives comes before a stay to what stands still
		if c > best+1e-9 {
			best, from = c, i
		}
	}
	switch {
	case from < 0 && !known:
		return "point " + f.s.PointName(p) + " at U, V"
	case from < 0:
		return "point " + f.s.PointName(p) + fault.length(" at {}, ", at(p).X) + fault.length("{}", at(p).Y)
	}
	return length(from)
}

// crankOf is the axle of a crank whose pin is p and which nothing turns: -1 where p is none. The pin of a part from an axle that the turn
// does not move is one where nothing is driven yet, and where a rod couples it to another crank as long.
func (f *freedoms) crankOf(p int, drifts [][]plane.Vec, moves *schedule.Origins) int {
	m := f.s.Model
	axle := func(p int) (o int, long float64) {
		for i := range m.Parts {
			t := &m.Parts[i]
			if o = t.P + t.Q - p; t.Kind != schedule.FromTo || t.P != p && t.Q != p || !f.s.Named(o) || f.loose(o, drifts) || moves.Place(f.s.Point[o])&byTurn != 0 {
				continue
			}
			for _, e := range m.Equations {
				if e.Kind == schedule.Length && !e.Loose && min(e.P, e.Q) == min(o, p) && max(e.P, e.Q) == max(o, p) {
					return o, f.v.At(e.V)
				}
			}
		}
		return -1, 0
	}
	o, long := axle(p)
	if o < 0 || !f.drives() {
		return o
	}
	couples := func(a, b int) bool {
		if a != p && b != p {
			return false
		}
		other, throw := axle(a + b - p)
		return other >= 0 && other != o && math.Abs(throw-long) <= noLength*long
	}
	for i := range m.Parts {
		if t := &m.Parts[i]; t.Kind == schedule.FromTo && couples(t.P, t.Q) {
			return o
		}
	}
	for _, e := range m.Equations {
		if e.Kind == schedule.Length && couples(e.P, e.Q) {
			return o
		}
	}
	return -1
}

// onLever says how point p is written where it belongs to a part that swings on pivot o, as the other end of a beam does; "" for no part.
func (f *freedoms) onLever(p, o int, moves *schedule.Origins) string {
	for i := range f.s.Model.Parts {
		t := &f.s.Model.Parts[i]
		if t.Kind == schedule.FromTo && t.P == o && t.Q != p && moves.Place(f.s.Point[o])&byTurn == 0 {
			return "; or, where it is on " + t.Name + ", point " + f.s.PointName(p) + " on " + t.Name + " at U, V alone"
		}
	}
	return ""
}

// drives reports whether the turn moves any point.
func (f *freedoms) drives() bool {
	m := f.s.Model
	turns := func(ids ...expr.ID) bool {
		return slices.ContainsFunc(ids, func(id expr.ID) bool { return id != expr.None && f.moved(id)&byTurn != 0 })
	}
	return slices.ContainsFunc(m.Equations, func(e schedule.Equation) bool { return turns(e.V) }) ||
		slices.ContainsFunc(m.Points, func(p schedule.Point) bool { return turns(p.U, p.V) }) ||
		slices.ContainsFunc(m.Lines, func(l schedule.Line) bool { return turns(l.Heading) })
}

// byTurn and byTravel say what a sum or a place changes with.
const byTurn, byTravel = 1, 2

// moved says what a sum changes with.
func (f *freedoms) moved(sum expr.ID) (by uint64) {
	if g := f.s.Model.Graph; !g.StaysOverTurn(sum) {
		by |= byTurn
	}
	if f.s.Model.Graph.Travels(sum) != 0 {
		by |= byTravel
	}
	return by
}

// noLength is how near to one another, as a share of the engine's size, points stand between which no length is offered.
const noLength = 1e-6

// squarest is how little of a direction may be along a length that is offered to hold it.
const squarest = 0.3

// nearBy is how near a line a point must be to be meant to slide on it, as a share of how far along the line it is.
const nearBy = 0.05

// holdsOn reports whether a line with a name keeps point p from moving in that direction, and p is not said to be on it.
func (f *freedoms) holdsOn(line, p int, way plane.Vec) bool {
	l := &f.s.Model.Lines[line]
	return l.Name != "" && math.Abs(way.Cross(f.e.Z[f.s.Line[line]])) > 0.3 && !slices.ContainsFunc(f.s.Model.Equations, func(e schedule.Equation) bool {
		return e.Kind == schedule.OnLine && e.P == p && e.On == line
	})
}

// ownLine is the line of a part at point p that keeps p from moving in that direction; -1 where there is none.
func (f *freedoms) ownLine(p int, way plane.Vec) int {
	for _, part := range f.s.Model.Parts {
		if part.Kind == schedule.AlongLine && part.P == p && f.holdsOn(part.Line, p, way) {
			return part.Line
		}
	}
	return -1
}

// nearLine is a line near point p that keeps it from moving in that direction; -1 where there is none.
func (f *freedoms) nearLine(p int, way plane.Vec) int {
	for i, l := range f.s.Model.Lines {
		d := f.at(p).Sub(f.at(l.P))
		if l.P != p && l.Q != p && f.holdsOn(i, p, way) && math.Abs(d.Cross(f.e.Z[f.s.Line[i]])) <= nearBy*d.Len() {
			return i
		}
	}
	return -1
}
