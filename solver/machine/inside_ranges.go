package machine

import (
	"cmp"
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/hunt"
)

// Every value of a range counts, but a survey samples its steps. A figure may be worse between them, and not only next to
// the worst step. So the ranges are sampled more closely, together with the turn, by single positions: a position costs a
// thousandth of a motion. Some places could lead below the best known, by the slopes between samples. From each of these a search goes
// downhill, over the turn and all ranges at once (see package hunt). Only where it ends below the best known is a motion followed:
// what is reported was followed from rest.
//
// A figure with a least, greatest or place over the whole turn has no value at a single position. For it the ranges alone
// are searched in the same way, and each place costs a motion.

// confirmed is how many of the best settings found for one figure are followed at most.
const confirmed = 4

// between improves the samples at the steps of ranges.
func (s *survey) between(ctx context.Context, o Options) error {
	if !s.m.Ranged() {
		return nil
	}
	aims, looks := s.aims(ctx)
	if len(aims) == 0 {
		return nil
	}
	found := make([]ascent, len(aims))
	for k := range aims {
		found[k] = ascent{atlas: looks, aim: aims[k], at: aims[k].from.at.Travel, v: aims[k].from.v}
	}
	lists := engine.ListSettings(s.m.Travels)
	for _, list := range lists {
		p, err := looks.positions(o.quietly(), list, len(lists))
		if err != nil {
			return err
		}
		if err := Share(ctx, o.quietly(), len(aims), func(k int) error { return found[k].search(p) }); err != nil {
			return err
		}
	}
	if err := Share(ctx, o.quietly(), len(aims), func(k int) error { return found[k].confirm() }); err != nil {
		return err
	}
	for k := range found {
		w := &found[k]
		w.tally.cut = w.tally.cut || w.cut
		if w.seen.Have {
			w.tally.take(&w.seen, w.at)
		}
	}
	return nil
}

// ascent is the search from the best of the steps for something better.
type ascent struct {
	*atlas
	aim
	at    []float64 // where it is best so far
	v     float64
	seen  engine.Sight  // the answer there; empty at the step where the search began
	found []hunt.Trough // settings at which single positions are better, the best first
	cut   bool          // there was more to search than its bounds allow
}

// within is how much better a place must be to be worth trying.
func (w *ascent) within() float64 {
	return 0.2 * w.s.m.tolerance() * math.Max(1, math.Abs(w.v)/w.s.m.Size)
}

// search looks for better places at one setting of the lists.
func (w *ascent) search(p *positions) (err error) {
	h := hunt.Hunt{Grid: p.Grid, Within: w.within(), Best: w.v, Looks: math.MaxInt}
	if len(w.found) > 0 {
		h.Best = math.Min(h.Best, w.found[0].V)
	}
	if w.questions[w.question].single() {
		h.Values, h.Of, h.Edges = p.valuesOf(&w.aim), p.figureOf(w), true
		w.cut = w.cut || !p.close
	} else {
		h.Grid, h.Looks = p.settings, p.looks
		h.Of = func(at []float64) float64 {
			v, e := w.look(slices.Clone(at))
			if e != nil {
				err = e
			}
			return v
		}
		h.Values = make([]float64, h.Size())
		for i := range h.Values {
			h.Values[i] = h.Of(h.Place(i))
		}
		h.Best = w.v
	}
	for _, f := range h.Lowest() {
		w.found = append(w.found, hunt.Trough{At: f.At[:len(w.s.m.Travels)], V: f.V})
	}
	slices.SortStableFunc(w.found, func(a, b hunt.Trough) int { return cmp.Compare(a.V, b.V) })
	w.found = w.found[:min(len(w.found), confirmed)]
	w.cut = w.cut || h.Cut
	return err
}

// confirm follows the motions at the settings found.
func (w *ascent) confirm() error {
	for _, f := range w.found {
		if !(f.V < w.v-w.within()) {
			break
		}
		if _, err := w.look(f.At); err != nil {
			return err
		}
	}
	return nil
}

// look samples a setting, and keeps it if it is better.
func (w *ascent) look(at []float64) (float64, error) {
	seen, err := w.atlas.look(at, w.question)
	if err != nil {
		return math.Inf(1), err
	}
	v := solver.OrGreatest(w.of(&seen))
	if seen.Have && engine.ClearlyLess(v, w.v, math.Max(1, math.Abs(w.v))) {
		w.v, w.at, w.seen = v, at, seen
	}
	return v, nil
}
