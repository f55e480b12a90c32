package solver

import (
	"context"

	"barover/solver/expr"
)

// survey is what the whole turn shows at each travel setting looked at.
type survey struct {
	m        *Machine
	settings [][]float64
	first    int // the setting that is named where several are level: rest, or else the first
	looks    []*look
	need     needs
	rest     *run
}

// look is what the turn shows at one travel setting.
type look struct {
	checks   []sight
	marks    [][]Event
	measures []sight
}

// pieces is in how many pieces the questions at one setting are shared out, where there are fewer settings than that.
const pieces = 4

// survey looks at every setting, sharing the work by setting and then by question. Which goroutine does what does not
// change what is seen.
func (m *Machine) survey(ctx context.Context, o Options, a asked) (*survey, error) {
	s := &survey{m: m}
	if len(a.checks)+len(a.measures)+len(a.marks) == 0 {
		return s, nil
	}
	var restCounts bool
	s.settings, s.first, restCounts = m.looked()
	n := m.needsOf(a.sums(m.Problem)...)
	rest, err := m.runWith(ctx, restSetting(m.Problem.Travels), nil, needs{n.headings, make([]bool, len(n.whole))})
	if err != nil {
		return nil, err
	}
	s.need, s.rest = n, rest
	s.looks = make([]*look, len(s.settings))
	for i := range s.looks {
		s.looks[i] = m.newLook()
	}
	shares := 1
	if len(s.settings) < pieces {
		shares = pieces
	}
	err = share(ctx, o, len(s.settings)*shares, func(i int) error {
		setting, part := i/shares, i%shares
		before := rest
		if restCounts && setting == s.first {
			before = nil
		}
		r, err := m.runWith(ctx, s.settings[setting], before, n)
		if err != nil {
			return err
		}
		return r.look(ctx, s.looks[setting], a, part, shares)
	})
	if err != nil {
		return nil, err
	}
	return s, s.between(ctx, o, a)
}

func (m *Machine) newLook() *look {
	p := m.Problem
	return &look{checks: make([]sight, len(p.Checks)), marks: make([][]Event, len(p.Marks)),
		measures: make([]sight, len(p.Measures))}
}

// runAt looks at the motion at one travel setting, for every sum of the sketch.
func (m *Machine) runAt(ctx context.Context, travel []float64, rest *run) (*run, error) {
	return m.runWith(ctx, travel, rest, m.everySum())
}

func (m *Machine) runWith(ctx context.Context, travel []float64, rest *run, n needs) (*run, error) {
	mo, err := m.Motion(ctx, travel)
	if err != nil {
		return nil, err
	}
	return m.newRun(ctx, mo, travel, rest, n)
}

// sums is every sum that an answer to a takes.
func (a asked) sums(p *Problem) (out []expr.ID) {
	for _, i := range a.checks {
		c := &p.Checks[i]
		switch c.Kind {
		case Keep:
			out = append(out, c.Sum, c.AtLeast, c.AtMost)
		case Loose:
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
	for _, i := range a.checks {
		if mine() {
			l.checks[i] = r.check(i)
		}
	}
	for _, i := range a.measures {
		if mine() {
			l.measures[i] = r.measure(i)
		}
	}
	for _, i := range a.marks {
		if mine() {
			l.marks[i] = r.happens(i)
		}
	}
	return ctx.Err()
}

// looked is the settings that a study looks at, which of them is named first, and whether that is rest. Rest counts
// where it is one of the settings, or a value between the steps of ranges.
func (m *Machine) looked() (settings [][]float64, first int, isRest bool) {
	rest := restSetting(m.Problem.Travels)
	for i, s := range m.settings {
		if sameSetting(s, rest) {
			return m.settings, i, true
		}
	}
	for _, t := range m.Problem.Travels {
		if !t.Range && !oneOf(t.Settings, t.Rest) {
			return m.settings, 0, false
		}
	}
	return append([][]float64{rest}, m.settings...), 0, true
}

func oneOf(list []float64, v float64) bool {
	for _, x := range list {
		if sameSetting([]float64{x}, []float64{v}) {
			return true
		}
	}
	return false
}
