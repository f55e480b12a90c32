package mend

import (
	"context"
	"maps"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/machine"
	"barover/solver/seek"
)

// search is the state of a search.
type search struct {
	q        Query
	o        machine.Options
	progress machine.Progress
	a        Answer
	p        *solver.Problem  // the problem, with the alternatives of its pairs after its checks
	other    map[int]int      // of a check of a pair, the number of its alternative
	base     *machine.Machine // the engine as it is
	size     float64          // of it, mm
	cands    []candidate      // by dimension
	rows     []row            // as slopes describe the engine as it is
	short    []int            // checks that do not hold
	known    map[string]bool  // sizes that were tried
	searched pool             // the last pool that was searched
}

// candidate is a dimension that may change.
type candidate struct {
	now, from, to float64 // how far it is searched
	reach         float64 // the farther end's distance
	made          bool
	follows       bool // it follows from dimensions that may change themselves
	idle          bool // it moves nothing that is asked, except limits, and the engine goes round as it is
	used          solver.Users
}

// begin answers every check as it is, and finds the effect of each dimension on it.
func (s *search) begin(ctx context.Context) error {
	s.p, s.other = s.q.Problem.Alternatives(solver.Clear, solver.Gap)
	m, err := s.machine(nil)
	if err != nil {
		return err
	}
	s.base, s.size = m, m.Size
	if s.a.Before, err = m.Some(ctx, s.o, solver.Numbers(len(s.q.Problem.Checks))); err != nil {
		return err
	}
	s.a.Looked = 1
	if len(s.a.Before.Broken) > 0 {
		s.a.Unmade = 1
	}
	if s.a.Holds = s.a.Before.OK(); s.a.Holds {
		return nil
	}
	for i := range s.a.Before.Findings {
		if !s.a.Before.Findings[i].OK {
			s.short = append(s.short, i)
		}
	}
	if s.a.Before.Passes, err = m.ChangePoints(ctx, s.o); err != nil {
		return err
	}
	s.candidates()
	found := s.a.Before.Findings
	others, err := m.Some(ctx, s.o, s.othersOf(s.short))
	if err != nil {
		return err
	}
	s.rows, err = s.linearise(ctx, m, nil, append(slices.Clone(found), others.Findings...))
	return err
}

// othersOf are the alternatives of some checks.
func (s *search) othersOf(checks []int) (list []int) {
	for _, i := range checks {
		if k, ok := s.other[i]; ok {
			list = append(list, k)
		}
	}
	return list
}

// machine is the engine with other values of dimensions.
func (s *search) machine(change map[int]float64) (*machine.Machine, error) {
	return s.q.Vary.Asking(s.p.Checks, change, s.base)
}

// candidates finds out about every dimension.
func (s *search) candidates() {
	p, v := s.q.Problem, s.base.Values
	users := p.Users()
	made := make([][]int, len(p.Dims)) // the dimensions in each sum
	for d := range p.Dims {
		made[d] = p.MadeOf(d)
	}
	bare := *p
	bare.Checks = slices.Clone(p.Checks)
	for i := range bare.Checks {
		bare.Checks[i].AtLeast, bare.Checks[i].AtMost = expr.None, expr.None
	}
	s.cands = make([]candidate, len(p.Dims))
	for d := range p.Dims {
		now := v.At(p.Graph.Dims[d])
		c := candidate{now: now, made: p.Dims[d].Made, used: users[d]}
		c.from, c.to = seek.Limits(s.q.Dims[d].Kind, now, s.size)
		c.from, c.to = widened(c.from, c.to, s.q.Dims[d].Stock)
		c.reach = math.Max(c.to-now, now-c.from)
		for e := range p.Dims {
			if _, fixed := v.Fixed[e]; !fixed && slices.Contains(made[e], d) {
				c.used = union(c.used, users[e])
			}
		}
		for _, e := range made[d] {
			c.follows = c.follows || !p.Dims[e].Made && len(made[e]) == 0
		}
		c.idle = !(c.reach > 0) || len(s.a.Before.Broken) == 0 && len(bare.Touched(v, d)) == 0 && s.sameRanges(d, c.to)
		s.cands[d] = c
	}
}

// widened extends the range searched to the sizes in stock.
func widened(from, to float64, stock []float64) (float64, float64) {
	if len(stock) > 0 {
		return math.Min(from, stock[0]), math.Max(to, stock[len(stock)-1])
	}
	return from, to
}

// sameRanges reports whether the turn and the travels stay as they are with another value of a dimension.
func (s *search) sameRanges(d int, v float64) bool {
	p, _, err := s.q.Vary(map[int]float64{d: v})
	return err == nil && p.SameRanges(s.q.Problem)
}

func union(a, b solver.Users) solver.Users {
	join := func(a, b []int) []int {
		list := slices.Concat(a, b)
		slices.Sort(list)
		return slices.Compact(list)
	}
	return solver.Users{Profiles: join(a.Profiles, b.Profiles), Parts: join(a.Parts, b.Parts)}
}

// pool is dimensions from which sets are taken. If any is marked in need, every set must have one that is.
type pool struct {
	dims []int
	need map[int]bool
}

// pools are the dimensions that are searched, each list only where those before gave no way: first those with a value of
// their own, then also those that follow from others, then also those that are made.
func (s *search) pools() (list []pool) {
	own, follow, made := pool{}, pool{need: map[int]bool{}}, pool{need: map[int]bool{}}
	for d, c := range s.cands {
		if c.idle || slices.Contains(s.q.Without, d) || s.q.With != nil && !slices.Contains(s.q.With, d) {
			continue
		}
		switch {
		case c.made && !slices.Contains(s.q.Remake, d):
			made.need[d] = true
		case c.follows && s.q.With == nil:
			follow.need[d] = true
		default:
			own.dims = append(own.dims, d)
		}
	}
	follow.dims = slices.Sorted(slices.Values(slices.AppendSeq(slices.Clone(own.dims), maps.Keys(follow.need))))
	made.dims = slices.Sorted(slices.Values(slices.AppendSeq(slices.Clone(follow.dims), maps.Keys(made.need))))
	list = append(list, own)
	if len(follow.need) > 0 {
		list = append(list, follow)
	}
	if len(made.need) > 0 {
		list = append(list, made)
	}
	return list
}

// allows reports whether a set may be taken from the pool.
func (p *pool) allows(dims []int) bool {
	return p.need == nil || slices.ContainsFunc(dims, func(d int) bool { return p.need[d] })
}
