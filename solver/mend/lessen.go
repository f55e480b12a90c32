package mend

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"math"
	"slices"
)

// lessen makes the changes of an engine in which everything holds smaller, one after the other, the largest first, as far as
// everything still holds: slopes overshoot where a figure turns. It proves the engine with the smaller changes; where that
// cannot be proved, it proves the engine that it was given.
func (s *search) lessen(ctx context.Context, x map[int]float64, t *trial) (*Way, []row, error) {
	y, u := x, t
	dims := slices.SortedFunc(maps.Keys(x), func(a, b int) int {
		return cmp.Or(cmp.Compare(s.share(b, x[b]), s.share(a, x[a])), a-b)
	})
	for _, d := range dims {
		var err error
		if y, u, err = s.setBack(ctx, y, u, d); err != nil {
			return nil, nil, err
		}
	}
	w, rows, err := s.prove(ctx, u.m, y, u.touched)
	if w != nil || err != nil || maps.Equal(x, y) {
		return w, rows, err
	}
	return s.prove(ctx, t.m, x, t.touched)
}

// setBack finds the smallest change of one dimension with which everything holds: first a size less, then by halving. Of
// several such stretches it finds the end of one.
func (s *search) setBack(ctx context.Context, x map[int]float64, t *trial, d int) (map[int]float64, *trial, error) {
	list := s.between(d, x[d])
	if len(x) > 1 {
		list = slices.Insert(list, 0, 0)
	}
	fails, holds := -1, len(list)
	for k := holds - 1; k > fails && s.a.Looked < mostLooked; k = (fails + holds) / 2 {
		y := maps.Clone(x)
		if y[d] = list[k]; y[d] == 0 {
			delete(y, d)
		}
		u, err := s.solve(ctx, y, true)
		if err != nil {
			return nil, nil, err
		}
		if u == nil || !u.holds {
			fails = k
			continue
		}
		holds, x, t = k, y, u
	}
	return x, t, nil
}

// between lists the changes of a dimension to available sizes between its value and a change, the smallest first. The
// sizes are those of its stock, or multiples of the coarsest step that the changed value is a multiple of.
func (s *search) between(d int, by float64) (list []float64) {
	q, now := &s.q.Dims[d], s.cands[d].now
	add := func(v float64) {
		if w := v - now; w*by > 0 && math.Abs(w) < math.Abs(by)-1e-9 && math.Abs(w) > 1e-9 {
			list = append(list, w)
		}
	}
	if len(q.Stock) > 0 {
		for _, v := range q.Stock {
			add(v)
		}
	} else if step := s.stepOf(d, now+by); step > 0 {
		lo, hi := math.Min(now, now+by), math.Max(now, now+by)
		for k := math.Ceil(lo/step - 1e-7); k*step < hi && len(list) < mostBetween; k++ {
			add(k * step)
		}
	}
	slices.SortFunc(list, func(a, b float64) int { return cmp.Compare(math.Abs(a), math.Abs(b)) })
	return list
}

// mostBetween bounds the list of sizes.
const mostBetween = 20_000

// stepOf is the coarsest step that a value of a dimension is a multiple of; 0 for none.
func (s *search) stepOf(d int, v float64) float64 {
	for _, step := range s.q.Dims[d].Steps {
		if k := v / step; math.Abs(k-math.Round(k)) < 1e-6 {
			return step
		}
	}
	return 0
}

// mostAlong bounds how many engines along solves.
const mostAlong = 100

// along looks for ways that change one dimension where slopes show none: at the worst place a figure may turn, so that a
// larger change serves although a small one makes it worse. Each dimension that everything short depends on is tried at sizes
// on either side, the nearest first.
func (s *search) along(ctx context.Context, p pool) error {
	looked := s.a.Looked
	for _, d := range p.dims {
		touched := s.touchedByAny([]int{d})
		if !p.allows([]int{d}) || s.untouchedShort(touched) {
			continue
		}
		for _, z := range [...]float64{0.15, -0.15, 0.4, -0.4, 1, -1} {
			if s.a.Looked-looked >= mostAlong || s.a.Looked >= mostLooked {
				s.a.Cut = true
				return nil
			}
			w, err := s.tryAt(ctx, d, z)
			if err != nil {
				return err
			}
			if w != nil {
				s.take(*w)
				break
			}
		}
	}
	return nil
}

// tryAt is the way that changes a dimension by about a share of its reach; nil where that is none.
func (s *search) tryAt(ctx context.Context, d int, share float64) (*Way, error) {
	c := &s.cands[d]
	v := math.Max(c.from, math.Min(c.to, c.now+share*c.reach))
	near, most := math.NaN(), math.Inf(1)
	for _, w := range s.sizes(d, v, 0) {
		if off := math.Abs(w - v); (w-c.now)*share > 0 && off < most {
			near, most = w, off
		}
	}
	x := map[int]float64{d: near - c.now}
	if math.IsNaN(near) || s.known[fmt.Sprint(x)] {
		return nil, nil
	}
	s.known[fmt.Sprint(x)] = true
	t, err := s.solve(ctx, x, true)
	if err != nil || t == nil || !t.holds {
		return nil, err
	}
	w, _, err := s.lessen(ctx, x, t)
	return w, err
}
