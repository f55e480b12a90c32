package spread

import (
	"context"
	"encoding/binary"
	"math"

	"barover/solver"
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

// visit solves one engine for some sides and notes the results. It leaves out sides for which the engine is known. Two
// concurrent visits must not share a side.
func (s *spread) visit(ctx context.Context, o machine.Options, at []float64, sides ...*side) error {
	key := keyOf(at)
	var ask []*side
	var halves []int
	for _, d := range sides {
		if _, known := d.known[key]; !known {
			ask, halves = append(ask, d), append(halves, d.half)
		}
	}
	if len(ask) == 0 {
		return ctx.Err()
	}
	m, err := s.machine(at)
	if err != nil {
		for _, d := range ask {
			d.worst.unmade = true
			d.learn(key, found{room: math.NaN()})
		}
		return ctx.Err()
	}
	o.Tight = true
	res, err := s.split.some(ctx, m, o, halves, nil)
	if err != nil {
		return err
	}
	slopes, err := s.slopes(ctx, m, res.Findings)
	if err != nil {
		return err
	}
	for i, d := range ask {
		d.worst.unmade = d.worst.unmade || len(res.Broken) > 0
		f := &res.Findings[i]
		s.note(d, m.Problem, f, at, false)
		room, _ := s.split.room(d.half, m.Problem, f)
		d.learn(key, found{room, slopes[i]})
	}
	return nil
}

// eachAlone calls do for each side, several at a time.
func (s *spread) eachAlone(ctx context.Context, sides []*side, do func(d *side) error) error {
	return machine.Share(ctx, s.alive(), len(sides), func(i int) error { return do(sides[i]) })
}

// visitEach solves the engine at(d) for each side d. An engine that is the same for several sides is solved once.
func (s *spread) visitEach(ctx context.Context, sides []*side, at func(*side) []float64) error {
	var engines [][]float64
	group := make(map[string][]*side)
	for _, d := range sides {
		v := at(d)
		key := keyOf(v)
		if group[key] == nil {
			engines = append(engines, v)
		}
		group[key] = append(group[key], d)
	}
	return machine.Share(ctx, s.alive(), len(engines), func(i int) error {
		return s.visit(ctx, s.alone(), engines[i], group[keyOf(engines[i])]...)
	})
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

func (d *side) learn(key string, f found) {
	if d.known == nil {
		d.known = make(map[string]found)
	}
	d.known[key] = f
}

// keyOf returns a map key for values of the tolerances, exact to the bit.
func keyOf(at []float64) string {
	key := make([]byte, 0, 8*len(at))
	for _, v := range at {
		key = binary.LittleEndian.AppendUint64(key, math.Float64bits(v))
	}
	return string(key)
}
