package solver

import (
	"context"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"barover/solver/expr"
	"barover/solver/linkage"
)

// Options says how a study is to be made. The zero Options is the normal way.
type Options struct {
	Workers  int                   // goroutines; 0 for as many as there are cores. The answer does not depend on it
	Progress func(done, total int) // told after each piece of the work, from any goroutine, one at a time; may be nil
	Levers   LeverWish             // for which findings to tell what each dimension does to them
	Vary     Vary                  // how changes are tried out; nil where the turn and the travels do not follow from dimensions
	Checks   bool                  // answer the checks alone, without marks and measures: what a drawing shows
	Sampled  bool                  // prove nothing: look position by position
	Budget   int                   // how many boxes may be tried to enclose the motion at one setting; 0 for the usual
}

// quietly is the same without progress, for work that is not counted.
func (o Options) quietly() Options {
	o.Progress = nil
	return o
}

// Study answers every check, mark and measure of p with the dimensions v. The error is linkage.Faults where the sketch
// cannot be solved, or that of ctx.
func Study(ctx context.Context, p *Problem, v *expr.Values, o Options) (*Result, error) {
	m, err := NewMachine(p, v)
	if err != nil {
		return nil, err
	}
	return m.Study(ctx, o)
}

// Study answers every check, mark and measure of the Machine's Problem, or the checks alone if o says so.
func (m *Machine) Study(ctx context.Context, o Options) (*Result, error) {
	res := &Result{LeftOut: m.leftOut()}
	all := m.everything()
	if o.Checks {
		all = asked{checks: all.checks}
	}
	var err error
	if res.Findings, res.Extremes, res.Events, err = m.answer(ctx, o, all); err != nil {
		return nil, err
	}
	if res.Broken, err = m.broken(ctx, o); err != nil {
		return nil, err
	}
	return res, m.addLevers(ctx, res, o)
}

// answer answers what is asked: proved where that can be done, and where it cannot, by looking position by position.
func (m *Machine) answer(ctx context.Context, o Options, a asked) (f []Finding, e []Extremes, v []Event, err error) {
	var p *proofs
	if len(a.checks)+len(a.measures) > 0 {
		if p, err = m.enclosed(ctx, o); err != nil {
			return nil, nil, nil, err
		}
	}
	proofs, err := p.answer(ctx, o, m, a)
	if err != nil {
		return nil, nil, nil, err
	}
	s, err := m.survey(ctx, o, proofs.left(a))
	if err != nil {
		return nil, nil, nil, err
	}
	for k, i := range a.checks {
		f = append(f, s.finding(i, proofs.findings[k]))
	}
	for k, i := range a.measures {
		e = append(e, s.extremes(i, proofs.extremes[k]))
	}
	for _, i := range a.marks {
		v = append(v, s.events(i)...)
	}
	return f, e, v, nil
}

// addLevers adds what the dimensions do to the findings for which that is wanted.
func (m *Machine) addLevers(ctx context.Context, res *Result, o Options) error {
	alone := o.quietly()
	alone.Workers = 1
	b := &bench{
		change: func(dim int, v float64) (*Machine, error) { return m.With(m.with(dim, v)) },
		answer: func(ctx context.Context, n *Machine, check int) (Finding, error) {
			f, _, _, err := n.answer(ctx, alone, asked{checks: []int{check}})
			if err != nil {
				return Finding{}, err
			}
			return f[0], nil
		},
		fall: func(ctx context.Context, n *Machine, checks []int) ([]int, error) { return n.Fall(ctx, alone, checks) },
		all:  res, turn: m.Problem.Turn, travels: m.Problem.Travels,
	}
	if o.Vary != nil {
		b.change = func(dim int, v float64) (*Machine, error) { return o.Vary.Machine(map[int]float64{dim: v}) }
	}
	var short []int
	for i := range res.Findings {
		if o.Levers == AllLevers || (o.Levers == ShortLevers && !res.Findings[i].OK) {
			short = append(short, i)
		}
	}
	return share(ctx, o, len(short), func(i int) (err error) {
		f := &res.Findings[short[i]]
		f.Levers, err = m.levers(ctx, f, b)
		return err
	})
}

// asked is what a survey is to look at: checks, measures and marks by number.
type asked struct{ checks, measures, marks []int }

func (m *Machine) everything() asked {
	upTo := func(n int) (out []int) {
		for i := range n {
			out = append(out, i)
		}
		return out
	}
	return asked{upTo(len(m.Problem.Checks)), upTo(len(m.Problem.Measures)), upTo(len(m.Problem.Marks))}
}

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

// share does n pieces of work on several goroutines and stops at the first error.
func share(ctx context.Context, o Options, n int, do func(int) error) error {
	workers := o.Workers
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	workers = min(workers, n)
	errs := make([]error, n)
	var next atomic.Int64
	var failed atomic.Bool
	var wait sync.WaitGroup
	var tell sync.Mutex
	done := 0
	for range workers {
		wait.Go(func() {
			for i := int(next.Add(1)) - 1; i < n && !failed.Load(); i = int(next.Add(1)) - 1 {
				if errs[i] = do(i); errs[i] != nil {
					failed.Store(true)
				}
				if o.Progress != nil {
					tell.Lock()
					done++
					o.Progress(done, n)
					tell.Unlock()
				}
			}
		})
	}
	wait.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return ctx.Err()
}

// broken is every stretch that cannot be assembled, setting by setting.
func (m *Machine) broken(ctx context.Context, o Options) ([]linkage.Broken, error) {
	settings, _, _ := m.looked()
	each := make([][]linkage.Broken, len(settings))
	err := share(ctx, o.quietly(), len(settings), func(i int) error {
		mo, err := m.Motion(ctx, settings[i])
		if err == nil {
			each[i] = mo.Broken()
		}
		return err
	})
	return slices.Concat(each...), err
}
