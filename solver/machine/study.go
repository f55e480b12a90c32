package machine

import (
	"context"
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/linkage"
	"barover/solver/schedule"
	"barover/solver/tube"
)

// Options says how a study is made. The zero Options is the usual way.
type Options struct {
	Workers  int                  // goroutines; 0 for as many as there are cores. The answer does not depend on it
	Progress Progress             // called after each piece of the present stage, by one goroutine at a time; may be nil
	Levers   LeverWish            // the findings for which levers are computed
	Next     Next                 // the next size of a dimension that is available, for changes that are offered; may be nil
	Vary     Vary                 // tries out changes; nil where the turn and the travels do not depend on dimensions
	Checks   bool                 // answer the checks alone, without marks and measures: what a drawing shows
	Sampled  bool                 // prove nothing: sample every position
	Wear     float64              // how much larger every play is than written, mm
	Tight    bool                 // leave out what play does to keep lines, which are judged with tight pins
	Budget   int                  // how many boxes may be tried to enclose the motion at one setting; 0 for the usual
	Found    func(solver.Finding) // called with each finding as soon as it is proved, by several goroutines; may be nil
	Answered func(solver.Result)  // called with all answers before levers are computed; may be nil

	piece   string // the name of the pieces that Progress counts
	numbers int    // how many numbers tubes may hold together, for a test; 0 for the usual
}

// Progress reports that done of total pieces are finished, and what they are: "checks".
type Progress func(of string, done, total int)

// Counting returns the same Options, with progress counted in pieces of that name.
func (o Options) Counting(of string) Options {
	o.piece = of
	return o
}

// quietly returns the same Options without progress, for work that is not counted.
func (o Options) quietly() Options {
	o.Progress, o.Found, o.Answered = nil, nil, nil
	return o
}

// unworn returns the same Options without progress and without wear.
func (o Options) unworn() Options {
	o = o.quietly()
	o.Wear = 0
	return o
}

// Study answers every check, mark and measure of the Machine's Problem, or the checks alone if o.Checks is set. The error
// is from ctx.
func (m *Machine) Study(ctx context.Context, o Options) (*solver.Result, error) {
	res := &solver.Result{LeftOut: m.LeftOut()}
	all := engine.Everything(m.Problem)
	if o.Checks {
		all = engine.Asked{Checks: all.Checks}
	}
	var err error
	if res.Findings, res.Extremes, res.Events, err = m.answer(ctx, o, all); err != nil {
		return nil, err
	}
	if res.Broken, err = m.broken(ctx, o, !o.Checks && !o.Sampled); err != nil {
		return nil, err
	}
	blocks := slices.ContainsFunc(m.Linkage.Schedule().Steps, func(s schedule.Step) bool { return len(s.Scalars) > 0 })
	res.Followed = blocks && len(res.Broken) == 0 && !m.IsEnclosed(o)
	if !o.Checks {
		if res.Passes, err = m.ChangePoints(ctx, o); err != nil {
			return nil, err
		}
	}
	if res.Aside, res.RoundPin, err = m.aside(ctx, o); err != nil {
		return nil, err
	}
	if err = m.tighten(ctx, o, res); err != nil {
		return nil, err
	}
	if o.Answered != nil {
		early := *res
		early.Findings = slices.Clone(res.Findings)
		o.Answered(early)
	}
	return res, m.addLevers(ctx, res, o)
}

// answer answers what is asked: by proof where possible, otherwise by samples.
func (m *Machine) answer(ctx context.Context, o Options, a engine.Asked) (f []solver.Finding, e []solver.Extremes, v []solver.Event, err error) {
	var p *proofs
	if len(a.Checks)+len(a.Measures) > 0 {
		if p, err = m.enclosed(ctx, o); err != nil {
			return nil, nil, nil, err
		}
	}
	proofs, err := p.answer(ctx, o, m, a)
	if err != nil {
		return nil, nil, nil, err
	}
	s, err := m.survey(ctx, o, p, proofs.left(a))
	if err != nil {
		return nil, nil, nil, err
	}
	f, e = proofs.join(s, a)
	if err = m.played(ctx, o, f); err != nil {
		return nil, nil, nil, err
	}
	for k := range a.Marks {
		v = append(v, s.events(k)...)
	}
	return f, e, v, nil
}

// addLevers adds levers to the findings that need them.
func (m *Machine) addLevers(ctx context.Context, res *solver.Result, o Options) error {
	alone := o.quietly()
	alone.Workers = 1
	b := &bench{m, res, alone}
	var short []int
	for i := range res.Findings {
		if o.Levers == AllLevers || (o.Levers == ShortLevers && !res.Findings[i].OK) {
			short = append(short, i)
		}
	}
	return Share(ctx, o.Counting("mends sought"), len(short), func(i int) (err error) {
		f := &res.Findings[short[i]]
		f.Levers, err = m.levers(ctx, f, b)
		return err
	})
}

// Share does n pieces of work on several goroutines and stops at the first error.
func Share(ctx context.Context, o Options, n int, do func(int) error) error {
	workers := o.Workers
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	workers = min(workers, n)
	errs := make([]error, n)
	var next atomic.Int64
	var failed atomic.Bool
	var crew solver.Crew
	var tell sync.Mutex
	done := 0
	for range workers {
		crew.Go(func() {
			for i := int(next.Add(1)) - 1; i < n && !failed.Load(); i = int(next.Add(1)) - 1 {
				if errs[i] = do(i); errs[i] != nil {
					failed.Store(true)
				}
				if o.Progress != nil {
					tell.Lock()
					done++
					o.Progress(o.piece, done, n)
					tell.Unlock()
				}
			}
		})
	}
	crew.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return ctx.Err()
}

// broken lists every stretch that cannot be assembled, setting by setting: none where the whole motion is enclosed. If prove is
// set, it says where that is proved.
func (m *Machine) broken(ctx context.Context, o Options, prove bool) ([]linkage.Broken, error) {
	if m.IsEnclosed(o) {
		return nil, ctx.Err()
	}
	settings, _ := m.Looked()
	each := make([][]linkage.Broken, len(settings))
	err := Share(ctx, o.quietly(), len(settings), func(i int) error {
		mo, err := m.Motion(ctx, settings[i])
		if err == nil {
			if each[i] = mo.Broken(); prove {
				each[i] = m.absent(ctx, mo)
			}
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	var all []linkage.Broken
	m.atAllSettings(settings, func(travel []float64, i int) {
		for _, b := range each[i] {
			b.Travel = travel
			all = append(all, b)
		}
	})
	return all, nil
}

// IsEnclosed reports whether it is proved that the engine assembles at every turn and travel.
func (m *Machine) IsEnclosed(o Options) bool {
	m.enclosing.Lock()
	defer m.enclosing.Unlock()
	p := m.tubes[o.Budget]
	if p == nil || o.Sampled {
		return false
	}
	return !slices.ContainsFunc(p.tubes, func(t *tube.Tube) bool { return len(t.Gaps) > 0 })
}

// tighten finds the tight spots of every loose line.
func (m *Machine) tighten(ctx context.Context, o Options, res *solver.Result) error {
	var loose []int
	for i := range res.Findings {
		if m.Problem.Checks[res.Findings[i].Check].Kind == solver.Loose && !math.IsNaN(res.Findings[i].Least) {
			loose = append(loose, i)
		}
	}
	return Share(ctx, o.quietly(), len(loose), func(i int) error {
		f := &res.Findings[loose[i]]
		r, err := m.RunWith(ctx, f.At.Travel, nil, m.NeedsOf())
		if err != nil {
			return err
		}
		f.Tight = r.Tight(&m.Problem.Checks[f.Check])
		return ctx.Err()
	})
}
