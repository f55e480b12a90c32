package spread

import (
	"context"
	"math/rand/v2"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/machine"
)

// draw draws engines at random for every side that is not proved to hold in all of them. The enclosure of all engines decides most.
// Engines that it leaves in doubt are solved. A side without an enclosure is tried in the first engines drawn, and in all of them if
// the worst found takes more than half of its room. The sizes of an engine follow from the seed and its number, so the number of
// goroutines does not matter.
func (s *spread) draw(ctx context.Context) error {
	if len(s.q.Tolerances) == 0 || len(s.sides) == 0 {
		return nil
	}
	told := s.sidesThat(func(d *side) bool { return !d.holds && d.sorting != nil })
	rest := s.sidesThat(func(d *side) bool { return !d.holds && d.sorting == nil })
	if err := s.drawSome(ctx, told, rest, min(glance, s.q.Samples)); err != nil {
		return err
	}
	if err := s.drawSome(ctx, told, s.near(rest), s.q.Samples); err != nil {
		return err
	}
	return s.lowest(ctx, told)
}

// near lists those of some sides of whose check the worst found takes more than half of the room.
func (s *spread) near(list []int) (out []int) {
	tight := make(map[int]bool)
	for _, i := range list {
		if d := &s.sides[i]; d.tight() {
			tight[s.split.whole[d.half]] = true
		}
	}
	for _, i := range list {
		if tight[s.split.whole[s.sides[i].half]] {
			out = append(out, i)
		}
	}
	return out
}

const (
	// batch is how many engines are kept at once where each is solved, and toldBatch how many where the enclosure decides first.
	batch, toldBatch = 100, 8000
	// piece is how many are told apart by one goroutine at a time.
	piece = 250
	// mostSolved is how many of the engines drawn are solved. Where more are in doubt no further ones are drawn.
	mostSolved = 5000
)

// drawSome draws engines up to a number.
func (s *spread) drawSome(ctx context.Context, told, rest []int, to int) error {
	if len(told)+len(rest) == 0 {
		return nil
	}
	size := toldBatch
	if len(rest) > 0 {
		size = batch
	}
	for s.drawn < to && !s.cut {
		if err := s.drawBatch(ctx, told, rest, min(to, s.drawn+size)); err != nil {
			return err
		}
	}
	return nil
}

// engineDrawn is what came of one engine drawn.
type engineDrawn struct {
	at    []float64
	fares []fare // on the sides that the enclosure is asked about
	sides []int  // those on which it must be solved, known once the enclosure is asked no more

	problem  *solver.Problem
	verdicts []machine.Verdict // of each side looked at; nil where it cannot be assembled
	findings []solver.Finding  // of those sides whose verdict is open, in their order
}

// fare is how an engine fares on a side: whether the side holds, if that is known, and the least room that it may have.
type fare struct {
	verdict machine.Verdict
	room    float64
	by      *sorting // that told it last
}

// drawBatch draws the next engines up to a number, or until too many are in doubt.
func (s *spread) drawBatch(ctx context.Context, told, rest []int, to int) error {
	from := s.drawn
	s.asked = to
	engines := make([]engineDrawn, to-from)
	err := machine.Share(ctx, s.quiet(), (len(engines)+piece-1)/piece, func(k int) error {
		for i := k * piece; i < min(len(engines), (k+1)*piece); i++ {
			s.sort(&engines[i], from+i, told)
		}
		return ctx.Err()
	})
	if err == nil {
		err = s.sortCloser(ctx, engines, told)
	}
	if err != nil {
		return err
	}
	var open []int
	for i := range engines {
		e := &engines[i]
		for k, d := range told {
			if e.fares[k].verdict == machine.Open {
				e.sides = append(e.sides, d)
			}
		}
		if e.sides = append(e.sides, rest...); len(e.sides) == 0 {
			continue
		}
		if s.cut = s.solved+len(open) == mostSolved; s.cut {
			engines = engines[:i]
			break
		}
		open = append(open, i)
	}
	one, o := s.alone(), s.quiet() // while the engines of a batch are solved nothing is noted, so that all see the same worst
	tell := s.o.Progress
	if tell != nil {
		o.Progress = func(_ string, n, of int) { tell(ofEngines, from+n*len(engines)/of, s.q.Samples) }
	}
	if err := machine.Share(ctx, o, len(open), func(k int) error { return s.solve(ctx, one, &engines[open[k]]) }); err != nil {
		return err
	}
	for i := range engines {
		s.count(&engines[i], told)
	}
	s.drawn, s.solved = from+len(engines), s.solved+len(open)
	if tell != nil {
		tell(ofEngines, s.drawn, s.q.Samples)
	}
	return nil
}

// solve finds what an engine drawn has to say on its sides: whether each holds, and its figure where that may be worse than
// the worst found so far.
func (s *spread) solve(ctx context.Context, o machine.Options, e *engineDrawn) error {
	halves := make([]int, len(e.sides))
	for i, k := range e.sides {
		halves[i] = s.sides[k].half
	}
	m, err := s.machineAbout(e.at, halves)
	if err != nil {
		return ctx.Err()
	}
	bars := make([]engine.Bar, len(e.sides))
	for i, k := range e.sides {
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

// standing is how a side stands in an engine drawn.
type standing struct{ holds, sure bool }

// count takes note of one engine.
func (s *spread) count(e *engineDrawn, told []int) {
	for k, i := range told {
		f, d := &e.fares[k], &s.sides[i]
		if f.verdict == machine.Open {
			continue
		}
		d.stands = append(d.stands, standing{f.verdict == machine.Holds, true})
		if f.verdict == machine.FallsShort && (d.low.at == nil || f.room < d.low.room) {
			d.low.at, d.low.room = e.at, f.room
		}
	}
	if len(e.sides) > 0 && e.verdicts == nil {
		s.unmade++
	}
	next := 0
	for i, k := range e.sides {
		d := &s.sides[k]
		var stands standing
		switch {
		case e.verdicts == nil:
			d.worst.unmade = true
		case e.verdicts[i] == machine.Open:
			f := &e.findings[next]
			next++
			_, ok := s.split.room(d.half, e.problem, f)
			stands = standing{ok, f.Sure == solver.Proved}
			s.note(d, e.problem, f, e.at, true)
		default:
			stands = standing{e.verdicts[i] == machine.Holds, true}
			d.worst.ok = d.worst.ok && stands.holds
		}
		d.stands = append(d.stands, stands)
	}
}

// lowest solves one engine for each side that the enclosure decided: the one with the lowest bound of those drawn. It does so only where
// that engine may be worse than all found.
func (s *spread) lowest(ctx context.Context, told []int) error {
	var open []*side
	for _, i := range told {
		if d := &s.sides[i]; d.low.at != nil && (d.worst.ok || d.low.room < d.worst.room-rounding) {
			open = append(open, d)
		}
	}
	err := s.visitEach(ctx, open, func(d *side) []float64 { return d.low.at })
	for _, d := range open {
		d.worst.drawn = d.worst.drawn || engine.SettingKey(d.worst.at) == engine.SettingKey(d.low.at)
	}
	return err
}

// sizes is the sizes of engine number n.
func (s *spread) sizes(n int) []float64 {
	r := rand.New(rand.NewPCG(s.q.Seed, uint64(n)))
	return s.each(func(t *Tolerance) float64 { return t.Value + (t.Lower+t.Upper)/2 + (t.Upper-t.Lower)/2*s.q.Law.Draw(r) })
}
