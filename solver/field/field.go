// Package field finds where in the field of two dimensions an engine holds: cells in which everything is proved to hold with every
// pair of values, cells in which something is proved to fall short with every pair, and what is left open between them.
//
// Cells are halved both ways where neither could be shown, as long as that is worth it. A cell that holds is proved at once for all
// its engines, by package machine's OverSizes; one that does not by one position at which one check falls short in all of them.
//
// It knows no words and no paper. A newcomer may touch when a cell is halved; what makes a cell hold or fall short is a proof.
package field

import (
	"context"
	"math"
	"slices"
	"time"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/machine"
	"barover/solver/tube"
)

// Query is what is sought. Values are mm, rad or plain numbers, of the one dimension and of the other.
type Query struct {
	Problem  *solver.Problem
	Vary     machine.Vary
	Dims     [2]int
	Now      [2]float64
	From, To [2]float64 // what is searched
	Checks   []int      // the checks that must hold; nil for all
	Depth    int        // how often a cell may be halved; 0 for the usual
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
	// Check is one that falls short with all its values; of an open cell the one that holds by least in its middle, or falls short
	// there by most. -1 for none, and where it cannot be assembled.
	Check  int
	Middle bool // of an open cell: everything holds in the middle of it
	Sure   bool // of an open cell: what could not be shown is what was tried; false where there was no time to
	Seen   bool // its middle was looked at
	level  int
}

// Answer is what was found.
type Answer struct {
	Cells   []Cell // they cover what was searched
	Never   []int  // checks that do not hold and have nothing to do with either dimension: nowhere does all hold
	NowHold bool   // everything does with the values that count
	Best    [2]float64
	Block   [2][2]float64 // a block about Best in which everything holds, as large as it may grow: from where to where in each dimension
	Room    float64       // how far from Best everything holds at least, each dimension as a share of what is searched; 0 where nowhere
	Looked  int           // how many engines were solved
	Late    bool          // cells were left open since the time was over
}

const (
	// first is in how many parts each side of the field is cut before anything is looked at.
	first = 4
	// deepest is how often a cell is halved unless told otherwise.
	deepest = 2
)

// Seek looks over the field. The error is linkage.Faults where the engine cannot be solved with the dimensions as they are.
func Seek(ctx context.Context, q Query, o machine.Options) (*Answer, error) {
	if q.Depth <= 0 {
		q.Depth = deepest
	}
	s := &search{q: q, o: o, progress: o.Progress}
	s.o.Progress = nil
	s.withPassing()
	if err := s.begin(ctx); err != nil || len(s.a.Never) > 0 {
		return &s.a, err
	}
	var open []node
	for i := range first {
		for k := range first {
			open = append(open, node{cell: s.part(i, k), asked: s.touched})
		}
	}
	for len(open) > 0 {
		next, err := s.level(ctx, open)
		if err != nil {
			return nil, err
		}
		open = next
		if q.Found != nil && len(open) > 0 {
			early := s.a
			for _, n := range open {
				early.Cells = append(early.Cells[:len(early.Cells):len(early.Cells)], n.cell)
			}
			q.Found(&early)
		}
	}
	s.a.findBest(&q)
	return &s.a, nil
}

// search is a search while it goes on.
type search struct {
	q        Query
	o        machine.Options
	progress machine.Progress
	a        Answer
	base     *machine.Machine // where the dimensions move no part; else nil
	touched  []int
	p        *solver.Problem // the problem with what keeps each gap from mattering behind its checks: the two never pass each other
	passing  map[int]int     // of a gap, the number of that
	plays    bool            // a play follows from the dimensions: no cell is proved at once
}

// node is a cell that is not decided, and the checks that are not proved to hold all over it.
type node struct {
	cell  Cell
	asked []int
}

func (s *search) begin(ctx context.Context) error {
	q := &s.q
	m, err := s.machineAt(q.Now)
	if err != nil {
		return err
	}
	checks := s.q.Checks
	if checks == nil {
		for i := range s.q.Problem.Checks {
			checks = append(checks, i)
		}
	}
	res, err := m.Some(ctx, s.o, checks)
	if err != nil {
		return err
	}
	s.a.Looked, s.a.NowHold = 1, res.OK()
	ranges, err := s.rangesMove()
	if err != nil {
		return err
	}
	if !ranges && !s.q.Problem.Moves(m.Values, s.q.Dims[:]...) {
		s.base = m
	}
	s.plays = s.q.Problem.PlaysTouched(m.Values, s.q.Dims[:]...)
	touched := map[int]bool{}
	for _, i := range s.q.Problem.Touched(m.Values, s.q.Dims[:]...) {
		touched[i] = true
	}
	for k, i := range checks {
		switch {
		case touched[i] || ranges:
			s.touched = append(s.touched, i)
		case !res.Findings[k].OK:
			s.a.Never = append(s.a.Never, i)
		}
	}
	return nil
}

// rangesMove reports whether the turn or a travel follows from one of the dimensions.
func (s *search) rangesMove() (bool, error) {
	for k, d := range s.q.Dims {
		a, _, err := s.q.Vary(map[int]float64{d: s.q.From[k]})
		b, _, err2 := s.q.Vary(map[int]float64{d: s.q.To[k]})
		if err != nil || err2 != nil || !a.SameRanges(b) {
			return true, nil
		}
	}
	return false, nil
}

// part is a cell of the first cut.
func (s *search) part(i, k int) (c Cell) {
	for d, n := range [2]int{i, k} {
		by := (s.q.To[d] - s.q.From[d]) / first
		c.From[d], c.To[d] = s.q.From[d]+by*float64(n), s.q.From[d]+by*float64(n+1)
		if n == first-1 {
			c.To[d] = s.q.To[d]
		}
	}
	c.Check = -1
	return c
}

// level decides what cells of one size can be, keeps those, and returns the quarters of the others.
func (s *search) level(ctx context.Context, open []node) (next []node, err error) {
	out := make([][]node, len(open))
	done := make([]Cell, len(open))
	looked, late := make([]int, len(open)), make([]bool, len(open))
	o := s.o
	o.Progress = s.progress
	err = machine.Share(ctx, o.Counting("cells"), len(open), func(i int) error {
		work, end := s.within(ctx)
		defer end()
		n, one, err := s.decide(work, open[i])
		if late[i] = work.Err() != nil && ctx.Err() == nil; late[i] {
			done[i] = open[i].cell
			return nil
		}
		if err != nil {
			return err
		}
		looked[i], n.cell.Seen = n.looked, true
		if done[i] = n.cell; n.cell.State == Open && n.cell.level < s.q.Depth {
			out[i] = one
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	for i := range open {
		s.a.Looked += looked[i]
		s.a.Late = s.a.Late || late[i]
		if out[i] == nil {
			s.a.Cells = append(s.a.Cells, done[i])
		}
		next = append(next, out[i]...)
	}
	return next, nil
}

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

// withPassing puts behind the checks the side view of every gap.
func (s *search) withPassing() {
	s.passing = map[int]int{}
	p := *s.q.Problem
	checks := slices.Clone(p.Checks)
	for i := range p.Checks {
		if c := p.Checks[i]; c.Kind == solver.Gap {
			c.Kind, c.AtLeast, c.AtMost, c.Note = solver.Clear, expr.None, expr.None, ""
			s.passing[i] = len(checks)
			checks = append(checks, c)
		}
	}
	p.Checks = checks
	s.p = &p
}

// machineAt is the engine with two values.
func (s *search) machineAt(at [2]float64) (*machine.Machine, error) {
	p, v, err := s.q.Vary(map[int]float64{s.q.Dims[0]: at[0], s.q.Dims[1]: at[1]})
	if err != nil {
		return nil, err
	}
	if s.base != nil {
		return s.base.Redrawn(v)
	}
	q := *p
	q.Checks = s.p.Checks
	return machine.New(&q, v)
}

// sizes are all values of a cell.
func (s *search) sizes(c *Cell) (z machine.Sizes) {
	for k, d := range s.q.Dims {
		mid := middle(c)[k]
		half := math.Max(c.To[k]-mid, mid-c.From[k])
		z.List = append(z.List, tube.Size{Dim: d, Mid: mid, Half: half})
	}
	return z
}
