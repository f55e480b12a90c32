// Package seek finds the values of one dimension with which an engine holds: every range of them, and what stops it at
// either end.
//
// The engine is solved at values spread over the range that is searched. The room of each check there, with its slope,
// says where between two values it may run out. The engine is solved again there, until each end is known to a millionth.
// The ends are proved where a study can prove them. Between the values solved, a range is only sampled: a check that
// fails and recovers within less than the slopes show would be missed.
//
// The alternative was to solve for the one end nearest to the present value. It finds no second range, and an engine
// often has two: a bar end that clears the eye on either side.
//
// It knows no words. A newcomer may change how many values are solved. Closed forms test how an end is found and proved.
package seek

import (
	"context"
	"math"

	"barover/solver"
	"barover/solver/linkage"
	"barover/solver/machine"
)

// Query is the question. Values are mm, rad or plain numbers.
type Query struct {
	Problem  *solver.Problem
	Vary     machine.Vary
	Dim      int
	Now      float64 // the value that counts
	From, To float64 // the range searched; see Limits
	Checks   []int   // the checks that must hold; nil for all
}

// Answer is the result.
type Answer struct {
	Ranges []Range // the least values first
	// NowHolds says that everything holds at the present value; if not, Short are the checks that do not.
	NowHolds bool
	Short    []int
	Seen     []int           // those that hold, but were only sampled somewhere, not proved
	Broken   *linkage.Broken // at the present value the parts cannot be assembled all the way round
	// Never are checks that do not hold and do not depend on the dimension: with any of them there is no range.
	Never []int
	// Idle says that none of the checks depends on the dimension.
	Idle   bool
	Looked int // number of values solved
}

// Range is a range of values with which everything holds.
type Range struct {
	From, To End
	// Otherwise says that the parts are put together another way than at the present value: between the two there is a
	// place where it could not be told which.
	Otherwise bool
}

// End is an end of a range: the last value that holds.
type End struct {
	At    float64
	Stops []Stop
	Sure  solver.Sure // of everything that holds here
}

// Stop is what stops a range. One of the fields is set.
type Stop struct {
	Limit  bool            // nothing: the search ends here
	Check  int             // this check falls short beyond; else −1
	Broken *linkage.Broken // the parts cannot be assembled all the way round beyond
	Err    error           // the sketch makes no engine beyond
}

// Seek finds the ranges. The error is linkage.Faults where the engine cannot be solved with the dimensions as they are.
func Seek(ctx context.Context, q Query, o machine.Options) (*Answer, error) {
	s := &search{q: q, o: o, seen: map[float64]bool{q.Now: true}}
	if err := s.begin(ctx); err != nil {
		return nil, err
	}
	if s.a.Looked = 1; len(s.a.Never) > 0 {
		return &s.a, nil
	}
	if err := s.stretches(ctx); err != nil {
		return nil, err
	}
	for range rounds {
		if err := s.walk(ctx); err != nil {
			return nil, err
		}
		if again, err := s.confirm(ctx); err != nil || !again {
			return &s.a, err
		}
	}
	return &s.a, s.walk(ctx)
}

const (
	// grid is the number of steps in the first pass over the range.
	grid = 16
	// rounds is how often the ends are found again, where something else than expected falls short at one.
	rounds = 6
	// exact is the precision of an end, mm, rad or as a plain number: a hundredth of what is promised.
	exact = 1e-6
)

// search is the state of a search.
type search struct {
	q       Query
	o       machine.Options
	a       Answer
	touched []int                  // the checks sought that depend on the dimension
	still   []int                  // the other checks sought
	now     *machine.Machine       // at the present value
	base    *machine.Machine       // the same, where the dimension does not move any part; else nil
	tried   bool                   // it is known whether base can be assembled all the way round:
	never   func() *linkage.Broken // nil if so
	spans   []*span                // the stretches of values over which the parts can be assembled
	done    int                    // steps that progress was reported
	seen    map[float64]bool
}

// begin solves the present value, and finds out which checks matter.
func (s *search) begin(ctx context.Context) error {
	p := s.q.Problem
	m, err := s.q.Vary.Machine(nil)
	if err != nil {
		return err
	}
	s.now = m
	checks := s.q.Checks
	if checks == nil {
		checks = solver.Numbers(len(p.Checks))
	}
	res, err := m.Some(ctx, s.o, checks)
	if err != nil {
		return err
	}
	if s.a.NowHolds = len(res.Broken) == 0; !s.a.NowHolds {
		s.a.Broken = &res.Broken[0]
	}
	ranges := s.q.Vary.RangesMove(s.q.Dim, s.q.From, s.q.To)
	if !ranges && !p.Moves(m.Values, s.q.Dim) {
		s.base = m
	}
	touched := make(map[int]bool)
	for _, i := range p.Touched(m.Values, s.q.Dim) {
		touched[i] = true
	}
	for k, i := range checks {
		if touched[i] || ranges {
			s.touched = append(s.touched, i)
		} else {
			s.still = append(s.still, i)
		}
		f := &res.Findings[k]
		if p.Judge(f).State == solver.HoldsWhereSeen {
			s.a.Seen = append(s.a.Seen, i)
		}
		if !f.OK {
			s.a.NowHolds = false
			s.a.Short = append(s.a.Short, i)
			if !touched[i] && !ranges {
				s.a.Never = append(s.a.Never, i)
			}
		}
	}
	s.a.Idle = len(s.touched) == 0
	return nil
}

// Kind is what sort of figure a dimension is.
type Kind uint8

// The kinds of dimensions.
const (
	Length Kind = iota // mm
	Angle              // rad
	Number
)

// Limits are sensible limits of a search where none are given, for a dimension of that kind and value in an engine of
// that size, mm: half the value either way, or a twentieth of the engine if that is more; 30° of an angle. A range on one
// side of zero stays there, and keeps a tenth of the value from it, since a thickness cannot be zero.
func Limits(k Kind, now, size float64) (from, to float64) {
	var reach float64
	switch k {
	case Length:
		reach = math.Max(math.Abs(now)/2, size/20)
	case Angle:
		return now - math.Pi/6, now + math.Pi/6
	case Number:
		reach = math.Max(math.Abs(now)/2, 0.5)
	}
	from, to = now-reach, now+reach
	if now > 0 {
		from = math.Max(from, now/10)
	}
	if now < 0 {
		to = math.Min(to, now/10)
	}
	return from, to
}
