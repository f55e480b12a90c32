package spread

import (
	"context"
	"math"
)

// lone is the result of trying one tolerance alone, the others at their values: where a side has least room, and how much
// less than with every dimension at its value.
type lone struct{ at, loss float64 }

// try tries what is in doubt: each tolerance alone, then the worst of each together. From there and from the worst corner
// it tries one after the other.
func (s *spread) try(ctx context.Context) error {
	if err := s.weigh(ctx); err != nil {
		return err
	}
	if err := s.singly(ctx); err != nil {
		return err
	}
	var places []place
	for i := range s.sides {
		if d := &s.sides[i]; len(d.doubts) > 0 {
			places = append(places, place{s.together(d), d})
		}
	}
	if _, err := s.visit(ctx, places); err != nil {
		return err
	}
	var list []*walker
	for _, p := range places {
		if d := p.d; d.mayBeTight() {
			list = append(list, newWalker(d, p.at, d.doubts, passes), newWalker(d, d.worst.at, d.doubts, passes))
		}
	}
	return s.walk(ctx, list)
}

// tight reports whether the worst found for a side takes more than half of its room. A side that is not tight is searched
// no further.
func (d *side) tight() bool { return !d.worst.ok || d.worst.unmade || d.worst.room < d.room/2 }

// mayBeTight reports whether what is in doubt may take half of a side's room, judged by the effects found. In the square
// of a sum, n parts together do n times as much as all of them alone.
func (d *side) mayBeTight() bool {
	alone := 0.0
	for _, l := range d.lone {
		alone += l.loss
	}
	return d.tight() || float64(len(d.doubts))*math.Max(alone, d.room-d.worst.room) >= d.room/2
}

// singly tries each tolerance that is in doubt alone.
func (s *spread) singly(ctx context.Context) error {
	var list []*walker
	for i := range s.sides {
		d := &s.sides[i]
		for _, t := range d.doubts {
			list = append(list, newWalker(d, s.within(), []int{t}, 1))
		}
	}
	if err := s.walk(ctx, list); err != nil {
		return err
	}
	for _, w := range list {
		i := w.axes[0]
		if w.d.lone == nil {
			w.d.lone = make(map[int]lone)
		}
		w.d.lone[i] = lone{w.at[i], math.Max(0, w.d.room-w.room)}
	}
	return nil
}

// together returns the engine with every part at its worst place for a side, by slopes or by the trial alone.
func (s *spread) together(d *side) []float64 {
	at := s.pointed(s.within(), d.slopes)
	for i, l := range d.lone {
		at[i] = l.at
	}
	return at
}
