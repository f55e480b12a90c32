package seek

import (
	"context"

	"barover/solver"
	"barover/solver/machine"
)

// Wear is how far every play may grow before something falls short, mm.
type Wear struct {
	HoldsTo   float64 // proved: with every play larger by up to this all clear lines hold; below zero where none does as it is
	ShortFrom float64 // with every play larger by this a line falls short, in an engine that was solved; zero where none was found
	Short     int     // that line; -1 for none
	Least     float64 // its least there
	At        solver.Position
	Why       solver.Unproved // why nothing is known between the two, where that is wide
	Any       bool            // there is a clear line
}

const (
	// wearFrom is the wear that is tried first, and wearTo the greatest, as shares of the engine's size.
	wearFrom = 1e-4
	wearTo   = 0.25
	// wearEnds is how near the two ends are brought together, as a share of the wear, and wearSteps the greatest number
	// of steps.
	wearEnds  = 0.01
	wearSteps = 24
)

// Worn finds how far every play of an engine may grow. What holds is proved for every smaller wear too, since a larger
// play allows every place that a smaller one does.
func Worn(ctx context.Context, m *machine.Machine, o machine.Options) (*Wear, error) {
	w := &Wear{HoldsTo: -1, Short: -1}
	for i := range m.Problem.Checks {
		w.Any = w.Any || m.Problem.Checks[i].Kind == solver.Clear
	}
	if !w.Any {
		return w, nil
	}
	open := 0.0 // the least wear of which nothing is known; zero for none
	try := func(wear float64) (*machine.Worn, error) {
		a, err := m.Worn(ctx, o, wear)
		if err != nil {
			return nil, err
		}
		switch {
		case a.Holds:
			w.HoldsTo = wear
		case a.Short >= 0:
			w.ShortFrom, w.Short, w.Least, w.At = wear, a.Short, a.Least, a.At
			open = 0
		default:
			w.Why, open = a.Why, wear
		}
		return a, nil
	}
	a, err := try(0)
	if err != nil || !a.Holds {
		return w, err
	}
	for wear := wearFrom * m.Size; wear <= wearTo*m.Size && a.Holds; wear *= 2 {
		if a, err = try(wear); err != nil {
			return nil, err
		}
	}
	for range wearSteps {
		top := w.ShortFrom
		if open > 0 {
			top = open
		}
		if top == 0 || top-w.HoldsTo <= wearEnds*top {
			break
		}
		if _, err = try(w.HoldsTo + (top-w.HoldsTo)/2); err != nil {
			return nil, err
		}
	}
	return w, nil
}
