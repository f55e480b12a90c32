package spread

import (
	"context"
	"math/rand/v2"

	"barover/solver"
)

// draw draws engines at random and solves each anew: the first of them with every check that the tolerances have to do
// with, the rest with those that they come near to. An engine's sizes follow from the seed and its own number, so that it
// does not matter who solves it.
func (s *spread) draw(ctx context.Context) error {
	if len(s.q.Tolerances) == 0 || len(s.sides) == 0 {
		return nil
	}
	first := min(glance, s.q.Samples)
	if err := s.drawSome(ctx, upTo(len(s.sides)), 0, first); err != nil {
		return err
	}
	return s.drawSome(ctx, s.near(), first, s.q.Samples)
}

// near lists the sides of the checks of which the worst found takes more than half of the room.
func (s *spread) near() []int {
	tight := make(map[int]bool)
	for i := range s.sides {
		d := &s.sides[i]
		if !d.worst.ok || d.worst.unmade || d.worst.room < d.room/2 {
			tight[s.split.whole[d.half]] = true
		}
	}
	var out []int
	for i := range s.sides {
		if tight[s.split.whole[s.sides[i].half]] {
			out = append(out, i)
		}
	}
	return out
}

// batch is how many engines are kept at once.
const batch = 100

// drawSome solves the engines from one number to another, and takes note of them in the order of their numbers.
func (s *spread) drawSome(ctx context.Context, sides []int, from, to int) error {
	for ; from < to && len(sides) > 0; from += batch {
		if err := s.drawBatch(ctx, sides, from, min(to, from+batch)); err != nil {
			return err
		}
	}
	return nil
}

// engineDrawn is what came of one engine drawn.
type engineDrawn struct {
	at       []float64
	problem  *solver.Problem
	findings []solver.Finding // nil where it cannot be assembled
}

func (s *spread) drawBatch(ctx context.Context, sides []int, from, to int) error {
	halves := make([]int, len(sides))
	for i, k := range sides {
		halves[i] = s.sides[k].half
	}
	one, o := s.alone(), s.o
	if tell := s.o.Progress; tell != nil {
		o.Progress = func(n, _ int) { tell(from+n, s.q.Samples) }
	}
	engines := make([]engineDrawn, to-from)
	err := solver.Share(ctx, o, len(engines), func(i int) error {
		e := &engines[i]
		e.at = s.sizes(from + i)
		m, err := s.machine(e.at)
		if err != nil {
			return ctx.Err()
		}
		res, err := m.Some(ctx, one, halves)
		if err != nil {
			return err
		}
		if e.problem = m.Problem; len(res.Broken) == 0 {
			e.findings = res.Findings
		}
		return nil
	})
	if err != nil {
		return err
	}
	for i := range engines {
		s.count(&engines[i], sides)
	}
	return nil
}

// count takes note of one engine.
func (s *spread) count(e *engineDrawn, sides []int) {
	if e.findings == nil {
		s.unmade++
	}
	for i, k := range sides {
		d := &s.sides[k]
		if e.findings == nil {
			d.held, d.worst.unmade = append(d.held, false), true
			continue
		}
		_, ok := s.split.room(d.half, e.problem, &e.findings[i])
		d.held = append(d.held, ok)
		s.note(d, e.problem, &e.findings[i], e.at, true)
	}
}

// sizes is the sizes of engine number n.
func (s *spread) sizes(n int) []float64 {
	r := rand.New(rand.NewPCG(s.q.Seed, uint64(n)))
	out := make([]float64, len(s.q.Tolerances))
	for i, t := range s.q.Tolerances {
		out[i] = t.Value + (t.Lower+t.Upper)/2 + (t.Upper-t.Lower)/2*s.q.Law.Draw(r)
	}
	return out
}

// climb goes on from the engines drawn that were worse than the corners: to the corners that they point to.
func (s *spread) climb(ctx context.Context) error {
	var list []*climber
	for i := range s.sides {
		if d := &s.sides[i]; d.worst.drawn {
			list = append(list, &climber{d: d, at: d.worst.at})
		}
	}
	err := solver.Share(ctx, s.quiet(), len(list), func(i int) error { return s.stop(ctx, list[i:i+1]) })
	if err != nil {
		return err
	}
	return s.rise(ctx, list)
}
