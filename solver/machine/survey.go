package machine

import (
	"context"
	"slices"

	"barover/solver"
	"barover/solver/expr"
)

// survey is what the whole turn shows at all the travel settings looked at, by the places in what was asked.
type survey struct {
	m        *Machine
	proofs   *proofs // of which runs are taken over; nil where there are none
	asked    asked
	settings [][]float64
	first    int // the setting that is named where several are level: rest, or else the first
	need     needs
	rest     *run
	checks   []tally
	measures []tally
	marks    [][][]solver.Event // by mark and setting
}

// tally is what one question comes to over the settings looked at so far.
type tally struct {
	least, greatest extreme
	worst           sight     // at the setting where it holds by least
	at              []float64 // that setting; nil before there is one
	far             Bar       // of all settings: the greatest least, and the least greatest
	seen            []sightAt // at every setting, where there are ranges between whose steps more is to be looked at
}

// sightAt is what a question comes to at one setting.
type sightAt struct {
	at []float64
	sight
}

// look is what the turn shows at one travel setting, by the places in what was asked.
type look struct {
	checks, measures []sight
	marks            [][]solver.Event
}

// pieces is in how many pieces the questions at one setting are shared out, where there are fewer settings than that.
const pieces = 4

// batch is how many settings are looked at before what they show is put together. It bounds the memory that takes.
const batch = 64

// survey looks at every setting, sharing the work by setting and then by question. Which goroutine does what does not
// change what is seen: it is put together in the order of the settings, the one to be named first at the head.
func (m *Machine) survey(ctx context.Context, o Options, p *proofs, a asked) (*survey, error) {
	s := &survey{m: m, asked: a, proofs: p}
	if len(a.checks)+len(a.measures)+len(a.marks) == 0 {
		return s, nil
	}
	var isRest bool
	s.settings, s.first, isRest = m.looked()
	s.need = m.needsOf(a.sums(m.Problem)...)
	var err error
	if s.rest, err = m.runWith(ctx, restSetting(m.Problem.Travels), nil, s.need.bare()); err != nil {
		return nil, err
	}
	s.checks, s.measures = tallies(len(a.checks)), tallies(len(a.measures))
	s.marks = make([][][]solver.Event, len(a.marks))
	for i := range s.marks {
		s.marks[i] = make([][]solver.Event, len(s.settings))
	}
	order := s.order()
	for len(order) > 0 {
		n := min(batch, len(order))
		if err := s.together(ctx, o, order[:n], isRest); err != nil {
			return nil, err
		}
		order = order[n:]
	}
	return s, s.between(ctx, o)
}

// order lists the settings with the one that is named first at the head, so that of level answers that one is named.
func (s *survey) order() []int { return firstAhead(len(s.settings), s.first) }

// firstAhead counts to n with first at the head.
func firstAhead(n, first int) []int {
	out := []int{first}
	for i := range n {
		if i != first {
			out = append(out, i)
		}
	}
	return out
}

// together looks at some settings and puts together what they show.
func (s *survey) together(ctx context.Context, o Options, settings []int, isRest bool) error {
	looks := make([]*look, len(settings))
	for i := range looks {
		looks[i] = &look{make([]sight, len(s.asked.checks)), make([]sight, len(s.asked.measures)),
			make([][]solver.Event, len(s.asked.marks))}
	}
	shares := 1
	if len(settings) < pieces {
		shares = pieces
	}
	err := Share(ctx, o.Counting("looks round the turn"), len(settings)*shares, func(i int) error {
		k, part := i/shares, i%shares
		r, err := s.runAt(ctx, settings[k], isRest)
		if err != nil {
			return err
		}
		return r.look(ctx, looks[k], s.asked, part, shares)
	})
	if err != nil {
		return err
	}
	for k, l := range looks {
		at := s.settings[settings[k]]
		for i := range l.checks {
			s.checks[i].takeStep(&l.checks[i], at, s.m.ranged())
		}
		for i := range l.measures {
			s.measures[i].takeStep(&l.measures[i], at, s.m.ranged())
		}
		for i := range l.marks {
			s.marks[i][settings[k]] = l.marks[i]
		}
	}
	return nil
}

// mostShared is at how many settings runs are shared with the proofs, which keep them.
const mostShared = 64

// runAt is the run at a setting, by its number.
func (s *survey) runAt(ctx context.Context, setting int, isRest bool) (*run, error) {
	travel := s.settings[setting]
	switch {
	case s.proofs != nil && len(s.settings) <= mostShared:
		return s.proofs.lookedAt(ctx, travel, s.need)
	case isRest && setting == s.first:
		return s.m.runWith(ctx, travel, nil, s.need)
	}
	return s.m.runWith(ctx, travel, s.rest, s.need)
}

// runAt looks at the motion at one travel setting, for every sum of the sketch.
func (m *Machine) runAt(ctx context.Context, travel []float64, rest *run) (*run, error) {
	return m.runWith(ctx, travel, rest, m.everySum())
}

// soonest is a run at rest for sums that need n: one that has not looked round the turn if they need nothing that shows there.
func (m *Machine) soonest(ctx context.Context, rest []float64, n needs) (*run, error) {
	if n.headings || slices.Contains(n.whole, true) {
		return m.runWith(ctx, rest, nil, n)
	}
	mo, err := m.Motion(ctx, rest)
	if err != nil {
		return nil, err
	}
	return m.bareRun(mo, rest), nil
}

func (m *Machine) runWith(ctx context.Context, travel []float64, rest *run, n needs) (*run, error) {
	mo, err := m.Motion(ctx, travel)
	if err != nil {
		return nil, err
	}
	r := m.bareRun(mo, travel)
	m.lookOnce(r)
	return r.ready(ctx, rest, n)
}

// sums is every sum that an answer to a takes.
func (a asked) sums(p *solver.Problem) (out []expr.ID) {
	for _, i := range a.checks {
		c := &p.Checks[i]
		switch c.Kind {
		case solver.Keep:
			out = append(out, c.Sum, c.AtLeast, c.AtMost)
		case solver.Loose:
			out = append(out, p.Linkage.Equations[c.Equation].V)
		}
	}
	for _, i := range a.measures {
		out = append(out, p.Measures[i].Sum)
	}
	for _, i := range a.marks {
		out = append(out, p.Marks[i].Sum, p.Marks[i].Past)
		for _, k := range p.Marks[i].Shows {
			out = append(out, p.Measures[k].Sum)
		}
	}
	return out
}

// look looks at every question whose number is part, counted modulo shares.
func (r *run) look(ctx context.Context, l *look, a asked, part, shares int) error {
	n := 0
	mine := func() bool { n++; return (n-1)%shares == part && ctx.Err() == nil }
	for k, i := range a.checks {
		if mine() {
			l.checks[k] = r.checkBeside(i, a.bar(k))
		}
	}
	for k, i := range a.measures {
		if mine() {
			l.measures[k] = r.measure(i)
		}
	}
	for k, i := range a.marks {
		if mine() {
			l.marks[k] = r.happens(i)
		}
	}
	return ctx.Err()
}

// looked is the settings that a study looks at, which of them is named first, and whether that is rest.
func (m *Machine) looked() (settings [][]float64, first int, isRest bool) { return lookedAt(m.travels) }

func lookedAt(travels []solver.Travel) (settings [][]float64, first int, isRest bool) {
	settings = lookedSettings(travels)
	rest := restSetting(travels)
	for i, s := range settings {
		if sameSetting(s, rest) {
			return settings, i, true
		}
	}
	return settings, 0, false
}

// lookedSettings is every setting of travels. A range at rest counts where that is a value between its steps, too.
func lookedSettings(travels []solver.Travel) [][]float64 {
	settings, err := settingsOf(travels)
	if err != nil { // there are no more of them than of the Machine's, which could be made
		return [][]float64{restSetting(travels)}
	}
	for _, t := range travels {
		if t.Range && !oneOf(t.Settings, t.Rest) {
			return append(listSettings(travels), settings...)
		}
	}
	return settings
}

// atAllSettings reports every setting of the sketch's travels, in their order, as which of these of the looked-at settings it
// comes out: the travels that nothing follows make no difference.
func (m *Machine) atAllSettings(settings [][]float64, tell func(travel []float64, i int)) {
	place := make(map[string]int, len(settings))
	for i, s := range settings {
		place[settingKey(s)] = i
	}
	for _, s := range lookedSettings(m.Problem.Travels) {
		way := slices.Clone(s)
		for k := range way {
			if idle(&m.travels[k]) {
				way[k] = m.travels[k].Settings[0]
			}
		}
		i, ok := place[settingKey(way)]
		if !ok { // a step that is rest except for rounding
			i = slices.IndexFunc(settings, func(s []float64) bool { return sameSetting(s, way) })
		}
		tell(s, i)
	}
}

func oneOf(list []float64, v float64) bool {
	for _, x := range list {
		if sameSetting([]float64{x}, []float64{v}) {
			return true
		}
	}
	return false
}
