// Package machine answers a solver.Problem: it puts numbers in, assembles the engine, and says what fouls, where and by how
// much.
//
// The way of the data: machine (numbers in, outlines made), station and run (the engine at a position, and round the turn),
// curve and line_search (a figure over the turn), pairs and sums (the figures), survey (all of them, by looking), prove and
// exact (all of them, by enclosure), gradient and levers (what each dimension does), study (the whole answer).
//
// It knows no word of the language and draws nothing. Safe to change by a newcomer: what is told beside the checks
// (quarters, neighbours, lacking). With care: prove, proved and fill_unproved, where "proved" is earned; a wrong "holds"
// begins there.
package machine

import (
	"context"
	"encoding/binary"
	"errors"
	"math"
	"sync"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/outline"
)

// Machine is a Problem with numbers put in: the linkage assembled at the start of the turn, the outline and the band of
// every profile. It is not changed after New, so that many goroutines may share it.
type Machine struct {
	Problem *solver.Problem
	Values  *expr.Values
	Linkage *linkage.Linkage
	Regions []*outline.Region // outline of each profile, in its part's axes
	Bands   []Band            // across, of each profile

	settings [][]float64
	travels  []solver.Travel // as a study looks at them; see studied
	size     float64         // of the sketch, mm: what counts as little and as much

	mu       sync.Mutex
	motions  map[string]*linkage.Motion
	looks    map[string]*lookedOnce
	kept     int                  // points of all positions in looks
	fromRest map[string][]float64 // by travel setting, headings carried there from rest

	watching sync.Once
	watch    []int // see watched

	enclosing sync.Mutex
	whyNot    solver.Why      // nothing is enclosed
	tubes     map[int]*proofs // by the budget
}

// Band is what a profile takes up across the engine, from the datum outward, and by how much its part may shift either way.
type Band struct {
	From, To float64 // mm
	Play     float64 // mm
}

// maxMotions is how many motions a Machine keeps at hand.
const maxMotions = 256

// New puts the dimensions v into p. The error is linkage.Faults where the sketch cannot be solved with them.
func New(p *solver.Problem, v *expr.Values) (*Machine, error) {
	return newMachine(p, v, nil, func() (*linkage.Linkage, error) { return assemble(p, v) })
}

// With is the same Machine with other dimensions, assembled the same way as this one is.
func (m *Machine) With(v *expr.Values) (*Machine, error) {
	return newMachine(m.Problem, v, m, func() (*linkage.Linkage, error) { return m.Linkage.With(v) })
}

// Again is what New makes of the Machine's Problem with other dimensions, sooner: what these have nothing to do with is
// taken over, and the linkage is assembled as linkage.Linkage.Again does. The turn and the travels must stay what they are.
func (m *Machine) Again(v *expr.Values) (*Machine, error) {
	return newMachine(m.Problem, v, m, func() (*linkage.Linkage, error) { return m.Linkage.Again(v) })
}

func assemble(p *solver.Problem, v *expr.Values) (*linkage.Linkage, error) {
	t := p.Turn
	if !(t.To > t.From) || !(t.Step > 0) || math.IsInf(t.To-t.From, 0) {
		return nil, linkage.Faults{{Kind: linkage.BadValue, Stmt: t.Stmt,
			Msg: "the turn must go from a lesser angle to a greater by a step above 0"}}
	}
	return linkage.New(p.Linkage, v, t.From, restSetting(p.Travels))
}

// newMachine makes a Machine, the outlines while the linkage is assembled: neither needs the other. What is the same with the
// dimensions of like, which may be nil, is taken from it.
func newMachine(p *solver.Problem, v *expr.Values, like *Machine, assembled func() (*linkage.Linkage, error)) (*Machine, error) {
	m := &Machine{Problem: p, Values: v, motions: make(map[string]*linkage.Motion)}
	var laid error
	var crew solver.Crew
	crew.Go(func() { laid = m.layOut(like) })
	var err error
	m.Linkage, err = assembled()
	crew.Wait()
	if err != nil {
		return nil, err
	}
	if m.settings, err = settingsOf(p.Travels); err != nil {
		return nil, err
	}
	if laid != nil {
		return nil, laid
	}
	m.travels = studied(p)
	m.size = m.measureUp()
	return m, nil
}

// layOut makes the outline and the band of every profile; every fault of them is told at once.
func (m *Machine) layOut(like *Machine) error {
	var faults linkage.Faults
	for i := range m.Problem.Profiles {
		p := &m.Problem.Profiles[i]
		r, err := m.outlineOf(i, like)
		if err != nil {
			faults = append(faults, faultOf(err, p)...)
		}
		m.Regions = append(m.Regions, r)
		b := Band{From: m.Values.At(p.From), To: m.Values.At(p.To)}
		if p.Part < len(m.Problem.Sideplay) {
			if id := m.Problem.Sideplay[p.Part]; id != expr.None {
				b.Play = m.Values.At(id)
			}
		}
		if !(b.To >= b.From) || !(b.Play >= 0) || math.IsInf(b.To-b.From+b.Play, 0) {
			faults = append(faults, &linkage.Fault{Kind: linkage.BadValue, Stmt: p.Stmt,
				Msg: p.Name + " has no band across: it must go from a lesser to a greater figure, with sideplay not below 0"})
		}
		m.Bands = append(m.Bands, b)
	}
	if faults = append(faults, m.limitFaults()...); len(faults) > 0 {
		return faults
	}
	return nil
}

// outlineOf is the outline of a profile: that of another Machine where all that it is made of has the same values there.
func (m *Machine) outlineOf(i int, like *Machine) (*outline.Region, error) {
	p := &m.Problem.Profiles[i]
	changed := func(ids ...expr.ID) bool {
		for _, id := range ids {
			if id != expr.None && m.Values.At(id) != like.Values.At(id) {
				return true
			}
		}
		return false
	}
	if like != nil && !solver.ShapesTouched(p.Shapes, changed) {
		return like.Regions[i], nil
	}
	return outline.Build(p.Shapes, m.Values)
}

// limitFaults finds limits that have no value with these dimensions: they must not pass for no limit.
func (m *Machine) limitFaults() (faults linkage.Faults) {
	for i := range m.Problem.Checks {
		c := &m.Problem.Checks[i]
		for _, id := range [2]expr.ID{c.AtLeast, c.AtMost} {
			if id == expr.None || (c.Kind == solver.Keep && m.moves(id)) {
				continue
			}
			if v := m.Values.At(id); math.IsNaN(v) || math.IsInf(v, 0) {
				faults = append(faults, &linkage.Fault{Kind: linkage.BadValue, Stmt: c.Stmt, Msg: "what is asked has no value"})
			}
		}
	}
	return faults
}

// faultOf makes the trouble with a profile's outline a fault with its statement.
func faultOf(err error, p *solver.Profile) linkage.Faults {
	f := &linkage.Fault{Kind: linkage.BadValue, Stmt: p.Stmt, Msg: p.Name + ": " + err.Error()}
	if e := (*outline.Fault)(nil); errors.As(err, &e) {
		f.Stmt, f.Also = e.Stmt, []int{p.Stmt}
	}
	return linkage.Faults{f}
}

// measureUp is the diagonal of the box round all points at the start of the turn, mm; where all are in one place, the greatest
// outline across, or 1.
func (m *Machine) measureUp() float64 {
	s := m.newStation()
	mo, err := m.follow(context.Background(), restSetting(m.Problem.Travels), m.Problem.Turn.From, m.Problem.Turn.From+1e-3)
	if err != nil || mo.At(m.Problem.Turn.From, &s.pose) > linkage.DeadCentre || len(s.pose.Point) == 0 {
		return m.widestOutline()
	}
	lo, hi := s.pose.Point[0], s.pose.Point[0]
	for _, p := range s.pose.Point {
		lo.X, lo.Y = math.Min(lo.X, p.X), math.Min(lo.Y, p.Y)
		hi.X, hi.Y = math.Max(hi.X, p.X), math.Max(hi.Y, p.Y)
	}
	if d := hi.Sub(lo).Len(); d > 1e-3 && !math.IsInf(d, 0) {
		return d
	}
	return m.widestOutline()
}

// widestOutline is the greatest outline across, mm; 1 where there is none.
func (m *Machine) widestOutline() float64 {
	most := 0.0
	for _, r := range m.Regions {
		most = math.Max(most, 2*r.Radius)
	}
	if !(most > 1e-3) {
		return 1
	}
	return most
}

func (m *Machine) follow(ctx context.Context, travel []float64, from, to float64) (*linkage.Motion, error) {
	t := m.Problem.Turn
	step := math.Max(math.Min(t.Step, coarsest), (t.To-t.From)/mostLookedAt)
	return m.Linkage.Follow(ctx, travel, from, to, step)
}

// Settings is every travel setting that a table or a drawing shows: the product of the lists, and of the steps of the
// ranges. The first travel goes slowest. It is not to be changed.
func (m *Machine) Settings() [][]float64 { return m.settings }

// Motion is the motion over the whole turn at one travel setting. It is kept, and shared by all who ask for it.
func (m *Machine) Motion(ctx context.Context, travel []float64) (*linkage.Motion, error) {
	key := settingKey(travel)
	m.mu.Lock()
	mo := m.motions[key]
	m.mu.Unlock()
	if mo != nil {
		return mo, nil
	}
	mo, err := m.follow(ctx, travel, m.Problem.Turn.From, m.Problem.Turn.To)
	if err != nil {
		return nil, err
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if len(m.motions) >= maxMotions {
		clear(m.motions)
	}
	m.motions[key] = mo
	return mo, nil
}

// settingKey tells travel settings apart, bit by bit.
func settingKey(travel []float64) string {
	key := make([]byte, 0, 8*len(travel))
	for _, v := range travel {
		key = binary.LittleEndian.AppendUint64(key, math.Float64bits(v))
	}
	return string(key)
}

// Pose is where everything stands at one position.
func (m *Machine) Pose(ctx context.Context, turn float64, travel []float64) (*linkage.Pose, linkage.Status, error) {
	mo, err := m.Motion(ctx, travel)
	if err != nil {
		return nil, linkage.NoAssembly, err
	}
	s := m.newStation()
	status := mo.At(turn, &s.pose)
	return &s.pose, status, nil
}
