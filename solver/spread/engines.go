package spread

import (
	"context"
	"math"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/machine"
)

// rounding is by how much an engine must be worse than the worst known to replace it, mm, rad or plain. Equal engines differ
// by some 1e-12 through rounding, and that must not make a random one the worst.
const rounding = 1e-9

// found is the result of one engine for a side: the room, and its slopes by the tolerances, nil where there are none. The room
// of an engine that cannot be assembled is NaN.
type found struct {
	room   float64
	slopes []float64
}

// seen is what one engine shows of a side.
type seen struct {
	at      []float64
	problem *solver.Problem // of the engine; nil where there is none with these sizes
	finding solver.Finding
	slopes  []float64 // of the room, by the tolerances; nil where there are none
	broken  bool      // it cannot be assembled all the way round
}

// see solves one engine for some sides. It changes none of them, so many goroutines may see at once.
func (s *spread) see(ctx context.Context, o machine.Options, at []float64, sides ...*side) ([]seen, error) {
	out := make([]seen, len(sides))
	halves := make([]int, len(sides))
	for i, d := range sides {
		out[i].at, halves[i] = at, d.half
	}
	m, err := s.machine(at)
	if err != nil {
		return out, ctx.Err()
	}
	o.Tight = true
	res, err := s.split.some(ctx, m, o, halves, nil)
	if err != nil {
		return nil, err
	}
	slopes, err := s.slopes(ctx, m, res.Findings)
	if err != nil {
		return nil, err
	}
	for i := range out {
		v := &out[i]
		v.problem, v.finding, v.slopes, v.broken = m.Problem, res.Findings[i], slopes[i], len(res.Broken) > 0
	}
	return out, nil
}

// found is what an engine shows of a side, in short.
func (s *spread) found(d *side, v *seen) found {
	if v.problem == nil {
		return found{room: math.NaN()}
	}
	room, _ := s.split.room(d.half, v.problem, &v.finding)
	return found{room, v.slopes}
}

// take notes what an engine shows of a side.
func (s *spread) take(d *side, v *seen) {
	d.worst.unmade = d.worst.unmade || v.problem == nil || v.broken
	if v.problem != nil {
		s.note(d, v.problem, &v.finding, v.at, false)
	}
	d.learn(engine.SettingKey(v.at), s.found(d, v))
}

// visit solves one engine for some sides and takes what it shows. It leaves out sides for which the engine is known. Two
// concurrent visits must not share a side.
func (s *spread) visit(ctx context.Context, o machine.Options, at []float64, sides ...*side) error {
	ask := s.unknown(at, sides)
	if len(ask) == 0 {
		return ctx.Err()
	}
	list, err := s.see(ctx, o, at, ask...)
	for i := range list {
		s.take(ask[i], &list[i])
	}
	return err
}

// unknown lists those of some sides for which an engine was not solved yet.
func (s *spread) unknown(at []float64, sides []*side) (out []*side) {
	key := engine.SettingKey(at)
	for _, d := range sides {
		if _, known := d.known[key]; !known {
			out = append(out, d)
		}
	}
	return out
}

// eachAlone calls do for each side, several at a time.
func (s *spread) eachAlone(ctx context.Context, sides []*side, do func(d *side) error) error {
	return machine.Share(ctx, s.telling(ofSought), len(sides), func(i int) error { return do(sides[i]) })
}

// visitEach solves the engine at(d) for each side d. An engine that is the same for several sides is solved once.
func (s *spread) visitEach(ctx context.Context, sides []*side, at func(*side) []float64) error {
	var engines [][]float64
	var of [][]*side
	number := make(map[string]int)
	for _, d := range sides {
		v := at(d)
		key := engine.SettingKey(v)
		n, ok := number[key]
		if !ok {
			n = len(engines)
			number[key], engines, of = n, append(engines, v), append(of, nil)
		}
		of[n] = append(of[n], d)
	}
	return s.visitAll(ctx, engines, of)
}

// visitAll solves several engines, each for some sides, and takes what they show in that order.
func (s *spread) visitAll(ctx context.Context, engines [][]float64, of [][]*side) error {
	shown := make([][]seen, len(engines))
	for i, at := range engines {
		of[i] = s.unknown(at, of[i])
	}
	err := machine.Share(ctx, s.telling(ofSolved), len(engines), func(i int) (err error) {
		if len(of[i]) > 0 {
			shown[i], err = s.see(ctx, s.alone(), engines[i], of[i]...)
		}
		return err
	})
	for i := range shown {
		for k := range shown[i] {
			s.take(of[i][k], &shown[i][k])
		}
	}
	return err
}

// note records a finding if it is worse than what was found for its side.
func (s *spread) note(d *side, p *solver.Problem, f *solver.Finding, at []float64, drawn bool) {
	room, ok := s.split.room(d.half, p, f)
	d.worst.ok = d.worst.ok && ok
	if room < d.worst.room-rounding {
		d.worst.room, d.worst.figure, d.worst.at = room, f.Figure(s.split.upper[d.half]), at
		d.worst.drawn, d.worst.sure = drawn, f.Sure
	}
}

func (d *side) learn(key string, f found) {
	if d.known == nil {
		d.known = make(map[string]found)
	}
	d.known[key] = f
}
