// Package linkage places the points of a mechanism. It puts dimensions into a schedule, assembles it at the start of the
// turn, and follows the motion round the turn.
//
// It knows how the motion continues from one position to the next, and what is wrong with a sketch that cannot be solved.
// Package position solves one position.
//
// The way of the data: misfit (rows and unknowns that do not match), assemble, start_check, follow and walk (round the
// turn), motion (any position afterwards). A newcomer may change a message (too_few, too_many, gaps) at will. The steps of
// walk.go were measured; measure them again.
package linkage

import (
	"sync"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/position"
	"barover/solver/schedule"
	"barover/solver/spare"
)

// Linkage is a Model with dimensions that can be assembled. It never changes after New, and many goroutines may use it.
type Linkage struct {
	s     *schedule.Schedule
	v     *expr.Values
	p     *position.Program
	start *position.State // assembled, at the start of the turn with the travels at rest; only ever copied
	pool  spare.Pool[*position.State]

	found [][][]float64 // of each step that was searched, the ways found
	ahead bool          // the way of a step was chosen by looking ahead

	web   func() *position.Web // made when first needed
	cones spare.Pool[*Cone]
}

// New puts the dimensions of v into m, assembles it at the start of a turn that goes from an angle to another (rad), with the travels
// at rest, and says what is wrong with it: the error is Faults.
func New(m *schedule.Model, v *expr.Values, from, to float64, rest []float64) (*Linkage, error) {
	s := schedule.Compile(m)
	f := badValues(m, v, from, rest)
	switch {
	case len(f) > 0:
	case s.Steps == nil:
		f = misfits(s, v, from, to, rest)
	default:
		if f = tooBig(s); f == nil {
			f = tooLoose(s)
		}
	}
	if len(f) > 0 {
		return nil, f
	}
	return anew(s, v, from, rest)
}

// anew assembles what can be solved.
func anew(s *schedule.Schedule, v *expr.Values, turnFrom float64, rest []float64) (*Linkage, error) {
	l := fill(s, v, turnFrom, rest, nil)
	if f := l.assemble(); len(f) > 0 {
		return nil, f
	}
	return l, nil
}

// With returns the same linkage with other dimensions, assembled in the same way as this one: nearest to it, and on the
// same side of every dead centre. It is faster than New, and ignores hints.
func (l *Linkage) With(v *expr.Values) (*Linkage, error) {
	if f := badValues(l.s.Model, v, l.start.Turn, l.start.Travel); len(f) > 0 {
		return nil, f
	}
	n := fill(l.s, v, l.start.Turn, l.start.Travel, l)
	if f := n.follow(l); len(f) > 0 {
		return nil, f
	}
	return n, nil
}

// Schedule returns the order in which the linkage is placed.
func (l *Linkage) Schedule() *schedule.Schedule { return l.s }

// Values returns the dimensions in the linkage.
func (l *Linkage) Values() *expr.Values { return l.v }

// fill puts numbers into a Schedule that has Steps. The linkage is not assembled yet. Its scalars are in the frame of
// like, where that is not nil.
func fill(s *schedule.Schedule, v *expr.Values, turnFrom float64, rest []float64, like *Linkage) *Linkage {
	var origin *plane.Vec
	if like != nil {
		origin = &like.start.Scale.Origin
	}
	sc := position.Measure(s, v, turnFrom, rest, origin)
	p := position.NewProgram(s, v, sc)
	l := &Linkage{s: s, v: v, p: p}
	l.start = position.NewState(s, p, sc)
	l.start.Set(turnFrom, rest)
	l.pool.New = func() *position.State { return position.NewState(s, p, sc) }
	l.web = sync.OnceValue(func() *position.Web { return position.NewWeb(s, p) })
	l.cones.New = func() *Cone { return &Cone{Cone: position.NewCone(s, p, sc, l.web()), l: l} }
	return l
}

// borrow returns a state at the start. Give it back with l.pool.Put.
func (l *Linkage) borrow() *position.State {
	e := l.pool.Must()
	e.Copy(l.start)
	return e
}

// fill takes a pose from a state that is solved and complete.
func (p *Pose) fill(e *position.State) {
	s := e.Schedule
	p.Turn = e.Turn
	p.Travel = append(p.Travel[:0], e.Travel...)
	p.Point = sized(p.Point, len(s.Point))
	p.Part = sized(p.Part, len(s.Part))
	p.Line = sized(p.Line, len(s.Line))
	for i, z := range s.Point {
		p.Point[i] = e.Z[z].Add(e.Scale.Origin)
	}
	for i, z := range s.Part {
		p.Part[i].Dir = e.Z[z]
		p.Part[i].Origin = plane.Vec{}
		if part := &s.Model.Parts[i]; part.Kind != schedule.Frame {
			p.Part[i].Origin = p.Point[part.P]
		}
	}
	for i, z := range s.Line {
		p.Line[i] = plane.Placement{Origin: p.Point[s.Model.Lines[i].P], Dir: e.Z[z]}
	}
}

// sized returns a slice of length n, in the memory of s if that is large enough.
func sized[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	return s[:n]
}
