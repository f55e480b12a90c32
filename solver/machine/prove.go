package machine

import (
	"context"
	"errors"
	"math"
	"slices"
	"sync"

	"barover/solver"
	"barover/solver/clearance"
	"barover/solver/engine"
	"barover/solver/expr"
	"barover/solver/spare"
	"barover/solver/tube"
)

// proofs is the basis of proved answers: the whole motion enclosed, in one tube for each product of separate settings. In
// a tube the ranges of travels are continuous.
type proofs struct {
	m        *Machine
	tubes    []*tube.Tube
	ask      tube.Ask                      // what the tubes enclose, except for the travels
	unproved []solver.Unproved             // where a tube claims nothing
	prover   *clearance.Prover             // all others are forks of it
	provers  spare.Pool[*clearance.Prover] // for one goroutine each
	stations spare.Pool[*engine.Station]   // likewise

	runs     spare.Once[string, *engine.Run]       // exact, at rest and at travels where something was found
	closeUps spare.Once[string, *clearance.Prover] // by travel setting; nil where there is none

	mu    sync.Mutex
	least map[[2]int]clearance.Answer // of pairs of profiles: two clear lines may share a pair
}

// proved is how near the two bounds of a proved figure must be, mm, and provedShare the same as a share of the sketch's
// size. The smaller of the two counts, so a watch is as accurate as a locomotive.
const (
	proved      = 0.001
	provedShare = 1e-5
)

// tolerance is how near the two bounds of a proved distance must be, mm.
func (m *Machine) tolerance() float64 { return math.Min(proved, provedShare*m.Size) }

// enclosed returns the enclosed motion, computed when first needed. It is nil where that is impossible, with the reason
// in whyNot: answers are then sampled.
func (m *Machine) enclosed(ctx context.Context, o Options) (*proofs, error) {
	if o.Sampled {
		return nil, nil
	}
	m.enclosing.Lock()
	defer m.enclosing.Unlock()
	if e, ok := m.tubes[o.Budget]; ok {
		return e, nil
	}
	e, err := m.enclose(ctx, o)
	if err != nil {
		return nil, err
	}
	if m.tubes == nil {
		m.tubes = make(map[int]*proofs)
	}
	m.tubes[o.Budget] = e
	return e, nil
}

func (m *Machine) enclose(ctx context.Context, o Options) (*proofs, error) {
	parts, points := engine.AskedAbout(m.Problem)
	plan, err := tube.NewPlanFor(m.Linkage.Schedule(), m.Values, parts, points)
	if err != nil {
		m.whyNot = solver.LooseLines
		if !plan.Loose() {
			m.whyNot = solver.RoughDrive
		}
		return nil, nil
	}
	settings := m.tubeSettings()
	p := newProofs(m)
	p.ask = m.asked(o)
	p.tubes, err = m.encloseAt(ctx, o, plan, p.ask, settings)
	if errors.Is(err, errNone) {
		m.whyNot = solver.TooManyRanges
		return nil, ctx.Err()
	}
	if err != nil {
		return nil, err
	}
	p.gaps(settings[len(p.tubes):])
	p.prover = clearance.New(p.tubes, m.tolerance())
	p.provers.New = p.prover.Fork
	return p, nil
}

// asked returns what tubes are to enclose, except for the travels.
func (m *Machine) asked(o Options) tube.Ask {
	t := m.Problem.Turn
	return tube.Ask{Turn: tube.Range{From: t.From, To: t.To}, Rest: engine.RestSetting(m.Problem.Travels), Reach: m.reach(),
		Size: m.Size, Tolerance: m.tolerance(), Boxes: o.Budget, Idle: !m.sumsTurn()}
}

// sumsTurn reports whether any sum depends on the turn itself.
func (m *Machine) sumsTurn() bool {
	return slices.ContainsFunc(m.Problem.Graph.Nodes, func(n expr.Node) bool {
		return n.Op == expr.Turn || n.Op == expr.Rate || n.Op.Whole()
	})
}

// encloseAt encloses the motion at some settings of the travels, or at the first of them if all would take too much. The
// error is errNone where the motion has no enclosure.
func (m *Machine) encloseAt(ctx context.Context, o Options, plan *tube.Plan, ask tube.Ask, settings [][]tube.Range) ([]*tube.Tube, error) {
	tubes := make([]*tube.Tube, len(settings))
	ask.Common = tube.NewCommon(plan, apart(settings))
	one := func(i int) error {
		ask := ask
		ask.Travel = settings[i]
		var no tube.Reason
		var err error
		tubes[i], err = tube.Enclose(ctx, plan, tube.Following(ctx, m.Linkage, ask.Turn, m.Motion), ask)
		if errors.As(err, &no) {
			return errNone
		}
		return err
	}
	err := one(0)
	if err == nil && len(plan.Sizes) > 0 && !tubes[0].Whole() {
		return tubes[:1], nil // no claim will be made, so the others are not needed
	}
	if err == nil { // what the others share with it is known before they begin
		ask.Common.Made(tubes[0])
	}
	for n, next := 1, maxTubes; n < len(tubes) && err == nil; n, next = next, next+moreTubes {
		next = min(next, len(tubes))
		if n >= maxTubes && kept(tubes[:n]) > o.mostNumbers() {
			return tubes[:n], nil
		}
		err = Share(ctx, o.quietly(), next-n, func(i int) error { return one(n + i) })
	}
	return tubes, err
}

// mostNumbers is how many numbers tubes may hold together before no more settings are enclosed.
func (o Options) mostNumbers() int {
	if o.numbers > 0 {
		return o.numbers
	}
	return mostNumbers
}

// kept returns how many numbers tubes hold together.
func kept(tubes []*tube.Tube) (n int) {
	for _, t := range tubes {
		n += t.Numbers()
	}
	return n
}

// newProofs returns empty proofs.
func newProofs(m *Machine) *proofs {
	p := &proofs{m: m, least: make(map[[2]int]clearance.Answer)}
	p.stations.New = m.NewStation
	return p
}

const (
	// maxTubes is how many products of separate settings are always enclosed. Each costs some milliseconds, and as much
	// memory as the motion itself.
	maxTubes = 256
	// mostNumbers is how many numbers, of eight bytes each, the tubes may hold together before no more settings are
	// enclosed. moreTubes is how many settings are enclosed between two counts. It counts work, not time, so that the
	// answer is the same on a slower machine.
	mostNumbers, moreTubes = 20_000_000, 64
)

// errNone ends the enclosing of a motion that has no enclosure.
var errNone = errors.New("no enclosure")

// tubeSettings returns the product of the separate settings, with each range as a range.
func (m *Machine) tubeSettings() [][]tube.Range {
	lists := make([]solver.Travel, len(m.Travels))
	for k, t := range m.Travels {
		lists[k] = t
		if t.Range {
			lists[k].Settings = nil
		}
	}
	settings, err := engine.SettingsOf(lists)
	if err != nil {
		return nil // at most as many as the settings themselves, which were counted
	}
	out := make([][]tube.Range, len(settings))
	for i, s := range settings {
		for k, v := range s {
			r := tube.Range{From: v, To: v}
			if t := m.Travels[k]; t.Range {
				r = tube.Range{From: t.From, To: t.To}
			}
			out[i] = append(out[i], r)
		}
	}
	return out
}

// apart is the set of travels in which settings differ, as expr.Graph.Travels gives it.
func apart(settings [][]tube.Range) (set uint64) {
	for _, s := range settings {
		for k := range s {
			if s[k] != settings[0][k] {
				set |= expr.TravelBit(k)
			}
		}
	}
	return set
}

// reach returns how far the outlines of each part reach from its origin, mm.
func (m *Machine) reach() []float64 {
	out := slices.Repeat([]float64{1}, len(m.Problem.Linkage.Parts))
	for i, p := range m.Problem.Profiles {
		r := m.Regions[i]
		out[p.Part] = math.Max(out[p.Part], r.Centre.Len()+r.Radius)
	}
	return out
}

// body returns a profile in the form that proofs need.
func (m *Machine) body(profile int) clearance.Body {
	return clearance.Body{Region: m.Regions[profile], Part: m.Problem.Profiles[profile].Part}
}

// exactly returns the run at a travel setting on which a proof's result is settled: for a sum, or for distances if there
// is none.
func (p *proofs) exactly(ctx context.Context, travel []float64, sum expr.ID) (*engine.Run, error) {
	if sum == expr.None || p.m.Problem.Graph.Uses(sum)&(expr.UsesHeading|expr.UsesWhole) == 0 {
		return p.runs.Get(engine.SettingKey(travel), func() (*engine.Run, error) {
			return p.m.Soonest(ctx, travel, engine.Needs{})
		})
	}
	return p.lookedAt(ctx, travel, p.m.NeedsOf(sum))
}

// leastOf returns the proved least distance of two profiles.
func (p *proofs) leastOf(ctx context.Context, pr *clearance.Prover, a, b int) clearance.Answer {
	key := [2]int{a, b}
	p.mu.Lock()
	ans, ok := p.least[key]
	p.mu.Unlock()
	if ok {
		return ans
	}
	if ans = pr.Least(ctx, p.m.body(a), p.m.body(b)); ctx.Err() == nil {
		p.mu.Lock()
		p.least[key] = ans
		p.mu.Unlock()
	}
	return ans
}
