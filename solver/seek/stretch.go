package seek

import (
	"context"
	"math"
	"slices"
)

// stretches finds the stretches of values over which the parts can be assembled all the way round: at the values of a grid
// and at the present one, and the ends by halving.
func (s *search) stretches(ctx context.Context) error {
	var before *spot
	var now *span
	for _, x := range s.values() {
		at, err := s.look(ctx, x, nil)
		if err != nil {
			return err
		}
		switch {
		case at.whole() && now == nil:
			now = &span{from: Stop{Limit: true, Check: -1}, branches: s.newBranches()}
			s.spans = append(s.spans, now)
			if before != nil {
				last, stop, err := s.edge(ctx, at, before)
				if err != nil {
					return err
				}
				now.from = stop
				now.add(last)
			}
			now.add(x)
		case at.whole():
			now.add(x)
		case now != nil:
			last, stop, err := s.edge(ctx, before, at)
			if err != nil {
				return err
			}
			now.add(last)
			now.to, now = stop, nil
		}
		before = at
	}
	if now != nil {
		now.to = Stop{Limit: true, Check: -1}
	}
	return nil
}

// values is the values to look at first, in order.
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

// edge is the last value on the way from one that can be assembled to one that cannot, and what stops it there.
func (s *search) edge(ctx context.Context, yes, no *spot) (float64, Stop, error) {
	for math.Abs(yes.x-no.x) > exact {
		mid, err := s.look(ctx, (yes.x+no.x)/2, nil)
		if err != nil {
			return 0, Stop{}, err
		}
		if mid.whole() {
			yes = mid
		} else {
			no = mid
		}
	}
	return yes.x, Stop{Check: -1, Broken: no.broken, Err: no.err}, nil
}

// add adds a value to be looked at. It reports whether it is a new one within the stretch, or the stretch is empty yet.
func (sp *span) add(x float64) bool {
	i, found := slices.BinarySearch(sp.xs, x)
	if !found {
		sp.xs = slices.Insert(sp.xs, i, x)
	}
	return !found
}

func (sp *span) holds(x float64) bool { return x >= sp.xs[0] && x <= sp.xs[len(sp.xs)-1] }
