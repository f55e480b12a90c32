package seek

import (
	"cmp"
	"context"
	"math"
	"slices"

	"barover/solver"
)

// suspects is how many checks are answered before all others at a value beyond one where they fall short.
const suspects = 3

// walk goes over every stretch from value to value and finds its ranges. Between two values at which one check falls
// short all the way nothing else matters, so only that check is answered there. Most of the range searched costs little.
func (s *search) walk(ctx context.Context) error {
	s.a.Ranges = nil
	for _, sp := range s.spans {
		if err := s.reachOut(ctx, sp); err != nil {
			return err
		}
		sp.ranges = nil
		last := len(sp.xs) - 1
		for i := range max(1, last) {
			if err := s.cell(ctx, sp, sp.xs[i], sp.xs[min(i+1, last)]); err != nil {
				return err
			}
			s.tell()
		}
		for i := range sp.ranges {
			r := &sp.ranges[i]
			if r.From.Stops == nil {
				r.From.Stops = []Stop{sp.from.stop}
			}
			if r.To.Stops == nil {
				r.To.Stops = []Stop{sp.to.stop}
			}
		}
		for _, r := range sp.ranges {
			r.Otherwise = s.otherwise(&r)
			s.a.Ranges = append(s.a.Ranges, r)
		}
	}
	return nil
}

func (s *search) tell() {
	if s.done++; s.o.Progress != nil {
		s.o.Progress("steps of the search", s.done, max(s.done, grid))
	}
}

// cell finds the ranges between two values side by side.
func (s *search) cell(ctx context.Context, sp *span, a, b float64) error {
	if dead, err := s.dead(ctx, sp, a, b); err != nil || dead {
		return err
	}
	pieces, err := s.shrink(ctx, sp, a, b)
	if err != nil {
		return err
	}
	for _, p := range pieces {
		found, err := s.refine(ctx, sp, p)
		if err != nil {
			return err
		}
		for _, r := range found {
			sp.append(r)
		}
	}
	return nil
}

// refine is the part of a range where every check holds.
func (s *search) refine(ctx context.Context, sp *span, r Range) ([]Range, error) {
	for _, x := range [2]float64{r.From.At, r.To.At} {
		if err := s.know(ctx, sp, x, sp.all()); err != nil {
			return nil, err
		}
	}
	pieces := []Range{r}
	for _, k := range sp.inOrder(r.From.At, r.To.At) {
		var left []Range
		for _, p := range pieces {
			in, err := s.within(ctx, sp, k, p)
			if err != nil {
				return nil, err
			}
			left = append(left, in...)
		}
		pieces = left
	}
	return pieces, nil
}

// append adds a range after the last, or joins it to the last.
func (sp *span) append(r Range) {
	if n := len(sp.ranges); n > 0 {
		if last := &sp.ranges[n-1]; last.To.At == r.From.At && last.To.Stops == nil && r.From.Stops == nil {
			last.To = r.To
			return
		}
	}
	sp.ranges = append(sp.ranges, r)
}

// dead reports whether some check falls short all the way between two values. It tries those that are known to fall short
// at the first, the worst of them first.
func (s *search) dead(ctx context.Context, sp *span, a, b float64) (bool, error) {
	bad := sp.short(a)
	worst := func(k int) float64 { r, _ := sp.branches[k].at(a); return r.v }
	slices.SortStableFunc(bad, func(i, j int) int { return cmp.Compare(worst(i), worst(j)) })
	bad = bad[:min(len(bad), suspects)]
	if err := s.know(ctx, sp, b, bad); err != nil {
		return false, err
	}
	for _, k := range bad {
		p, _ := sp.branches[k].at(a)
		q, _ := sp.branches[k].at(b)
		if _, ask := doubtful(p, q); !q.holds() && !ask {
			return true, nil
		}
	}
	return false, nil
}

// know answers at a value those of the checks, by their numbers in touched, that are not known there yet.
func (s *search) know(ctx context.Context, sp *span, x float64, ks []int) error {
	var checks, news []int
	for _, k := range ks {
		if _, ok := sp.branches[k].at(x); !ok {
			checks, news = append(checks, s.touched[k]), append(news, k)
		}
	}
	if len(checks) == 0 {
		return nil
	}
	at, err := s.look(ctx, x, checks)
	if err != nil {
		return err
	}
	for i, k := range news {
		r := room{x: x, v: math.Inf(-1), slope: math.NaN()} // it was assembled here, just so
		if at.whole() {
			r = at.room[i]
		}
		sp.branches[k].add(r)
	}
	return nil
}

func (sp *span) all() []int { return solver.Numbers(len(sp.branches)) }

// inOrder lists the checks that may fall short between two values. Those that hold at only one of them come first, since
// they leave least to search for the rest.
func (sp *span) inOrder(a, b float64) []int {
	var cross, doubt []int
	for k := range sp.branches {
		p, _ := sp.branches[k].at(a)
		q, _ := sp.branches[k].at(b)
		switch _, ask := doubtful(p, q); {
		case p.holds() != q.holds():
			cross = append(cross, k)
		case ask || !p.holds():
			doubt = append(doubt, k)
		}
	}
	return append(cross, doubt...)
}

// within is the part of a range where a check holds.
func (s *search) within(ctx context.Context, sp *span, k int, r Range) ([]Range, error) {
	for _, x := range [2]float64{r.From.At, r.To.At} {
		if err := s.know(ctx, sp, x, []int{k}); err != nil {
			return nil, err
		}
	}
	rooms, err := s.settle(ctx, sp, k, r.From.At, r.To.At)
	if err != nil {
		return nil, err
	}
	stop := Stop{Check: s.touched[k]}
	var out []Range
	for i, m := range rooms {
		if !m.holds() {
			continue
		}
		if i == 0 || !rooms[i-1].holds() {
			from := End{At: m.x, Stops: []Stop{stop}}
			if i == 0 {
				from = r.From
			}
			out = append(out, Range{From: from})
		}
		last := &out[len(out)-1]
		last.To = End{At: m.x, Stops: []Stop{stop}}
		if i+1 == len(rooms) {
			last.To = r.To
		}
	}
	return out, nil
}

// confirm solves the engine at both ends and in the middle of each range with every check. It reports true where a check
// falls short unexpectedly: then the search knows more, and must go on.
func (s *search) confirm(ctx context.Context) (again bool, err error) {
	checks := append(append([]int(nil), s.touched...), s.still...)
	for i := range s.a.Ranges {
		r := &s.a.Ranges[i]
		for _, x := range [3]float64{r.From.At, r.To.At, (r.From.At + r.To.At) / 2} {
			at, err := s.look(ctx, x, checks)
			if err != nil {
				return false, err
			}
			if x == r.From.At {
				s.finish(&r.From, at, 1)
			}
			if x == r.To.At {
				s.finish(&r.To, at, -1)
			}
			if at.whole() && !slices.ContainsFunc(at.room[:len(s.touched)], func(m room) bool { return !m.holds() }) {
				continue
			}
			for _, sp := range s.spans {
				if sp.holds(x) && sp.add(x) {
					again = true
				}
			}
		}
	}
	return again, nil
}

// finish says how sure an end is. It names the checks that stop the range there, beside the one that was found to: they
// hold there by no more than the precision of the end, and by less beyond, where the room falls by inward times its
// slope.
func (s *search) finish(e *End, at *spot, inward float64) {
	e.Sure = at.sure
	if !at.whole() {
		return
	}
	var level []Stop
	for k, c := range s.touched {
		if m := at.room[k]; m.slope*inward > 0 && m.v <= 20*exact*math.Abs(m.slope) {
			level = append(level, Stop{Check: c})
		}
	}
	for _, stop := range e.Stops {
		if !stop.Limit && !slices.Contains(level, stop) {
			level = append([]Stop{stop}, level...)
		}
	}
	if len(level) > 0 {
		e.Stops = level
	}
}
