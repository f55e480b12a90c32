// Package mend finds ways out: small sets of changes to dimensions that make an engine hold.
//
// The slopes of every check make a linear programme of the engine. This relaxation says which sets of one, two, three or
// four dimensions may serve at all; see sets. Each such set is tried: the programme chooses sizes that are available, the
// engine is solved with them, and each check that falls short adds a row; see settle. Each change is then set back as far
// as everything still holds; see lessen. A full answer proves each way in the end. So slopes decide only which sets are
// tried, and in which order; where they show no single dimension, each is tried at some sizes; see along. Where there is no way, fight names checks that
// cannot hold together.
//
// It knows no words. A newcomer may change the order of ways and how many are tried; each way must stay proved.
package mend

import (
	"context"
	"errors"
	"slices"

	"barover/solver"
	"barover/solver/machine"
	"barover/solver/seek"
)

// Query is the question. Values are mm, rad or plain numbers; dimensions are given by their numbers.
type Query struct {
	Problem *solver.Problem
	Vary    machine.Vary
	Dims    []Dim     // of each dimension
	With    []int     // the dimensions that may change; nil for all
	Without []int     // those that may not
	Remake  []int     // made ones that may change all the same
	Most    int       // ways; 0 for the usual
	Found   func(Way) // called with each way as soon as it is proved; may be nil
}

// Dim is what a search must know of a dimension beside its value.
type Dim struct {
	Kind  seek.Kind
	Stock []float64 // the sizes available, rising; nil where Steps give them
	Steps []float64 // else whole multiples of the first of these, or of a finer one where the first serves nowhere
}

// Answer is the result.
type Answer struct {
	Before *solver.Result // every check as it is
	Holds  bool           // everything does: there is nothing to mend
	Ways   []Way          // best first
	Fight  *Fight         // where there is no way; nil if nothing can be said
	Looked int            // number of engines solved
	Unmade int            // those of them that cannot be assembled all the way round
	// Stopped says that the search was interrupted: there may be other ways.
	Stopped bool
	// Cut says that not every set of dimensions that slopes leave open was tried.
	Cut bool
}

// Way is a set of changes with which everything holds.
type Way struct {
	Changes  []Change
	Used     solver.Users     // the profiles and parts that are written with what changes
	Remade   solver.Users     // those of them that are written with made dimensions that change
	Findings []solver.Finding // of every check
	Passes   []solver.Pass    // the change points that it passes
	Proved   bool             // every check is, over the whole turn and every travel, and so is that it goes round if it did not
	Size     float64          // of all changes together, each as a share of its dimension; see share
	Largest  float64          // of these shares
	Room     float64          // the least room of the checks of lengths that a change affects
	Tightest int              // that check; -1 for none
}

// Change is a dimension's change.
type Change struct {
	Dim      int
	From, To float64
	Made     bool
}

// usual is how many ways are given.
const usual = 5

// Mend looks for ways out. The error is linkage.Faults where the engine cannot be solved with the dimensions as they are.
// A cancelled context is no error: the answer is what was found so far.
func Mend(ctx context.Context, q Query, o machine.Options) (*Answer, error) {
	if q.Most <= 0 {
		q.Most = usual
	}
	s := &search{q: q, o: o, progress: o.Progress, known: map[string]bool{}}
	s.o.Progress = nil
	err := s.run(ctx)
	if err != nil && ctx.Err() != nil && s.a.Before != nil && errors.Is(err, ctx.Err()) {
		s.a.Stopped, err = true, nil
	}
	slices.SortStableFunc(s.a.Ways, s.compare)
	s.a.Ways = s.a.Ways[:min(len(s.a.Ways), q.Most)]
	return &s.a, err
}

func (s *search) run(ctx context.Context) error {
	if err := s.begin(ctx); err != nil || s.a.Holds {
		return err
	}
	for _, p := range s.pools() {
		if err := s.through(ctx, p); err != nil || len(s.a.Ways) > 0 {
			return err
		}
		s.searched = p
	}
	s.a.Fight = s.fight()
	return nil
}

// deepest is the greatest number of dimensions in a set.
const deepest = 4

// through looks for ways with the dimensions of a pool: sets of one, two, three … in order. It goes on to larger sets
// only while there is no more than one way that a builder would take.
func (s *search) through(ctx context.Context, p pool) error {
	for n := 1; n <= deepest; n++ {
		if s.modest() >= min(2, s.q.Most) {
			return nil
		}
		if err := s.level(ctx, p, n); err != nil {
			return err
		}
		if n == 1 && len(s.a.Ways) == 0 {
			if err := s.along(ctx, p); err != nil {
				return err
			}
		}
	}
	return nil
}

// modest is the number of ways in which no dimension changes by too large a share of itself.
func (s *search) modest() (n int) {
	for _, w := range s.a.Ways {
		if grade(w.Largest) < tooLarge {
			n++
		}
	}
	return n
}

// level tries the sets of n dimensions that slopes leave open, the best first; and where none of them serves, those that
// come near by slopes.
func (s *search) level(ctx context.Context, p pool, n int) error {
	open, near := s.sets(ctx, p, n)
	for i, list := range [2][]set{open, near} {
		if i > 0 && len(s.a.Ways) > 0 {
			return nil
		}
		if len(list) > mostSets {
			list, s.a.Cut = list[:mostSets], true
		}
		for k, t := range list {
			if s.progress != nil {
				s.progress("sets of "+inWords(n)+" tried", k, len(list))
			}
			if s.modest() >= s.q.Most || s.covered(t.dims) {
				continue
			}
			w, err := s.settle(ctx, t)
			if err != nil {
				return err
			}
			if w != nil {
				s.take(*w)
			}
		}
	}
	return ctx.Err()
}

func inWords(n int) string {
	if n == 1 {
		return "one dimension"
	}
	return [...]string{2: "two", 3: "three", 4: "four"}[n] + " dimensions"
}

// mostSets is how many sets of one number of dimensions are tried.
const mostSets = 40

// take adds a way, unless it is known.
func (s *search) take(w Way) {
	for _, o := range s.a.Ways {
		if slices.Equal(o.Changes, w.Changes) {
			return
		}
	}
	s.a.Ways = append(s.a.Ways, w)
	if s.q.Found != nil {
		s.q.Found(w)
	}
}

// covered reports whether a way that a builder would take changes only some of these dimensions: with more of them there
// is nothing to gain.
func (s *search) covered(dims []int) bool {
	return slices.ContainsFunc(s.a.Ways, func(w Way) bool {
		return grade(w.Largest) < tooLarge && !slices.ContainsFunc(w.Changes, func(c Change) bool { return !slices.Contains(dims, c.Dim) })
	})
}
