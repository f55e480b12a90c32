package machine

import (
	"context"
	"math"

	"barover/solver"
	"barover/solver/expr"
)

// Worn is what is known of an engine with all plays larger.
type Worn struct {
	Holds bool // every clear line holds wherever the parts are in their play: proved
	// Short is a clear line that falls short in an engine that was solved, and At is where; -1 where none was found.
	Short int
	Least float64 // its least distance there, mm
	At    solver.Position
	Why   solver.Unproved // where neither is known
}

// Worn decides whether every clear line holds with all plays larger by wear, mm. Where no play is written, every pin
// wears.
func (m *Machine) Worn(ctx context.Context, o Options, wear float64) (*Worn, error) {
	sides := m.clearSides()
	var checks []int
	for _, s := range sides {
		checks = append(checks, s.check)
	}
	p, err := m.shaken(ctx, o.quietly(), wear, nil, checks)
	if err == nil && p.Playing == nil {
		p.Playing, err = m.Playing(ctx, o.quietly(), wear, nil)
	}
	if err != nil {
		return nil, err
	}
	bounds := make([]Bound, len(sides))
	err = Share(ctx, o.quietly(), len(sides), func(k int) (err error) {
		bounds[k], err = p.Check(ctx, sides[k].check, sides[k].upper)
		return err
	})
	if err != nil {
		return nil, err
	}
	out := &Worn{Holds: true, Short: -1}
	least := math.Inf(1)
	for k, s := range sides {
		b := &bounds[k]
		if p.Holds(s.check, b) {
			continue
		}
		if out.Holds = false; !b.Known {
			out.Why = b.Why
		}
		var w *stood
		if p.of(s.check) == shaken(p.Playing) {
			w = p.solved(ctx, s.check, b)
		} else if w, err = p.loose.worst(ctx, s.check, b, s.upper); err != nil {
			return nil, err
		}
		if w == nil {
			continue
		}
		c := &m.Problem.Checks[s.check]
		room := w.v - m.Wanted(c)
		if s.upper {
			room = m.Limit(c.AtMost) - w.v
		}
		if !c.Suffices(room) && room < least {
			least, out.Short, out.Least, out.At = room, s.check, w.v, w.at
		}
	}
	return out, ctx.Err()
}

// clearSide is one limit of a clear line.
type clearSide struct {
	check int
	upper bool
}

// clearSides lists the limits of the clear lines.
func (m *Machine) clearSides() (list []clearSide) {
	for i := range m.Problem.Checks {
		c := &m.Problem.Checks[i]
		if c.Kind != solver.Clear {
			continue
		}
		if list = append(list, clearSide{i, false}); c.AtMost != expr.None {
			list = append(list, clearSide{i, true})
		}
	}
	return list
}
