package machine

import (
	"context"
	"slices"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/spare"
	"barover/solver/tube"
)

// Envelope bounds the distance of a pair over the turn, from the worst engine to the best, mm. It is proved that the
// distance is nowhere below the line through Low, and nowhere above the line through High. They are NaN where that is not
// proved.
type Envelope struct {
	Turns, Low, High []float64
	Why              solver.Why // why there is no envelope; NotTried where there is one
}

// Envelopes computes the effect of sizes and play on distances over the turn. The engine is enclosed once for each
// setting of the travels that is asked about. Many goroutines may share it.
type Envelopes struct {
	m     *Machine // with the sizes in the middle, and eyes of its own where there is play; nil where that is impossible
	sizes Sizes
	why   solver.Why

	at spare.Once[string, *OverSizes] // keyed by travel setting
}

// Envelopes prepares envelopes for some sizes and the play of m. The sizes must be in the middle in m.
func (m *Machine) Envelopes(ctx context.Context, sizes []tube.Size) *Envelopes {
	e := &Envelopes{m: m, sizes: Sizes{List: slices.Clone(sizes), Disc: make([]bool, len(sizes))}}
	if len(m.Problem.Plays) > 0 {
		e.m, e.sizes, e.why = m.withEyes(ctx, m.Problem, 0, agree, sizes, m.sumsOver(sizes).extent)
	}
	return e
}

// fineShare is how coarse the boxes of an envelope may be (see Sizes.Coarse): none of them is enclosed again for it.
const fineShare = 0.005

// envelopeSteps is the number of stretches of the turn in an envelope: half a degree each for a whole turn.
const envelopeSteps = 720

// Of returns the envelope of two profiles at one setting of the travels. A distance beyond most, mm, is reported as most.
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

// enclosed returns the engine enclosed at a setting of the travels.
func (e *Envelopes) enclosed(ctx context.Context, travel []float64) (*OverSizes, error) {
	return e.at.Get(engine.SettingKey(travel), func() (*OverSizes, error) {
		at := solver.Position{Turn: e.m.Problem.Turn.From, Travel: travel}
		sizes := e.sizes
		sizes.Coarse = fineShare
		return e.m.overSizes(ctx, Options{}, sizes, &place{at, true})
	})
}

// throughEnds makes values at the ends of stretches from bounds on the stretches, so that straight lines through them are
// beyond the bounds. The ends of a stretch without a bound have no value.
func throughEnds(list []float64, below bool) []float64 {
	out := make([]float64, len(list)+1)
	for i := range out {
		one, two := list[max(i-1, 0)], list[min(i, len(list)-1)]
		if out[i] = max(one, two); below { // NaN where one of them is NaN
			out[i] = min(one, two)
		}
	}
	return out
}
