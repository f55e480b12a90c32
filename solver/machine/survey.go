package machine

import (
	"context"
	"slices"

	"barover/solver"
	"barover/solver/engine"
)

// survey holds samples of the whole turn at all the travel settings, by the places in what was asked.
type survey struct {
	m        *Machine
	proofs   *proofs // whose runs are used; nil where there are none
	asked    engine.Asked
	settings [][]float64
	first    int // the setting that is named where several are equal: rest if sampled, otherwise the first
	need     engine.Needs
	checks   []tally
	measures []tally
	marks    [][][]solver.Event // by mark and setting
}

// tally is the answer to one question over the settings sampled so far.
type tally struct {
	least, greatest extreme
	worst           engine.Sight // at the setting where its margin is least
	at              []float64    // that setting; nil before there is one
	far             engine.Bar   // of all settings: the greatest least, and the least greatest
	cut             bool         // there was more to search between the steps of ranges than its bounds allow
}

// look is the answers at one travel setting, by the places in what was asked.
type look struct {
	checks, measures []engine.Sight
	marks            [][]solver.Event
}

// pieces is into how many pieces the questions at one setting are divided, where there are fewer settings than that.
const pieces = 4

// batch is how many settings are sampled before their answers are joined. It bounds the memory for that.
const batch = 64

// survey samples every setting, dividing the work by setting and then by question. The result does not depend on the
// goroutines: it is joined in the order of the settings, with the one to be named first at the front.
func (m *Machine) survey(ctx context.Context, o Options, p *proofs, a engine.Asked) (*survey, error) {
	s := &survey{m: m, asked: a, proofs: p}
	if len(a.Checks)+len(a.Measures)+len(a.Marks) == 0 {
		return s, nil
	}
	s.settings, s.first = m.Looked()
	s.need = m.NeedsOf(a.Sums(m.Problem)...)
	s.checks, s.measures = tallies(len(a.Checks)), tallies(len(a.Measures))
	s.marks = make([][][]solver.Event, len(a.Marks))
	for i := range s.marks {
		s.marks[i] = make([][]solver.Event, len(s.settings))
	}
	order := s.order()
	for len(order) > 0 {
		n := min(batch, len(order))
		if err := s.together(ctx, o, order[:n]); err != nil {
			return nil, err
		}
		order = order[n:]
	}
	if err := s.between(ctx, o); err != nil {
		return nil, err
	}
	return s, s.meeting(ctx)
}

// order lists the settings with the one that is named first at the front, so that it is named among equal answers.
func (s *survey) order() []int { return engine.FirstAhead(len(s.settings), s.first) }

// together samples some settings and joins their answers.
func (s *survey) together(ctx context.Context, o Options, settings []int) error {
	looks := make([]*look, len(settings))
	for i := range looks {
		looks[i] = &look{make([]engine.Sight, len(s.asked.Checks)), make([]engine.Sight, len(s.asked.Measures)),
			make([][]solver.Event, len(s.asked.Marks))}
	}
	shares := 1
	if len(settings) < pieces {
		shares = pieces
	}
	err := Share(ctx, o.Counting("looks round the turn"), len(settings)*shares, func(i int) error {
		k, part := i/shares, i%shares
		r, err := s.runAt(ctx, s.settings[settings[k]])
		if err != nil {
			return err
		}
		return answers(r, ctx, looks[k], s.asked, part, shares)
	})
	if err != nil {
		return err
	}
	for k, l := range looks {
		at := s.settings[settings[k]]
		for i := range l.checks {
			s.checks[i].take(&l.checks[i], at)
		}
		for i := range l.measures {
			s.measures[i].take(&l.measures[i], at)
		}
		for i := range l.marks {
			s.marks[i][settings[k]] = l.marks[i]
		}
	}
	return nil
}

// mostShared is for how many settings runs are shared with the proofs, which keep them.
const mostShared = 64

// runAt returns the run at a setting.
func (s *survey) runAt(ctx context.Context, travel []float64) (*engine.Run, error) {
	if s.proofs != nil && len(s.settings) <= mostShared {
		return s.proofs.lookedAt(ctx, travel, s.need)
	}
	return s.m.RunFor(ctx, travel, s.need)
}

// answers answers every question whose number is part, counted modulo shares.
func answers(r *engine.Run, ctx context.Context, l *look, a engine.Asked, part, shares int) error {
	n := 0
	mine := func() bool { n++; return (n-1)%shares == part && ctx.Err() == nil }
	for k, i := range a.Checks {
		if mine() {
			l.checks[k] = r.CheckBeside(i, a.Bar(k))
		}
	}
	for k, i := range a.Measures {
		if mine() {
			l.measures[k] = r.Measure(i)
		}
	}
	for k, i := range a.Marks {
		if mine() {
			l.marks[k] = r.Happens(i)
		}
	}
	return ctx.Err()
}

// atAllSettings calls tell for every setting of the sketch's travels, in their order, with the number of the sampled
// setting that has the same answers: travels that affect nothing make no difference.
func (m *Machine) atAllSettings(settings [][]float64, tell func(travel []float64, i int)) {
	place := make(map[string]int, len(settings))
	for i, s := range settings {
		place[engine.SettingKey(s)] = i
	}
	for _, s := range engine.LookedSettings(m.Problem.Travels) {
		way := slices.Clone(s)
		for k := range way {
			if engine.Idle(&m.Travels[k]) {
				way[k] = m.Travels[k].Settings[0]
			}
		}
		i, ok := place[engine.SettingKey(way)]
		if !ok { // a step that is rest but for rounding
			i = slices.IndexFunc(settings, func(s []float64) bool { return engine.SameSetting(s, way) })
		}
		tell(s, i)
	}
}

// events lists every time that the mark at place k of what was asked happens, setting by setting.
func (s *survey) events(k int) (all []solver.Event) {
	s.m.atAllSettings(s.settings, func(travel []float64, i int) {
		for _, e := range s.marks[k][i] {
			e.At.Travel = travel
			all = append(all, e)
		}
	})
	return all
}
