// Package field maps two dimensions of an engine: cells in which everything is proved to hold with every pair of values,
// cells in which something is proved to fall short with every pair, and cells left open between them.
//
// A cell that could be shown to do neither is halved both ways, as long as that is worth it. A cell that holds is proved
// at once for all its engines, by package machine's OverSizes. A cell that falls short is proved by one position at which
// one check falls short in all of them.
//
// It knows no words and no paper. A newcomer may change when a cell is halved. Only a proof may say that a cell holds or
// falls short.
package field

import (
	"cmp"
	"context"
	"math"
	"slices"
	"sync"
	"time"

	"barover/solver"
	"barover/solver/machine"
	"barover/solver/tube"
)

// Query is the question. Values are mm, rad or plain numbers, of the one dimension and of the other.
type Query struct {
	Problem *solver.Problem
	Vary    machine.Vary
	Dims    [2]int
	Now     [2]float64
	// WayOut gives a place where everything holds, nil where none is found soon. It is called where everything does not
	// hold with the present values and the range is to be drawn in.
	WayOut   func(context.Context) *[2]float64
	From, To [2]float64 // the range searched
	Near     [2]bool    // of a dimension, that From and To are only outer limits: the range is drawn in to about where all holds
	Checks   []int      // the checks that must hold; nil for all
	Depth    int        // how often the range may be halved; 0 for the usual
	Until    time.Time  // when to leave what is not decided open; the zero time for never
	Found    func(*Answer)
}

// State is what is known of a cell.
type State uint8

// The states of cells.
const (
	Open  State = iota // neither is shown
	Holds              // proved: everything holds with all its values
	Short              // proved: with all its values something falls short
)

// Cell is a part of the field.
type Cell struct {
	From, To [2]float64
	State    State
	// Check is one that falls short with all its values. Of an open cell it is the one that holds by least in its middle,
	// or falls short there by most. It is -1 for none, and where the cell cannot be assembled.
	Check  int
	Middle bool // of an open cell: everything holds in the middle of it
	Sure   bool // of an open cell: its proofs were tried and failed; false where there was no time for them
	Seen   bool // its middle was solved
	level  int
}

// Answer is the result.
type Answer struct {
	Cells   []Cell // they cover the range searched
	From    [2]float64
	To      [2]float64 // the range searched: the one asked for, or a smaller one
	Never   []int      // checks that do not hold and do not depend on either dimension: all holds nowhere
	NowHold bool       // everything does with the values that count
	Best    [2]float64
	Block   [2][2]float64 // a block about Best in which everything holds, as large as possible: from where to where in each dimension
	Room    float64       // how far from Best everything holds at least, each dimension as a share of the range searched; 0 where nowhere
	Looked  int           // number of engines solved
	Late    bool          // cells were left open because the time was over
}

// deepest is how often the range is halved by default.
const deepest = 4

// Seek maps the two dimensions. The error is linkage.Faults where the engine cannot be solved with the dimensions as they
// are.
func Seek(ctx context.Context, q Query, o machine.Options) (*Answer, error) {
	if q.Depth <= 0 {
		q.Depth = deepest
	}
	s := &search{q: q, o: o, progress: o.Progress}
	s.o.Progress = nil
	s.p, s.passing = q.Problem.Alternatives(solver.Gap)
	s.a.From, s.a.To = q.From, q.To
	if err := s.begin(ctx); err != nil || len(s.a.Never) > 0 {
		return &s.a, err
	}
	whole := node{cell: Cell{From: s.q.From, To: s.q.To, Check: -1}, asked: s.touched}
	open := []node{whole}
	for len(open) > 0 && !s.a.Late {
		s.nearestFirst(open)
		n := min(len(open), atOnce)
		next, err := s.round(ctx, open[:n], open[n:])
		if err != nil {
			return nil, err
		}
		open = append(next, open[n:]...)
	}
	s.a.Cells = append(s.a.Cells, together(open)...)
	s.a.From, s.a.To = s.q.From, s.q.To
	s.a.findBest(&s.q)
	return &s.a, nil
}

// search is the state of a search.
type search struct {
	q        Query
	o        machine.Options
	progress machine.Progress
	a        Answer
	now      *machine.Machine // with the present values; nil until it is known
	touched  []int
	p        *solver.Problem // the problem with, after its checks, the alternative of each gap: the two never pass each other
	passing  map[int]int     // of a gap, the number of its alternative
	plays    bool            // a play follows from the dimensions: no cell is proved at once
	about    [2]float64      // the place near which cells are tried first

	cuts []standing // what fell short all over cells, and where, the last first

	mu sync.Mutex // guards what is reported while cells are decided
}

// node is a cell that is not decided, and the checks that are not proved to hold all over it.
type node struct {
	cell     Cell
	asked    []int
	suspects []standing // what fell short in the middle of the cell that this is a quarter of, the worst first
	of       *Cell      // that cell
	short    []int      // what is known to fall short in the middle of this one
}

func (s *search) begin(ctx context.Context) error {
	q := &s.q
	m, err := s.machineAt(q.Now)
	if err != nil {
		return err
	}
	checks := s.q.Checks
	if checks == nil {
		checks = solver.Numbers(len(q.Problem.Checks))
	}
	res, err := m.Some(ctx, s.o, checks)
	if err != nil {
		return err
	}
	s.a.Looked, s.a.NowHold, s.about = 1, res.OK(), q.Now
	s.now = m
	ranges := s.rangesMove()
	s.plays = s.q.Problem.PlaysTouched(m.Values, s.q.Dims[:]...)
	touched := map[int]bool{}
	for _, i := range s.q.Problem.TouchedOn(m.Linkage.Schedule(), m.Values, s.q.Dims[:]...) {
		touched[i] = true
	}
	var found []solver.Finding
	for k, i := range checks {
		switch {
		case touched[i] || ranges:
			s.touched = append(s.touched, i)
			found = append(found, res.Findings[k])
		case !res.Findings[k].OK && len(res.Broken) == 0:
			s.a.Never = append(s.a.Never, i)
		}
	}
	if len(s.a.Never) > 0 || !s.q.Near[0] && !s.q.Near[1] {
		return nil
	}
	return s.drawIn(ctx, m, found)
}

// rangesMove reports whether the turn or a travel follows from one of the dimensions.
func (s *search) rangesMove() bool {
	for k, d := range s.q.Dims {
		if s.q.Vary.RangesMove(d, s.q.From[k], s.q.To[k]) {
			return true
		}
	}
	return false
}

const (
	// atOnce is how many cells are decided before the remaining ones are sorted again.
	atOnce = 16
	// smaller is how much farther a cell may be from where everything holds, as a share of the range searched, and still
	// come before one that is half as wide.
	smaller = 0.03
)

// nearestFirst puts the cells in front that are nearest to where everything holds, and large ones.
func (s *search) nearestFirst(open []node) {
	far := func(n node) (sum float64) {
		for k, v := range middle(&n.cell) {
			sum += math.Abs(v-s.about[k]) / (s.q.To[k] - s.q.From[k])
		}
		return sum + smaller*float64(n.cell.level)
	}
	slices.SortStableFunc(open, func(a, b node) int { return cmp.Compare(far(a), far(b)) })
}

// round decides some cells. It returns those that remain: the quarters of the others, and cells for which there was no
// time. Rest is what this round does not look at.
func (s *search) round(ctx context.Context, open, rest []node) (next []node, err error) {
	o := s.o
	o.Workers = min(o.Workers, len(open))
	left := make([][]node, len(open))
	done := make([]*Cell, len(open))
	cuts := make([]*standing, len(open))
	for i := range open {
		left[i] = open[i : i+1]
	}
	err = machine.Share(ctx, o, len(open), func(i int) error {
		work, end := s.within(ctx)
		defer end()
		d, err := s.decide(work, open[i])
		if work.Err() != nil {
			return ctx.Err()
		}
		if err != nil {
			return err
		}
		cuts[i] = d.cut
		s.mu.Lock()
		defer s.mu.Unlock()
		if left[i] = nil; d.cell.State == Open && d.cell.level < s.q.Depth {
			for k := range d.parts {
				d.parts[k].of = &d.cell
			}
			left[i] = d.parts
		} else {
			done[i] = &d.cell
		}
		s.a.Looked++
		s.tell(done, left, rest)
		return nil
	})
	if err != nil {
		return nil, err
	}
	for i := range open {
		if done[i] != nil {
			s.a.Cells = append(s.a.Cells, *done[i])
		}
		if cuts[i] != nil {
			s.cut(*cuts[i])
		}
		next = append(next, left[i]...)
	}
	s.a.Late = !s.q.Until.IsZero() && len(next)+len(rest) > 0 && time.Now().After(s.q.Until)
	return next, nil
}

// tell shows what is known so far.
func (s *search) tell(done []*Cell, left [][]node, rest []node) {
	open := slices.Concat(slices.Concat(left...), rest)
	if s.progress != nil {
		s.progress("cells", s.a.Looked, s.a.Looked+len(open))
	}
	if s.q.Found == nil {
		return
	}
	early := s.a
	early.From, early.To = s.q.From, s.q.To
	early.Cells = slices.Clone(s.a.Cells)
	for _, c := range done {
		if c != nil {
			early.Cells = append(early.Cells, *c)
		}
	}
	early.Cells = append(early.Cells, together(open)...)
	s.q.Found(&early)
}

// together are the remaining cells. Four quarters none of which was tried are replaced by their cell.
func together(open []node) (list []Cell) {
	left := map[*Cell]int{}
	for _, n := range open {
		left[n.of]++
	}
	for _, n := range open {
		switch {
		case n.of == nil || left[n.of] < quarters:
			list = append(list, n.cell)
		case left[n.of] == quarters:
			list = append(list, *n.of)
			left[n.of]++
		}
	}
	return list
}

// quarters is the number of parts of a cell.
const quarters = 4

// within is ctx until the time is over.
func (s *search) within(ctx context.Context) (context.Context, context.CancelFunc) {
	if s.q.Until.IsZero() {
		return context.WithCancel(ctx)
	}
	return context.WithDeadline(ctx, s.q.Until)
}

func middle(c *Cell) [2]float64 {
	return [2]float64{(c.From[0] + c.To[0]) / 2, (c.From[1] + c.To[1]) / 2}
}

// machineAt is the engine with two values.
func (s *search) machineAt(at [2]float64) (*machine.Machine, error) {
	return s.q.Vary.Asking(s.p.Checks, map[int]float64{s.q.Dims[0]: at[0], s.q.Dims[1]: at[1]}, s.now)
}

// coarse is how coarsely the motion over a cell is enclosed, as a share of the effect of its values.
const (
	coarse = 0.2
	finest = 0.05 // of the smallest cells
)

// sizes are all values of a cell.
func (s *search) sizes(c *Cell) (z machine.Sizes) {
	for k, d := range s.q.Dims {
		mid := middle(c)[k]
		half := math.Max(c.To[k]-mid, mid-c.From[k])
		z.List = append(z.List, tube.Size{Dim: d, Mid: mid, Half: half})
	}
	if z.Coarse, z.Parts = coarse, partsAllowed; c.level >= s.q.Depth {
		z.Coarse = finest
	}
	return z
}
