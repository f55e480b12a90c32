package checker

import (
	"cmp"
	"math"
	"slices"
)

// Span is a stretch of the turn, rad.
type Span struct{ From, To float64 }

// below finds where on the turn a figure is below zero at one setting of the travels. It is nil, false where the
// engine cannot be assembled there all the way round.
func (s *Sketch) below(f *field, travel []float64, g Figure) ([]Span, bool) {
	run, ok := s.round(f, travel)
	if !ok {
		return nil, false
	}
	run, values := s.closer(s.smooth(run), g, func(a, b, most float64) bool {
		return (a < 0) == (b < 0) && min(math.Abs(a), math.Abs(b)) < 0.75*most
	})
	var out []Span
	for i := range run {
		in := values[i] < 0
		if i == 0 {
			if in {
				out = append(out, Span{run[0].Turn, run[0].Turn})
			}
			continue
		}
		if was := values[i-1] < 0; was != in {
			at := s.crossing(run[i-1], run[i], g)
			if in {
				out = append(out, Span{at, at})
			} else {
				out[len(out)-1].To = at
			}
		}
		if in && i == len(run)-1 {
			out[len(out)-1].To = run[i].Turn
		}
	}
	return out, true
}

// round is the poses round the turn at one setting, a degree apart at most.
func (s *Sketch) round(f *field, travel []float64) ([]*Pose, bool) {
	p := s.goTo(f.poses[f.index(f.seeds())], s.Turn.From, travel)
	n := max(90, int((s.Turn.To-s.Turn.From)*180/math.Pi))
	var run []*Pose
	for i := 0; i <= n && p != nil; i++ {
		if p = s.goTo(p, s.Turn.From+(s.Turn.To-s.Turn.From)*float64(i)/float64(n), travel); p != nil {
			run = append(run, p)
		}
	}
	return run, p != nil
}

// crossing is where the figure passes through zero between two poses.
func (s *Sketch) crossing(p, q *Pose, g Figure) float64 {
	in := g(p) < 0
	for range 60 {
		if q.Turn-p.Turn < 1e-11 {
			break
		}
		mid := s.goTo(p, (p.Turn+q.Turn)/2, p.Travel)
		if mid == nil {
			break
		}
		if (g(mid) < 0) == in {
			p = mid
		} else {
			q = mid
		}
	}
	return (p.Turn + q.Turn) / 2
}

// onTurn cuts spans that go on beyond the turn's end, and puts those that touch together.
func onTurn(in []Span, from, to float64) []Span {
	var all []Span
	for _, i := range in {
		if i.To > to+1e-9 {
			all = append(all, Span{i.From, to}, Span{from, i.To - (to - from)})
		} else {
			all = append(all, i)
		}
	}
	slices.SortFunc(all, func(a, b Span) int { return cmp.Compare(a.From, b.From) })
	var out []Span
	for _, i := range all {
		if n := len(out); n > 0 && i.From <= out[n-1].To+1e-9 {
			out[n-1].To = max(out[n-1].To, i.To)
		} else {
			out = append(out, i)
		}
	}
	return out
}

// less is what of a lies in none of b, both in order.
func less(a, b []Span) (out []Span) {
	for _, i := range a {
		for _, j := range b {
			if j.To <= i.From || j.From >= i.To {
				continue
			}
			if j.From > i.From {
				out = append(out, Span{i.From, j.From})
			}
			i.From = j.To
			if i.From >= i.To {
				break
			}
		}
		if i.From < i.To {
			out = append(out, i)
		}
	}
	return out
}
