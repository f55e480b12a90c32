package seek

import (
	"context"
	"math"

	"barover/solver"
	"barover/solver/linkage"
	"barover/solver/machine"
)

// spot is one value of the dimension, and the engine with it.
type spot struct {
	x      float64
	err    error                  // the sketch makes no engine with it
	broken func() *linkage.Broken // it cannot be assembled all the way round
	room   []room                 // of the checks asked about, in their order; nil where it cannot be assembled
	sure   solver.Sure            // of all of them
}

// whole reports whether the parts can be assembled all the way round.
func (s *spot) whole() bool { return s.err == nil && s.broken == nil }

// room is by how much a check holds at one value, and how that changes with the value.
type room struct {
	x     float64
	v     float64 // ±Inf where there is nothing to measure, or no number
	slope float64 // NaN where there is none
}

// rounding is how far below zero a margin may be, mm, rad or as a plain number, only because 12.7 − 12.2 is not quite
// 0.5.
const rounding = 1e-9

func (r room) holds() bool { return r.v >= -rounding }

// look solves the engine at one value and answers some checks.
func (s *search) look(ctx context.Context, x float64, checks []int) (*spot, error) {
	s.seen[x] = true
	s.a.Looked = len(s.seen)
	at := &spot{x: x, sure: solver.Proved}
	m, err := s.machine(x)
	if err != nil {
		at.err = err
		return at, ctx.Err()
	}
	if at.broken, err = s.stopped(ctx, m, len(checks) > 0); err != nil || at.broken != nil {
		return at, err
	}
	if len(checks) == 0 {
		return at, nil
	}
	o := s.o
	o.Progress = nil
	res, err := m.Some(ctx, o, checks)
	if err != nil {
		return nil, err
	}
	slopes, err := m.MarginSlopes(ctx, res.Findings)
	if err != nil {
		return nil, err
	}
	for i := range res.Findings {
		f := &res.Findings[i]
		if f.Sure != solver.Proved {
			at.sure = solver.Sampled
		}
		r := room{x: x, v: m.Problem.Judge(f).Margin, slope: math.NaN()}
		if slopes[i] != nil {
			r.slope = slopes[i][s.q.Dim]
		}
		at.room = append(at.room, r)
	}
	return at, nil
}

// machine is the engine with another value. If no part moves differently with it, the parts are not assembled again.
func (s *search) machine(x float64) (*machine.Machine, error) {
	return s.q.Vary.Asking(nil, map[int]float64{s.q.Dim: x}, s.now)
}

// stopped is where the parts cannot be assembled; asked says that checks are asked about next. If the dimension moves no
// part, it finds this out once.
func (s *search) stopped(ctx context.Context, m *machine.Machine, asked bool) (func() *linkage.Broken, error) {
	if s.base == nil && asked {
		return m.Stops(ctx, s.o)
	}
	if s.base == nil {
		return m.FirstBreak(ctx)
	}
	if !s.tried {
		var err error
		if s.never, err = s.base.FirstBreak(ctx); err != nil {
			return nil, err
		}
		s.tried = true
	}
	return s.never, nil
}
