package variants

import (
	"context"
	"time"

	"barover/sketch/assembled"
	"barover/sketch/quantity"
	"barover/solver"
	"barover/solver/expr"
	"barover/solver/field"
	"barover/solver/machine"
	"barover/solver/mend"
	"barover/solver/seek"
)

// SeekKind is what a dimension's kind is to a search.
func SeekKind(k quantity.Kind) seek.Kind {
	switch {
	case k.Is(quantity.Length):
		return seek.Length
	case k.Is(quantity.Angle):
		return seek.Angle
	}
	return seek.Number
}

// MendDims is what a search for ways out needs to know of every dimension.
func MendDims(e *assembled.Engine) (list []mend.Dim) {
	for i := range e.Dims {
		list = append(list, mend.Dim{Kind: SeekKind(e.Dims[i].Kind), Stock: e.Dims[i].Stock, Steps: e.Steps(i)})
	}
	return list
}

// FieldQuery asks where in the field of two dimensions everything holds, drawn in from the range of values that may be tried.
func FieldQuery(e *assembled.Engine, dims [2]int) *field.Query {
	q := &field.Query{Problem: e.Problem, Vary: assembled.Vary(e.Sketch), Dims: dims, Near: [2]bool{true, true}}
	for k, n := range dims {
		d := &e.Dims[n]
		q.Now[k] = d.Value
		q.From[k], q.To[k] = seek.Limits(SeekKind(d.Kind), d.Value, e.Machine.Size)
	}
	q.WayOut = func(ctx context.Context) *[2]float64 { return aWayOut(ctx, e, q) }
	return q
}

// mostMended is how long a way out is looked for.
const mostMended = 4 * time.Second

// aWayOut is a place in the field where everything that is asked holds; nil where none is soon found.
func aWayOut(ctx context.Context, e *assembled.Engine, q *field.Query) *[2]float64 {
	ctx, end := context.WithTimeout(ctx, mostMended)
	defer end()
	asked := *q.Problem
	if q.Checks != nil {
		asked.Checks = nil
		for _, i := range q.Checks {
			asked.Checks = append(asked.Checks, q.Problem.Checks[i])
		}
	}
	vary := func(change map[int]float64) (*solver.Problem, *expr.Values, error) {
		p, v, err := q.Vary(change)
		if err != nil {
			return nil, nil, err
		}
		bare := *p
		bare.Checks = asked.Checks
		return &bare, v, nil
	}
	a, err := mend.Mend(ctx, mend.Query{Problem: &asked, Vary: vary, Dims: MendDims(e), With: q.Dims[:], Most: 1}, machine.Options{})
	if err != nil || len(a.Ways) == 0 {
		return nil
	}
	at := q.Now
	for _, change := range a.Ways[0].Changes {
		for k, d := range q.Dims {
			if change.Dim == d {
				at[k] = change.To
			}
		}
	}
	return &at
}
