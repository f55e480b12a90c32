package field

import (
	"context"
	"math"

	"barover/solver"
	"barover/solver/machine"
	"barover/solver/plane"
)

// Within its widest limits all that holds would be in a cell or two. So the range searched is drawn in: along either
// dimension to about where slopes say that something falls short, checked again there, and a share beyond. Nothing is
// claimed about the rest.

const (
	// beyond is how far past those places the range goes, as a share of the distance between them.
	beyond = 0.25
	// narrowest is the least range of a dimension, as a share of its outer limits.
	narrowest = 0.002
	// steps is how many engines are solved to find where something falls short, and near the length below which a step
	// need not be followed by another, as a share of all.
	steps = 4
	near  = 0.2
)

// side is one side of a finding by its slopes: its room, and the effect of each of the two dimensions.
type side struct {
	room  float64
	slope [2]float64
}

// drawIn draws in the range searched about a place where everything holds. Found are the findings with the present
// values.
func (s *search) drawIn(ctx context.Context, m *machine.Machine, found []solver.Finding) error {
	at := s.q.Now
	if !s.a.NowHold {
		if s.q.WayOut == nil {
			return nil
		}
		out := s.q.WayOut(ctx)
		if out == nil {
			return ctx.Err()
		}
		at, s.about = *out, *out
		var err error
		if m, found, err = s.foundAt(ctx, at); err != nil || m == nil {
			return err
		}
	}
	here, err := s.sidesOf(ctx, m, found)
	if err != nil {
		return err
	}
	ends := make([]float64, 4) // toward less and toward more of the first dimension, then of the other
	err = machine.Share(ctx, s.o, len(ends), func(i int) error {
		end, err := s.end(ctx, here, at, i/2, float64(i%2*2-1))
		ends[i] = end
		return err
	})
	if err != nil {
		return err
	}
	for k := range 2 {
		if !s.q.Near[k] {
			continue
		}
		from, to := s.q.From[k], s.q.To[k]
		lo, hi := math.Min(ends[2*k], s.q.Now[k]), math.Max(ends[2*k+1], s.q.Now[k])
		more := math.Max(beyond*(hi-lo), narrowest*(to-from)/2)
		s.q.From[k], s.q.To[k] = math.Max(from, lo-more), math.Min(to, hi+more)
	}
	return nil
}

// foundAt answers the checks with two values; the Machine is nil where the engine cannot be assembled.
func (s *search) foundAt(ctx context.Context, at [2]float64) (*machine.Machine, []solver.Finding, error) {
	m, err := s.machineAt(at)
	if err != nil {
		return nil, nil, ctx.Err()
	}
	res, err := m.Some(ctx, s.o, s.touched)
	if err != nil || len(res.Broken) > 0 {
		return nil, nil, err
	}
	return m, res.Findings, nil
}

// end is about where something falls short along one dimension from a place where all holds, toward less or toward more,
// by a few steps of Newton's method.
func (s *search) end(ctx context.Context, sides []side, at [2]float64, k int, way float64) (float64, error) {
	last := s.q.From[k]
	if way > 0 {
		last = s.q.To[k]
	}
	o := s.o
	o.Workers = 1
	gone := 0.0
	for range steps {
		more, ok := reaches(sides, k, way)
		if !ok {
			return last, nil
		}
		if gone > 0 {
			more = math.Max(-gone/2, math.Min(more, 4*gone))
		}
		if gone += more; way*(at[k]+way*gone-last) >= 0 {
			return last, nil
		}
		if math.Abs(more) < near*gone && more != gone {
			break
		}
		there := at
		there[k] += way * gone
		m, found, err := s.foundAt(ctx, there)
		if err != nil {
			return 0, err
		}
		if m == nil {
			break
		}
		if sides, err = s.sidesOf(ctx, m, found); err != nil {
			return 0, err
		}
	}
	return at[k] + way*gone, nil
}

// reaches is how far one may go in a dimension, toward less or toward more, before a side has no room left; below zero
// where one has none.
func reaches(sides []side, k int, way float64) (far float64, ok bool) {
	far = math.Inf(1)
	for _, r := range sides {
		if g := way * r.slope[k]; g < 0 {
			far = math.Min(far, r.room/-g)
		}
	}
	return far, !math.IsInf(far, 1)
}

// sidesOf are the sides of findings: of a sum both of its limits, with one slope.
func (s *search) sidesOf(ctx context.Context, m *machine.Machine, found []solver.Finding) (list []side, err error) {
	slopes, err := m.Slopes(ctx, found)
	if err != nil {
		return nil, err
	}
	for i := range found {
		f := &found[i]
		if slopes[i] == nil || f.Apart {
			continue
		}
		c := &m.Problem.Checks[f.Check]
		for _, upper := range [2]bool{false, true} {
			room, ok := c.RoomOn(f, upper)
			if !ok {
				continue
			}
			sign, asks := plane.Sign(!upper), m.RoomSlopes(f.Check, upper)
			one := side{room: room}
			for k, d := range s.q.Dims {
				one.slope[k] = sign*slopes[i][d] + asks[d]
			}
			list = append(list, one)
		}
	}
	return list, nil
}
