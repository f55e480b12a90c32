package machine

import (
	"context"
	"slices"
	"sync"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/tube"
)

// Envelope is between what the distance of a pair lies over the turn, from the worst engine to the best, mm: nowhere below the line through
// Low, nowhere above that through High, proved. They are no numbers where that is not.
type Envelope struct {
	Turns, Low, High []float64
	Why              solver.Why // why there is nothing of it; NotTried where there is
}

// Envelopes tells what sizes and play make of distances over the turn. The engine is enclosed once for each setting of the travels that
// is asked about. Many goroutines may share it.
type Envelopes struct {
	m     *Machine // with the sizes in the middle; with eyes of its own where there is play; nil where that cannot be
	sizes Sizes
	why   solver.Why

	mu sync.Mutex
	at map[string]*OverSizes
}

// Envelopes prepares to tell what some sizes, which must be in the middle in m, and its play make of distances.
func (m *Machine) Envelopes(ctx context.Context, sizes []tube.Size) *Envelopes {
	e := &Envelopes{m: m, sizes: Sizes{List: slices.Clone(sizes), Disc: make([]bool, len(sizes))}, at: map[string]*OverSizes{}}
	if len(m.Problem.Plays) > 0 {
		e.m, e.sizes, e.why = m.withEyes(ctx, m.Problem, 0, agree, sizes, m.sumsOver(sizes).extent)
	}
	return e
}

// fineShare is how coarse the boxes of an envelope may be, as Sizes.Coarse has it: none of them is enclosed anew for it.
const fineShare = 0.005

// envelopeSteps is how many stretches of the turn an envelope is told of: of half a degree of a whole one.
const envelopeSteps = 720

// Of is the envelope of two profiles at one setting of the travels. What is farther than most, mm, is told as that.
func (e *Envelopes) Of(ctx context.Context, a, b int, travel []float64, most float64) (Envelope, error) {
	if e.m == nil {
		return Envelope{Why: e.why}, ctx.Err()
	}
	v, err := e.enclosed(ctx, travel)
	if err != nil {
		return Envelope{}, err
	}
	if v.over == nil {
		return Envelope{Why: v.whole.Why}, nil
	}
	fa, fb := v.form(a), v.form(b)
	if fa == nil || fb == nil {
		return Envelope{Why: solver.RoughOutline}, nil
	}
	t := e.m.Problem.Turn
	out := Envelope{}
	for i := range envelopeSteps + 1 {
		out.Turns = append(out.Turns, t.From+(t.To-t.From)*float64(i)/envelopeSteps)
	}
	found := v.over.Envelope(ctx, fa, fb, v.m.Regions[a], v.m.Regions[b], out.Turns, travel, most, v.plain(a) && v.plain(b))
	out.Low, out.High = throughEnds(found.Low, true), throughEnds(found.High, false)
	return out, ctx.Err()
}

// enclosed is the engine enclosed at a setting of the travels.
func (e *Envelopes) enclosed(ctx context.Context, travel []float64) (*OverSizes, error) {
	e.mu.Lock()
	defer e.mu.Unlock()
	key := engine.SettingKey(travel)
	if v := e.at[key]; v != nil {
		return v, nil
	}
	at := solver.Position{Turn: e.m.Problem.Turn.From, Travel: travel}
	sizes := e.sizes
	sizes.Coarse = fineShare
	v, err := e.m.overSizes(ctx, Options{}, sizes, &place{at, true})
	if err == nil {
		e.at[key] = v
	}
	return v, err
}

// throughEnds makes of bounds on stretches values at their ends, through which straight lines keep beyond the bounds. A stretch without a
// bound leaves its ends without a value.
func throughEnds(list []float64, below bool) []float64 {
	out := make([]float64, len(list)+1)
	for i := range out {
		one, two := list[max(i-1, 0)], list[min(i, len(list)-1)]
		if out[i] = max(one, two); below { // no number where one of them is none
			out[i] = min(one, two)
		}
	}
	return out
}
