package mend

import (
	"context"
	"fmt"
	"maps"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/machine"
)

const (
	// rounds is the number of engines solved for one set.
	rounds = 8
	// mostLooked is the number of engines solved in all.
	mostLooked = 250
)

// settle looks for sizes of the dimensions of a set with which everything holds. It takes sizes by slopes, solves the
// engine with them, and where something falls short goes on by the slopes there. It returns nil where it finds none.
func (s *search) settle(ctx context.Context, t set) (*Way, error) {
	rows := s.rows
	for range rounds {
		if s.a.Looked >= mostLooked {
			s.a.Cut = true
			return nil, nil
		}
		x := s.had(t.dims, rows)
		if x == nil && len(rows) > len(s.rows) { // rows of other engines may be wrong here: use those of the last alone
			rows = s.latest(rows)
			x = s.had(t.dims, rows)
		}
		if x == nil {
			return nil, nil
		}
		s.known[fmt.Sprint(x)] = true
		w, more, err := s.try(ctx, x)
		if w != nil || err != nil {
			return w, err
		}
		rows = append(slices.Clip(rows), more...)
	}
	return nil, nil
}

// latest keeps, of the rows for each side of each check, those of the engine that was solved last.
func (s *search) latest(rows []row) (list []row) {
	last := map[int]int{} // the last engine of each check, by the place of a row about it
	for i := range rows {
		last[rows[i].check] = i
	}
	for i := range rows {
		if maps.Equal(rows[i].at, rows[last[rows[i].check]].at) {
			list = append(list, rows[i])
		}
	}
	return list
}

// trial is the engine with some changes.
type trial struct {
	m       *machine.Machine
	touched []int // the checks that may depend on the changes
	short   []int // those of them that do not hold
	holds   bool  // every check of the engine does
}

// try solves the engine with some changes. The result is a way, or rows that say what falls short.
func (s *search) try(ctx context.Context, x map[int]float64) (*Way, []row, error) {
	t, err := s.solve(ctx, x, false)
	switch {
	case err != nil:
		return nil, nil, err
	case t == nil:
		return nil, s.shorter(x), nil
	case t.holds:
		return s.lessen(ctx, x, t)
	}
	found, err := t.m.Some(ctx, s.o, append(slices.Clone(t.touched), s.othersOf(t.short)...))
	if err != nil {
		return nil, nil, err
	}
	rows, err := s.linearise(ctx, t.m, x, found.Findings)
	return nil, rows, err
}

// solve finds which checks do not hold with some changes; quickly only whether there is one. It returns nil where the
// engine cannot be assembled.
func (s *search) solve(ctx context.Context, x map[int]float64, quickly bool) (*trial, error) {
	s.a.Looked++
	to := map[int]float64{}
	for d, by := range x {
		to[d] = s.cands[d].now + by
	}
	m, err := s.machine(to)
	if err != nil {
		s.a.Unmade++
		return nil, ctx.Err()
	}
	broken, err := m.FirstBreak(ctx) // quickly checked; to enclose what cannot be assembled takes minutes
	if err == nil && broken == nil {
		broken, err = m.Stops(ctx, s.o)
	}
	switch {
	case err != nil:
		return nil, err
	case broken != nil:
		s.a.Unmade++
		return nil, nil
	}
	t := &trial{m: m, touched: s.touched(m, slices.Sorted(maps.Keys(x)))}
	for i := 0; quickly && i < len(s.short); i++ { // most fail where the engine fails as it is
		if t.short, err = m.Failing(ctx, s.o, s.short[i:i+1]); err != nil || len(t.short) > 0 {
			return t, err
		}
	}
	if t.short, err = m.Failing(ctx, s.o, t.touched); err != nil {
		return nil, err
	}
	t.holds = len(t.short) == 0 && !s.untouchedShort(t.touched)
	return t, nil
}

// shorter is a row that forbids changes as large as these, with which the engine cannot be assembled. It belongs to no
// check.
func (s *search) shorter(x map[int]float64) []row {
	r := row{check: -1, slope: make([]float64, len(s.cands))}
	for d, by := range x {
		share := by / s.cands[d].reach
		r.slope[d] = -math.Copysign(1/s.cands[d].reach, by)
		r.room += math.Abs(share) / 2
	}
	return []row{r}
}

// touched lists the checks that may depend on a change.
func (s *search) touched(m *machine.Machine, dims []int) []int {
	if !m.Problem.SameRanges(s.base.Problem) {
		return solver.Numbers(len(s.q.Problem.Checks))
	}
	return s.q.Problem.Touched(s.base.Values, dims...)
}

// untouchedShort reports whether a check that does not hold is not among those touched.
func (s *search) untouchedShort(touched []int) bool {
	return slices.ContainsFunc(s.short, func(i int) bool { return !slices.Contains(touched, i) })
}

// prove answers the checks that a change may affect in full. It is no way if something falls short after all.
func (s *search) prove(ctx context.Context, m *machine.Machine, x map[int]float64, touched []int) (*Way, []row, error) {
	found, err := m.Some(ctx, s.o, touched)
	if err != nil {
		return nil, nil, err
	}
	if !found.OK() {
		rows, err := s.linearise(ctx, m, x, found.Findings)
		return nil, rows, err
	}
	w := &Way{Findings: slices.Clone(s.a.Before.Findings), Proved: len(s.a.Before.Broken) == 0 || m.IsEnclosed(s.o), Room: math.Inf(1), Tightest: -1}
	if w.Passes, err = m.ChangePoints(ctx, s.o); err != nil {
		return nil, nil, err
	}
	for i := range found.Findings {
		w.Findings[found.Findings[i].Check] = found.Findings[i]
	}
	for i := range w.Findings {
		f := &w.Findings[i]
		j := s.q.Problem.Judge(f)
		w.Proved = w.Proved && (f.Apart || j.State == solver.HoldsProved)
		if !j.Check.Angle && !j.Check.Number && !f.Apart && slices.Contains(touched, i) && j.Margin < w.Room {
			w.Room, w.Tightest = math.Max(j.Margin, 0), i
		}
	}
	for _, d := range slices.Sorted(maps.Keys(x)) {
		c := &s.cands[d]
		w.Changes = append(w.Changes, Change{d, c.now, c.now + x[d], c.made})
		w.Used = union(w.Used, c.used)
		if c.made {
			w.Remade = union(w.Remade, s.finished(c.used))
		}
		share := s.share(d, x[d])
		w.Size += share
		w.Largest = math.Max(w.Largest, share)
	}
	return w, nil, nil
}
