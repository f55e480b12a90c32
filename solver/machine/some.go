package machine

import (
	"context"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/expr"
	"barover/solver/linkage"
)

// Vary gives dimensions, by their numbers, other values than those that count; dimensions that follow from them follow.
// It returns the Problem as well, since the ranges of the turn and of travels may depend on dimensions. The error says
// why no engine can be made with these values. Many goroutines may call it at once.
type Vary func(change map[int]float64) (*solver.Problem, *expr.Values, error)

// Machine assembles the engine again with other values of some dimensions: what it answers is what a sketch with these
// values written in would get.
func (vary Vary) Machine(change map[int]float64) (*Machine, error) {
	p, v, err := vary(change)
	if err != nil {
		return nil, err
	}
	return New(p, v)
}

// Some answers some of the checks, in that order, and says where the parts cannot be assembled.
func (m *Machine) Some(ctx context.Context, o Options, checks []int) (*solver.Result, error) {
	res := new(solver.Result)
	var err error
	if res.Findings, _, _, err = m.answer(ctx, o, engine.Asked{Checks: checks}); err != nil {
		return nil, err
	}
	res.Broken, err = m.broken(ctx, o)
	return res, err
}

// striding is the step of the turn in which it is seen whether the parts can be assembled, rad. Whatever the step, a motion
// is followed without a jump, so that a long one misses no gap.
const striding = 5 * engine.Coarsest

// FirstBreak is the first stretch found over which the parts cannot be assembled, at any of the travel settings drawn;
// nil if there is none. It says less than a study and takes less time.
func (m *Machine) FirstBreak(ctx context.Context) (*linkage.Broken, error) {
	t := m.Problem.Turn
	for _, travel := range engine.WithRest(engine.LookedSettings(m.Travels), engine.RestSetting(m.Travels)) {
		mo, err := m.Linkage.Follow(ctx, travel, t.From, t.To, striding)
		if err != nil {
			return nil, err
		}
		if b := mo.Broken(); len(b) > 0 {
			return &b[0], nil
		}
	}
	return nil, nil
}

// Stops is FirstBreak for who goes on to ask about the checks: nothing need be followed to tell where the motion is enclosed,
// as it will have to be.
func (m *Machine) Stops(ctx context.Context, o Options) (*linkage.Broken, error) {
	if _, err := m.enclosed(ctx, o); err != nil {
		return nil, err
	}
	if m.isEnclosed(o) {
		return nil, nil
	}
	return m.FirstBreak(ctx)
}
