package linkage

import (
	"context"
	"math"
	"slices"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/position"
	"barover/solver/schedule"
)

// surplusSamples is the number of places of a turn at which statements are compared.
const surplusSamples = 48

// surplus says of each row put aside whether it is redundant, or contradicts the others.
func (m *misfit) surplus() (faults Faults) {
	for i, c := range m.Scalar {
		if c < 0 && len(faults) < faultsMost {
			faults = append(faults, m.surplusRow(i))
		}
	}
	return faults
}

func (m *misfit) surplusRow(i int) *Fault {
	r := &m.Rows[i]
	f := &Fault{Stmt: r.Stmt, Also: m.concerned(i)}
	one, also := f.against(m.Schedule, r)
	e := m.l.start.Clone()
	miss, turn := m.miss(r, e), e.Turn
	if m.placed && math.Abs(miss) <= position.SameShare*e.Scale.Size { // what agrees at the start may disagree further on
		miss, turn = m.worst(r)
	}
	if math.Abs(miss) <= e.Scale.Agrees() {
		f.Kind = TooMany
		f.Msg = one + " is redundant"
		if also != "" {
			f.Msg += ": it follows from " + also
		}
		if r.Kind == schedule.RowLength && r.Equation >= 0 {
			q := m.Schedule.Model.Equations[r.Equation]
			f.Help = "loose length " + m.Schedule.PointName(int(r.P)) + " " + m.Schedule.PointName(int(r.Q)) +
				f.length(" = {}", e.C.At(q.V)) + f.length(" play {}", 1e-3*e.Scale.Size)
		}
		return f
	}
	f.Kind = Disagree
	f.Msg = one + " disagrees with "
	if also == "" {
		also = "the places of its points"
	}
	f.Msg += also
	if r.Directed() {
		f.Msg += f.angle(" by {}", math.Abs(miss))
	} else {
		f.Msg += f.length(" by {}", math.Abs(miss))
	}
	f.Msg += f.angle(" with the turn at {}", turn)
	return f
}

// miss is by how much a row is missed that was left out of the linkage. Its sum was perhaps left out too, so it is computed here.
func (m *misfit) miss(r *schedule.Row, e *position.State) float64 {
	e.Complete()
	if r.V != expr.None {
		e.C[r.V] = expr.NewEval(m.l.v).At(r.V, &expr.Context{Turn: e.Turn, Travel: e.Travel})
	}
	return r.Miss(e.C, e.Z)
}

// worst follows the rest over the turn, once round at most, and returns the greatest miss of a row and its place.
func (m *misfit) worst(r *schedule.Row) (miss, turn float64) {
	e := m.l.borrow()
	defer m.l.pool.Put(e)
	from := e.Turn
	miss, turn = m.miss(r, e), from
	to := min(m.to, from+2*math.Pi)
	mo, err := m.l.Follow(context.Background(), slices.Clone(e.Travel), from, to, (to-from)/surplusSamples)
	if err != nil {
		return miss, turn
	}
	for _, t := range mo.turn {
		if s := mo.stand(e, t); s != Solved && s != DeadCentre {
			continue
		}
		if x := m.miss(r, e); math.Abs(x) > math.Abs(miss)*(1+1e-9) {
			miss, turn = x, t
		}
	}
	return miss, turn
}

// concerned lists the statements that fix what row i asks: those on which its miss depends at the present pose. If the
// rest could not be put together, they are all that its places depend on.
func (m *misfit) concerned(i int) (stmts []int) {
	if m.placed {
		stmts = m.leansOn(&m.Rows[i])
	} else {
		stmts = m.Hanging(i)
	}
	slices.Sort(stmts)
	stmts = slices.Compact(stmts)
	return slices.DeleteFunc(stmts, func(s int) bool { return s == m.Rows[i].Stmt })
}

// leansOn lists the statements that the miss of a row depends on.
func (m *misfit) leansOn(r *schedule.Row) (stmts []int) {
	e := m.l.start
	b := position.NewAdjoint(e)
	b.Held = func(row *schedule.Row, w float64) {
		if !(math.Abs(w) <= leanLeast) {
			stmts = append(stmts, row.Stmt)
		}
	}
	sum := make([]plane.Vec, len(e.Z)) // by each place, the demands on it
	b.Asked = func(op *schedule.Op, w plane.Vec) { sum[op.Z] = sum[op.Z].Add(w) }
	w := 1.0
	if r.Kind == schedule.RowLength {
		w = e.C.At(r.V) / e.Z[r.P].Sub(e.Z[r.Q]).Len()
	}
	r.Pull(e.C, e.Z, w, b.Z, b.C)
	b.Pull()
	for z := range m.Schedule.OpAt {
		stmts = leaningOn(m.Schedule, stmts, e, schedule.Place(z), sum[z])
	}
	return stmts
}

// leaningOn appends the equations that made a place and with which it can move in a direction.
func leaningOn(s *schedule.Schedule, stmts []int, e *position.State, z schedule.Place, way plane.Vec) []int {
	op := &s.OpAt[z]
	if op.Kind == schedule.OpFree || op.Kind == schedule.OpNorm || len(s.Met[z]) == 0 {
		return stmts
	}
	d := op.Slopes(e.C, e.Z, e.X)
	by := [2]plane.Vec{d.A, d.B} // of OpPolar: its length and its heading
	switch op.Kind {
	case schedule.OpSpun:
		by = [2]plane.Vec{d.C, d.B}
	case schedule.OpSlide:
		by[0] = d.S.Turned()
	}
	for k, eq := range s.Met[z] {
		if !(math.Abs(by[k].Dot(way)) <= leanLeast*max(1, by[k].Len())) {
			stmts = append(stmts, s.Model.Equations[eq].Stmt)
		}
	}
	return stmts
}
