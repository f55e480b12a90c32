package spread

import (
	"context"
	"math/rand/v2"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/machine"
)

// draw draws engines at random for what is not proved to hold in all of them, and solves each. The first ones are solved
// with every check that depends on tolerances, the rest with the checks that come near their limits. An engine's sizes
// follow from the seed and its own number, so it does not matter which goroutine solves it.
func (s *spread) draw(ctx context.Context) error {
	if len(s.q.Tolerances) == 0 || len(s.sides) == 0 {
		return nil
	}
	first := min(glance, s.q.Samples)
	var open []int
	for i := range s.sides {
		if !s.sides[i].holds {
			open = append(open, i)
		}
	}
	if err := s.drawSome(ctx, open, 0, first); err != nil {
		return err
	}
	return s.drawSome(ctx, s.near(), first, s.q.Samples)
}

// near lists the sides of the checks whose worst takes more than half of the room.
func (s *spread) near() []int {
	tight := make(map[int]bool)
	for i := range s.sides {
		d := &s.sides[i]
		if d.tight() && !d.holds {
			tight[s.split.whole[d.half]] = true
		}
	}
	var out []int
	for i := range s.sides {
		if !s.sides[i].holds && tight[s.split.whole[s.sides[i].half]] {
			out = append(out, i)
		}
	}
	return out
}

// batch is how many engines are kept at once.
const batch = 100

// drawSome solves the engines from one number to another, and notes their results in the order of their numbers.
func (s *spread) drawSome(ctx context.Context, sides []int, from, to int) error {
	for ; from < to && len(sides) > 0; from += batch {
		if err := s.drawBatch(ctx, sides, from, min(to, from+batch)); err != nil {
			return err
		}
	}
	return nil
}

// engineDrawn is the result of one engine drawn.
type engineDrawn struct {
	at       []float64
	problem  *solver.Problem
	verdicts []machine.Verdict // of each side; nil where it cannot be assembled
	findings []solver.Finding  // of those sides whose verdict is open, in their order
}

func (s *spread) drawBatch(ctx context.Context, sides []int, from, to int) error {
	halves := make([]int, len(sides))
	for i, k := range sides {
		halves[i] = s.sides[k].half
	}
	one, o := s.alone(), s.o // nothing is noted while the engines of a batch are solved, so all have the same worst
	if tell := s.o.Progress; tell != nil {
		o.Progress = func(_ string, n, _ int) { tell(ofEngines, from+n, s.q.Samples) }
	}
	engines := make([]engineDrawn, to-from)
	err := machine.Share(ctx, o, len(engines), func(i int) error {
		e := &engines[i]
		e.at = s.sizes(from + i)
		m, err := s.machine(e.at)
		if err != nil {
			return ctx.Err()
		}
		return s.solve(ctx, one, m, sides, halves, e)
	})
	if err != nil {
		return err
	}
	for i := range engines {
		s.count(&engines[i], sides)
	}
	s.drawn = to
	return nil
}

// solve finds for an engine drawn whether it holds on some sides, and its figure where that may be worse than the worst
// found so far.
func (s *spread) solve(ctx context.Context, o machine.Options, m *machine.Machine, sides, halves []int, e *engineDrawn) error {
	bars := make([]engine.Bar, len(sides))
	for i, k := range sides {
		d := &s.sides[k]
		bars[i] = s.split.bar(d.half, m, d.worst.room)
	}
	verdicts, err := m.Against(ctx, o, halves, bars)
	if err != nil {
		return err
	}
	var open []int
	var beside []engine.Bar
	for i, v := range verdicts {
		if v == machine.Open {
			open, beside = append(open, halves[i]), append(beside, bars[i])
		}
	}
	res, err := s.split.some(ctx, m, o, open, beside)
	if err != nil {
		return err
	}
	if e.problem = m.Problem; len(res.Broken) == 0 {
		e.verdicts, e.findings = verdicts, res.Findings
	}
	return nil
}

// count notes the result of one engine.
func (s *spread) count(e *engineDrawn, sides []int) {
	if e.verdicts == nil {
		s.unmade++
	}
	next := 0
	for i, k := range sides {
		d := &s.sides[k]
		switch {
		case e.verdicts == nil:
			d.held, d.worst.unmade = append(d.held, false), true
		case e.verdicts[i] == machine.Open:
			f := &e.findings[next]
			next++
			_, ok := s.split.room(d.half, e.problem, f)
			d.held = append(d.held, ok)
			s.note(d, e.problem, f, e.at, true)
		default:
			ok := e.verdicts[i] == machine.Holds
			d.held, d.worst.ok = append(d.held, ok), d.worst.ok && ok
		}
	}
}

// sizes returns the sizes of engine number n.
func (s *spread) sizes(n int) []float64 {
	r := rand.New(rand.NewPCG(s.q.Seed, uint64(n)))
	out := make([]float64, len(s.q.Tolerances))
	for i, t := range s.q.Tolerances {
		out[i] = t.Value + (t.Lower+t.Upper)/2 + (t.Upper-t.Lower)/2*s.q.Law.Draw(r)
	}
	return out
}

// climb continues from the engines drawn that were worse than all found before: to the corners that they point to, and by
// trial.
func (s *spread) climb(ctx context.Context) error {
	var list []*climber
	var walkers []*walker
	for i := range s.sides {
		d := &s.sides[i]
		if !d.worst.drawn {
			continue
		}
		list = append(list, &climber{d: d, at: d.worst.at})
		walkers = append(walkers, newWalker(d, d.worst.at, d.reach, passes))
	}
	if err := s.stop(ctx, list); err != nil {
		return err
	}
	if err := s.rise(ctx, list); err != nil {
		return err
	}
	return s.walk(ctx, walkers)
}
