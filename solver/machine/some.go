package machine

import (
	"context"
	"maps"
	"slices"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/expr"
	"barover/solver/linkage"
)

// Vary gives dimensions, by number, values other than their own; dimensions that follow from them change too. It returns
// the Problem as well, since the ranges of the turn and of travels may depend on dimensions. The error says why no engine
// can be made with these values. Many goroutines may call it at once.
type Vary func(change map[int]float64) (*solver.Problem, *expr.Values, error)

// Machine assembles the engine again with other values of some dimensions. It answers as a sketch with these values
// written in would.
func (vary Vary) Machine(change map[int]float64) (*Machine, error) {
	return vary.Asking(nil, change, nil)
}

// Asking is Machine with other checks; nil for the Problem's own. like is nil or a Machine in which the dimensions have other values: where
// they move no part, what is known of its motion is kept; else the outlines are that stay the same.
func (vary Vary) Asking(checks []solver.Check, change map[int]float64, like *Machine) (*Machine, error) {
	p, v, err := vary(change)
	if err != nil {
		return nil, err
	}
	akin := like != nil && like.Problem.SameRanges(p)
	if akin && !like.Problem.Moves(like.Values, slices.Collect(maps.Keys(change))...) {
		return like.Redrawn(v)
	}
	if checks != nil {
		q := *p
		q.Checks, p = checks, &q
	}
	if akin {
		return of(like.Engine.Anew(p, v))
	}
	return New(p, v)
}

// RangesMove reports whether the range of the turn or of a travel changes when a dimension goes from one value to another
// (mm, rad or plain). Every check may then depend on that dimension.
func (vary Vary) RangesMove(dim int, from, to float64) bool {
	a, _, err := vary(map[int]float64{dim: from})
	b, _, err2 := vary(map[int]float64{dim: to})
	return err != nil || err2 != nil || !a.SameRanges(b)
}

// Some answers some of the checks, in that order, and says where the parts cannot be assembled.
func (m *Machine) Some(ctx context.Context, o Options, checks []int) (*solver.Result, error) {
	return m.SomeBeside(ctx, o, checks, nil)
}

// striding is the step of the turn at which it is checked whether the parts can be assembled, rad. With any step, a
// motion is followed without a jump, so a long step misses no gap.
const striding = 5 * engine.Coarsest

// FirstBreak returns the first stretch found over which the parts cannot be assembled, at any of the travel settings
// drawn; nil if there is none. The function returned measures what cannot be met there. It reports less than a study and takes less time.
func (m *Machine) FirstBreak(ctx context.Context) (func() *linkage.Broken, error) {
	t := m.Problem.Turn
	for _, travel := range engine.WithRest(engine.LookedSettings(m.Travels), engine.RestSetting(m.Travels)) {
		mo, err := m.Linkage.Follow(ctx, travel, t.From, t.To, striding)
		if err != nil {
			return nil, err
		}
		if b := mo.FirstBroken(); b != nil {
			return b, nil
		}
	}
	return nil, nil
}

// Stops is FirstBreak for a caller that goes on to ask about the checks. Where the motion is enclosed, which that caller
// needs anyway, it follows nothing.
func (m *Machine) Stops(ctx context.Context, o Options) (func() *linkage.Broken, error) {
	if _, err := m.enclosed(ctx, o); err != nil {
		return nil, err
	}
	if m.IsEnclosed(o) {
		return nil, nil
	}
	return m.FirstBreak(ctx)
}
