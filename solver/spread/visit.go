package spread

import (
	"context"
	"encoding/binary"
	"math"

	"barover/solver"
	"barover/solver/machine"
)

// rounding is how much worse than the worst an engine must be to be named for it, mm, rad or as a plain number. Engines
// that are equal differ by some 1e-12, and a random one is not the worst because of that.
const rounding = 1e-9

// place is an engine to be solved for a side.
type place struct {
	at []float64 // values of the tolerances
	d  *side
}

// found is what an engine gives for a side: its room, and its slopes, nil where there are none. For an engine that cannot
// be assembled the room is NaN.
type found struct {
	room   float64
	slopes []float64
}

// engineAt is one engine that several places may share.
type engineAt struct {
	at     []float64
	places []int
	halves []int

	problem  *solver.Problem
	findings []solver.Finding
	slopes   [][]float64
	unmade   bool
}

// visit solves the engines of some places and notes their results. Places with the same values share one engine, and a
// side's known engines are not solved again.
func (s *spread) visit(ctx context.Context, list []place) ([]found, error) {
	out := make([]found, len(list))
	keys := make([]string, len(list))
	engines := s.engines(list, keys)
	err := machine.Share(ctx, s.alive(), len(engines), func(i int) error { return s.ask(ctx, engines[i]) })
	if err != nil {
		return nil, err
	}
	for _, e := range engines {
		for k, i := range e.places {
			d := list[i].d
			f := found{room: math.NaN()}
			if e.unmade {
				d.worst.unmade = true
			}
			if e.problem != nil {
				s.note(d, e.problem, &e.findings[k], e.at, false)
				f.room, _ = s.split.room(d.half, e.problem, &e.findings[k])
				f.slopes = e.slopes[k]
				d.slant(f.room, f.slopes)
			}
			d.known[keys[i]] = f
		}
	}
	for i, p := range list {
		out[i] = p.d.known[keys[i]]
	}
	return out, nil
}

// engines lists the engines that must be solved for some places, in their order, and gives each place its key.
func (s *spread) engines(list []place, keys []string) (engines []*engineAt) {
	number := make(map[string]*engineAt)
	asked := make(map[*side]map[string]bool)
	for i, p := range list {
		key := keyOf(p.at)
		keys[i] = key
		if p.d.known == nil {
			p.d.known = make(map[string]found)
		}
		if _, known := p.d.known[key]; known || asked[p.d][key] {
			continue
		}
		if asked[p.d] == nil {
			asked[p.d] = make(map[string]bool)
		}
		asked[p.d][key] = true
		e := number[key]
		if e == nil {
			e = &engineAt{at: p.at}
			number[key] = e
			engines = append(engines, e)
		}
		e.places, e.halves = append(e.places, i), append(e.halves, p.d.half)
	}
	return engines
}

// keyOf returns a key for values of the tolerances, exact to the bit.
func keyOf(at []float64) string {
	key := make([]byte, 0, 8*len(at))
	for _, v := range at {
		key = binary.LittleEndian.AppendUint64(key, math.Float64bits(v))
	}
	return string(key)
}

// ask solves one engine.
func (s *spread) ask(ctx context.Context, e *engineAt) error {
	m, err := s.machine(e.at)
	if err != nil {
		e.unmade = true
		return ctx.Err()
	}
	res, err := s.split.some(ctx, m, s.alone(), e.halves, nil)
	if err != nil {
		return err
	}
	if e.slopes, err = s.slopes(ctx, m, res.Findings); err != nil {
		return err
	}
	e.problem, e.findings, e.unmade = m.Problem, res.Findings, len(res.Broken) > 0
	return nil
}

// note records a finding if it is worse than what was found for its side.
func (s *spread) note(d *side, p *solver.Problem, f *solver.Finding, at []float64, drawn bool) {
	room, ok := s.split.room(d.half, p, f)
	d.worst.ok = d.worst.ok && ok
	if room < d.worst.room-rounding {
		d.worst.room, d.worst.figure, d.worst.at = room, s.split.figure(d.half, f), at
		d.worst.drawn, d.worst.sure = drawn, f.Sure
	}
}
