package variants

import (
	"context"
	"slices"

	"barover/render/report"
	"barover/sketch"
	"barover/sketch/assembled"
	"barover/solver/machine"
	"barover/solver/seek"
)

// NewSought is what was found of a dimension d of e, with what more is worth a search: the ranges of the checks that it moves, where
// others fall short whatever its value, and the check that cannot be held. Limited says that the range was given.
func NewSought(ctx context.Context, e *assembled.Engine, d *sketch.Dim, check string, limited bool, q seek.Query, a *seek.Answer) (*Sought, error) {
	r := newSeekReport(e, d, check, limited, &q, a)
	if err := r.findMoved(ctx, q, a); err != nil {
		return nil, err
	}
	return r, r.findHopeless(ctx, q, a)
}

// findMoved looks for the ranges with which the checks hold that the dimension moves, where others fall short whatever its value.
func (r *Sought) findMoved(ctx context.Context, q seek.Query, a *seek.Answer) error {
	if len(a.Never) == 0 || a.Idle {
		return nil
	}
	asked := q.Checks
	if asked == nil {
		for i := range q.Problem.Checks {
			asked = append(asked, i)
		}
	}
	q.Checks = slices.DeleteFunc(slices.Clone(asked), func(i int) bool { return slices.Contains(a.Never, i) })
	some, err := seek.Seek(ctx, q, machine.Options{})
	if err != nil {
		return err
	}
	r.Moved = seekRanges(report.NewReporter(r.e), r.d, some.Ranges)
	return nil
}

// mostAlone bounds how many checks are sought for alone where no value was found for all of them.
const mostAlone = 4

// findHopeless names the first check for which alone no value was found either, where there is none for all of them, and the ranges
// with which the others hold that fall short now.
func (r *Sought) findHopeless(ctx context.Context, q seek.Query, a *seek.Answer) error {
	if len(a.Ranges) > 0 || len(a.Never) > 0 || r.asked == 1 {
		return nil
	}
	w := report.NewReporter(r.e)
	for _, i := range a.Short[:min(len(a.Short), mostAlone)] {
		q.Checks = []int{i}
		one, err := seek.Seek(ctx, q, machine.Options{})
		if err != nil {
			return err
		}
		n := w.Name(i)
		switch {
		case len(one.Ranges) > 0:
			r.Alone = append(r.Alone, soughtAlone{n, seekRanges(w, r.d, one.Ranges)})
		case r.hopeless == nil:
			r.hopeless = &n
		}
	}
	return nil
}

// soughtAlone is the ranges with which one check holds, whatever the others do.
type soughtAlone struct {
	Check  report.CheckName `json:"check"`
	Ranges []seekRange      `json:"ranges"`
}
