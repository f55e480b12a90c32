package seek

import (
	"barover/solver/linkage"
	"context"
	"errors"
	"math"
	"slices"
)

// span is a stretch of values over which the parts can be assembled.
type span struct {
	xs       []float64 // the values to solve, in order
	from, to edge
	branches []branch // by search.touched
	ranges   []Range
}

// edge is an end of a span. Where the parts can be assembled at one value of the grid and not at the next, the end is
// between them. It is found only when a range comes near it.
type edge struct {
	beyond *spot // cannot be assembled; nil where the search ends
	stop   Stop
	found  bool
}

// stretches finds the stretches of values over which the parts can be assembled all the way round, at the values of a grid
// and at the present one.
func (s *search) stretches(ctx context.Context) error {
	var before *spot
	var now *span
	for _, x := range s.values() {
		at, err := s.look(ctx, x, nil)
		if err != nil {
			return err
		}
		if at.whole() && now == nil {
			now = &span{from: edgeAt(before), to: edgeAt(nil), branches: make([]branch, len(s.touched))}
			s.spans = append(s.spans, now)
		}
		if at.whole() {
			now.add(x)
		} else if now != nil {
			now.to, now = edgeAt(at), nil
		}
		before = at
	}
	return nil
}

func edgeAt(beyond *spot) edge {
	return edge{beyond: beyond, stop: Stop{Limit: beyond == nil, Check: -1}, found: beyond == nil}
}

// values is the values to solve first, in order.
func (s *search) values() []float64 {
	xs := make([]float64, 0, grid+2)
	for i := range grid + 1 {
		xs = append(xs, s.q.From+(s.q.To-s.q.From)*float64(i)/grid)
	}
	if s.q.Now > s.q.From && s.q.Now < s.q.To {
		xs = append(xs, s.q.Now)
	}
	slices.Sort(xs)
	return slices.Compact(xs)
}

// reachOut finds the edges of a span that a range may come to.
func (s *search) reachOut(ctx context.Context, sp *span) error {
	for _, e := range []*edge{&sp.from, &sp.to} {
		x := sp.xs[0]
		if e == &sp.to {
			x = sp.xs[len(sp.xs)-1]
		}
		if e.found {
			continue
		}
		lost, err := s.lostBeyond(ctx, sp, x, e.beyond.x-x)
		if err != nil {
			return err
		}
		if lost {
			continue
		}
		if x, e.stop, err = s.find(ctx, x, e.beyond); err != nil {
			return err
		}
		e.found = true
		sp.add(x)
	}
	return nil
}

// lostBeyond reports whether some check falls short at a value and, by its slope, all the way to an edge h beyond it.
func (s *search) lostBeyond(ctx context.Context, sp *span, x, h float64) (bool, error) {
	lost := func() bool {
		for k := range sp.branches {
			if r, ok := sp.branches[k].at(x); ok && !r.holds() && !(r.v+r.slope*h >= 0) {
				return true
			}
		}
		return false
	}
	if lost() {
		return true, nil
	}
	err := s.know(ctx, sp, x, sp.all())
	return lost(), err
}

// find is the last value on the way from one that can be assembled to one that cannot, and what stops it there.
func (s *search) find(ctx context.Context, yes float64, no *spot) (float64, Stop, error) {
	for range 60 {
		if math.Abs(yes-no.x) <= exact {
			break
		}
		mid, err := s.look(ctx, (yes+no.x)/2, nil)
		if err != nil {
			return 0, Stop{}, err
		}
		if mid.whole() {
			yes = mid.x
		} else {
			no = mid
		}
	}
	end := Stop{Check: -1, Err: no.err}
	if no.broken != nil {
		end.Broken = no.broken()
	}
	return yes, end, nil
}

// add adds a value to solve. It reports whether the value is new.
func (sp *span) add(x float64) bool {
	i, found := slices.BinarySearch(sp.xs, x)
	if !found {
		sp.xs = slices.Insert(sp.xs, i, x)
	}
	return !found
}

func (sp *span) holds(x float64) bool { return x >= sp.xs[0] && x <= sp.xs[len(sp.xs)-1] }

// otherwise reports whether an edge between the present value and a range is a place where it could not be told which way
// the parts go together. It knows only edges that the search met.
func (s *search) otherwise(r *Range) bool {
	for _, sp := range s.spans {
		for _, e := range []*edge{&sp.from, &sp.to} {
			if e.beyond == nil {
				continue
			}
			between := e.beyond.x > s.q.Now && e.beyond.x < r.From.At || e.beyond.x < s.q.Now && e.beyond.x > r.To.At
			var faults linkage.Faults
			if between && errors.As(e.beyond.err, &faults) && faults[0].Kind == linkage.TwoWays {
				return true
			}
		}
	}
	return false
}
