// Package tube encloses the whole motion of a linkage: over boxes of the turn and the travels that leave no gap between
// them, every place is a polynomial in the box's own coordinates with a radius, and the true motion is proved to
// lie within it, on one branch from the start on.
//
// The unknowns of each block of a schedule.Schedule are computed as power series. Krawczyk's test takes their residual
// and the slopes of the rows over a wide tube. It shows that exactly one solution lies in the wide tube at every position
// of the box, and how near the polynomial it stays. Where the end of one box's tube lies within the wide tube of the
// next, both hold the same branch.
//
// It knows no outlines and no checks. A newcomer may change how long boxes are. What makes a tube sound is Krawczyk's
// test and the link from box to box; tests break each on purpose.
package tube

import (
	"barover/solver/expr"
	"barover/solver/schedule"
	"barover/solver/spare"
	"barover/solver/taylor"
)

type slot = taylor.Slot

const none = taylor.None

// pair is a place on the tape.
type pair struct{ x, y taylor.Slot }

// Plan is a linkage ready for enclosures with one set of dimensions. Many goroutines may share it.
type Plan struct {
	Schedule *schedule.Schedule
	Values   *expr.Values
	Sizes    []Size // dimensions that have every value of a range; only in a Plan of NewPlanOver

	tape   *taylor.Tape
	place  []pair        // of each place of the Schedule; none where it has no enclosure
	scalar []taylor.Slot // of each scalar, likewise
	known  []int         // scalars that have an enclosure; what a Box keeps begins with these, in this order
	steps  []step
	keep   []taylor.Slot // slots that every Box keeps: scalars and places
	kept   []int         // of each slot, where in keep; -1 where it is not
	turns  []bool        // of each slot: it may change with the turn
	sized  []uint64      // of each slot: a bit for each of the Sizes that may have to do with it

	lost     float64             // share of the residual of rows that the radius does not count: none, except for a test
	loose    bool                // boxes need not be on the branch of those before them: only in a test
	solvers  spare.Pool[*solver] // left by finished enclosures
	standers spare.Pool[*solver] // of one engine at one position
}

// step is one step of the Schedule as stretches of the tape: from a on what moves with the turn alone, then the unknowns,
// the places they make, the rows, the rows' slopes, and what must stay above zero.
type step struct {
	a, unknowns, ops, rows, slopes, asks, end taylor.Slot

	from     schedule.Step // what it is made of
	aside    bool          // it makes a place without a question about it
	scalars  []int         // indices into Schedule.Scalars
	row      []taylor.Slot // value of each row
	slope    []entry       // slopes that are not zero everywhere, scalar by scalar
	column   []int         // where in slope the entries of each scalar begin, and the end
	positive []taylor.Slot
}

// entry is the slope of row i by a scalar.
type entry struct {
	i  int
	at taylor.Slot
}

// Reason says why a motion has no enclosure at all.
type Reason string

func (r Reason) Error() string { return string(r) }

// Why there may be no enclosure.
const (
	NoStep  Reason = "nothing in it moves in a way that can be enclosed"
	TooWide Reason = "more travels with a range than can be enclosed at once"
)

// NewPlan puts a Schedule on a tape. It leaves out places moved by a loose length, which do not move smoothly, and places
// driven by a sum that cannot be enclosed, with everything that follows from them: see Encloses. The error is a Reason
// where nothing is left; the Plan then only gives the reason.
func NewPlan(s *schedule.Schedule, v *expr.Values) (*Plan, error) {
	return newPlan(s, v, nil, anywhere(s))
}

// newPlan is NewPlan for some places alone, and all that they are made from.
func newPlan(s *schedule.Schedule, v *expr.Values, sizes []Size, wanted *wanted) (*Plan, error) {
	w := newWriter(s, v, sizes)
	p, b := w.plan, w.Builder
	failed := false
	for i := range s.Steps {
		for _, part := range single(&s.Steps[i]) {
			if len(part.Scalars) == 0 && wanted.skips(&part.Ops[0]) {
				continue
			}
			from := b.Mark()
			if !w.stands(&part) {
				w.forget(from)
				failed = true
				continue
			}
			t := w.step(&part)
			t.a, t.aside = from, len(t.scalars) == 0 && !wanted.place[part.Ops[0].Z]
			p.steps = append(p.steps, t)
			p.known = append(p.known, t.scalars...)
		}
	}
	p.tape = &b.Tape
	for z := range p.place {
		if !wanted.place[z] {
			p.place[z] = pair{none, none}
		}
	}
	p.list()
	p.findTurning()
	if len(p.steps) == 0 && failed {
		return p, NoStep
	}
	return p, nil
}

// single cuts a step that only computes into one for each place, since each can be enclosed separately.
func single(s *schedule.Step) []schedule.Step {
	if len(s.Rows)+len(s.Loose) > 0 {
		return []schedule.Step{*s}
	}
	list := make([]schedule.Step, len(s.Ops))
	for i := range s.Ops {
		list[i].Ops = s.Ops[i : i+1]
	}
	return list
}

// Encloses reports whether a part is enclosed.
func (p *Plan) Encloses(part int) bool {
	m := &p.Schedule.Model.Parts[part]
	return m.Kind == schedule.Frame || p.point(m.P).x != none && p.at(p.Schedule.Part[part]).x != none
}

func (p *Plan) point(i int) pair { return p.at(p.Schedule.Point[i]) }

// findTurning finds which slots may change with the turn, and which depend on travels alone or on nothing, and which
// sizes affect each.
func (p *Plan) findTurning() {
	p.turns, p.sized = make([]bool, p.tape.Len()), make([]uint64, p.tape.Len())
	first := 1 + p.Schedule.Model.Travels // the parameter of the first size
	var operands []taylor.Slot
	fill := func(a, b taylor.Slot) (any bool, sizes uint64) {
		for k := a; k < b; k++ {
			operands = p.tape.Operands(operands[:0], k)
			if j, ok := p.tape.ParamOf(k); ok {
				p.turns[k] = j == 0
				if j >= first {
					p.sized[k] = 1 << (j - first)
				}
			}
			for _, o := range operands {
				p.turns[k] = p.turns[k] || p.turns[o]
				p.sized[k] |= p.sized[o]
			}
			any, sizes = any || p.turns[k], sizes|p.sized[k]
		}
		return any, sizes
	}
	for i := range p.steps {
		s := &p.steps[i]
		any, sizes := fill(s.a, s.end)
		if len(s.scalars) == 0 {
			continue
		}
		for _, k := range s.scalars { // the unknowns, and what they make, depend on all that the rows depend on
			p.turns[p.scalar[k]] = p.turns[p.scalar[k]] || any
			p.sized[p.scalar[k]] = sizes
		}
		fill(s.a, s.end)
	}
}

// SizedBy is the set of Sizes, a bit for each, that may affect the place of a part.
func (p *Plan) SizedBy(part int) (set uint64) {
	for _, s := range p.slots(part) {
		if s != none {
			set |= p.sized[s]
		}
	}
	return set
}

// Loose reports whether loose lengths place something: that, with what follows from it, is left out.
func (p *Plan) Loose() bool {
	return p.Schedule.Slack()
}

// Turns reports whether a part may move with the turn; otherwise only travels move it.
func (p *Plan) Turns(part int) bool {
	for _, s := range p.slots(part) {
		if s != none && p.turns[s] {
			return true
		}
	}
	return false
}

// list numbers the slots that the boxes keep.
func (p *Plan) list() {
	p.kept = make([]int, p.tape.Len())
	for s := range p.kept {
		p.kept[s] = -1
	}
	put := func(s taylor.Slot) {
		if s != taylor.None && p.kept[s] < 0 {
			p.kept[s] = len(p.keep)
			p.keep = append(p.keep, s)
		}
	}
	for _, k := range p.known {
		put(p.scalar[k])
	}
	for _, z := range p.place {
		put(z.x)
		put(z.y)
	}
}

// at returns the slots of a place; taylor.None for the frame's.
func (p *Plan) at(z schedule.Place) pair {
	if z < 0 {
		return pair{taylor.None, taylor.None}
	}
	return p.place[z]
}
