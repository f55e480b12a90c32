package solver

import (
	"barover/solver/expr"
)

// happens is every time that mark i happens at one travel setting, in order of the turn.
func (r *run) happens(i int) []Event {
	mark := &r.m.Problem.Marks[i]
	var turns []float64
	switch mark.When {
	case RisesPast, FallsPast:
		sign := 1.0
		if mark.When == FallsPast {
			sign = -1
		}
		turns = r.trace(r.m.difference(mark.Sum, mark.Past), search{levels: []float64{0}}).passings(sign)
	case IsLeast, IsGreatest:
		sign := 1.0
		if mark.When == IsGreatest {
			sign = -1
		}
		for _, k := range r.trace(r.m.sum(mark.Sum), search{least: sign > 0, greatest: sign < 0}).allExtremes(sign) {
			turns = append(turns, k.t)
		}
	}
	eval, s := expr.NewEval(r.m.Values), r.m.newStation()
	var out []Event
	for _, t := range turns {
		if !r.stand(t, s) {
			continue
		}
		e := Event{Mark: i, At: Position{Turn: t, Travel: r.travel}}
		for _, k := range mark.Shows {
			e.Shows = append(e.Shows, orNone(valueOf(eval, r.m.Problem.Measures[k].Sum, s)))
		}
		out = append(out, e)
	}
	return out
}

// events is every time that the mark at place k of what was asked happens, setting by setting.
func (s *survey) events(k int) (all []Event) {
	s.m.atAllSettings(s.settings, func(travel []float64, i int) {
		for _, e := range s.marks[k][i] {
			e.At.Travel = travel
			all = append(all, e)
		}
	})
	return all
}
