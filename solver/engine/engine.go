// Package engine puts numbers into a solver.Problem, and computes its figures at one travel setting, at any turn or over
// the whole turn. It samples the turn closely.
//
// The way of the data: engine (numbers in, outlines made), station (the engine at a position), run (the turn at one
// setting), curve, extremes and passings (a figure over the turn), pairs, sums and gap (the figures), limits
// (a figure against its limits), marks, places and headings (found along the turn), gradient and kinks (the derivative of
// a figure by each dimension), table and columns (the tables).
//
// What it finds is sampled, not proved: package machine proves. It knows no word of the language and draws nothing. A
// newcomer may safely change lacking, columns and table. Take care with curve and extremes: levers and verdicts
// depend on them.
package engine

import (
	"context"
	"encoding/binary"
	"errors"
	"maps"
	"math"
	"slices"
	"sync"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/outline"
	"barover/solver/spare"
)

// Engine is a Problem with numbers put in: the linkage assembled at the start of the turn, and the outline and the band
// of every profile. It does not change after New, so many goroutines may share it.
type Engine struct {
	Problem *solver.Problem
	Values  *expr.Values
	Linkage *linkage.Linkage
	Regions []*outline.Region // outline of each profile, in its part's axes
	Bands   []Band            // across, of each profile

	settings [][]float64
	Travels  []solver.Travel // the travels as a study samples them; see studied
	Size     float64         // of the sketch, mm: the scale for small and large

	mu      sync.Mutex
	motions map[string]*linkage.Motion
	looks   map[string]*lookedOnce
	kept    int             // points of all positions in looks
	runs    map[string]*Run // by travel setting, the one that has found most

	metAt    spare.Once[expr.ID, Met] // by heading, see Meets
	watching sync.Once
	watch    []int // see watched
}

// Band is the space that a profile takes up across the engine, measured from the datum, and how far its part may shift
// either way.
type Band struct {
	From, To float64 // mm
	Play     float64 // mm
}

// maxMotions is how many motions an Engine keeps.
const maxMotions = 256

// New puts the dimensions v into p. The error is linkage.Faults where the sketch cannot be solved with them.
func New(p *solver.Problem, v *expr.Values) (*Engine, error) {
	return putIn(p, v, nil, func() (*linkage.Linkage, error) { return assemble(p, v) })
}

// With returns the same Engine with other dimensions, assembled in the same way.
func (m *Engine) With(v *expr.Values) (*Engine, error) {
	return putIn(m.Problem, v, m, func() (*linkage.Linkage, error) { return m.Linkage.With(v) })
}

// Again returns what New makes of the Engine's Problem with other dimensions, but faster: it keeps what does not depend
// on them, and assembles the linkage as linkage.Linkage.Again does. The turn and the travels must stay the same.
func (m *Engine) Again(v *expr.Values) (*Engine, error) {
	return putIn(m.Problem, v, m, func() (*linkage.Linkage, error) { return m.Linkage.Again(v) })
}

// Anew is New, faster: it keeps the outlines that are the same in m, an Engine of the same sketch with the same turn and travels, and
// assembles as linkage.Linkage.Again does.
func (m *Engine) Anew(p *solver.Problem, v *expr.Values) (*Engine, error) {
	return putIn(p, v, m, func() (*linkage.Linkage, error) { return m.Linkage.Again(v) })
}

// Redrawn returns the same Engine with other values of dimensions that move no part (see Problem.Moves). Outlines, bands
// and limits may change with them. The parts move as before, so the motions and the sampled positions are kept.
func (m *Engine) Redrawn(v *expr.Values) (*Engine, error) {
	n := &Engine{Problem: m.Problem, Values: v, Linkage: m.Linkage, settings: m.settings, Travels: m.Travels, Size: m.Size}
	if err := n.layOut(m); err != nil {
		return nil, err
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	n.motions, n.looks, n.kept = maps.Clone(m.motions), maps.Clone(m.looks), m.kept
	return n, nil
}

// About returns the Engine of solver.Problem.About, assembled as this one is.
func (m *Engine) About(checks []int) (*Engine, error) {
	return putIn(m.Problem.About(checks), m.Values, nil, func() (*linkage.Linkage, error) { return m.Linkage, nil })
}

func assemble(p *solver.Problem, v *expr.Values) (*linkage.Linkage, error) {
	t := p.Turn
	if !(t.To > t.From) || !(t.Step > 0) || math.IsInf(t.To-t.From, 0) {
		return nil, linkage.Faults{{Kind: linkage.BadValue, Stmt: t.Stmt,
			Msg: "the turn must go from a lesser angle to a greater by a step above 0"}}
	}
	return linkage.New(p.Linkage, v, t.From, t.To, RestSetting(p.Travels))
}

// putIn makes an Engine. It makes the outlines while the linkage is assembled, since neither needs the other. It takes
// from like, which may be nil, what is the same with these dimensions.
func putIn(p *solver.Problem, v *expr.Values, like *Engine, assembled func() (*linkage.Linkage, error)) (*Engine, error) {
	m := &Engine{Problem: p, Values: v, motions: make(map[string]*linkage.Motion)}
	var laid error
	var crew solver.Crew
	crew.Go(func() { laid = m.layOut(like) })
	var err error
	m.Linkage, err = assembled()
	crew.Wait()
	if err != nil {
		return nil, err
	}
	if m.settings, err = SettingsOf(p.Travels); err != nil {
		return nil, err
	}
	if laid != nil {
		return nil, laid
	}
	m.Travels = studied(p)
	m.Size = m.measureUp()
	return m, nil
}

// layOut makes the outline and the band of every profile. It reports every fault of them at once.
func (m *Engine) layOut(like *Engine) error {
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
				Msg:  p.Name + " has no band across: it must go from a lesser to a greater figure, with sideplay not below 0",
				Help: "write the lesser figure first, and a sideplay of 0 or more"})
		}
		m.Bands = append(m.Bands, b)
	}
	if faults = append(faults, m.limitFaults()...); len(faults) > 0 {
		return faults
	}
	return nil
}

// outlineOf returns the outline of a profile. It takes the outline of like where all the sums of that profile have the
// same values there.
func (m *Engine) outlineOf(i int, like *Engine) (*outline.Region, error) {
	p := &m.Problem.Profiles[i]
	changed := func(ids ...expr.ID) bool {
		return slices.ContainsFunc(ids, func(id expr.ID) bool { return id != expr.None && m.Values.At(id) != like.Values.At(id) })
	}
	if like != nil && !solver.ShapesTouched(p.Shapes, changed) {
		return like.Regions[i], nil
	}
	return outline.Build(p.Shapes, m.Values)
}

// limitFaults finds limits that have no value with these dimensions: they must not count as no limit.
func (m *Engine) limitFaults() (faults linkage.Faults) {
	for i := range m.Problem.Checks {
		c := &m.Problem.Checks[i]
		for _, id := range [2]expr.ID{c.AtLeast, c.AtMost} {
			if id == expr.None || (c.Kind == solver.Keep && m.Moves(id)) {
				continue
			}
			if v := m.Values.At(id); math.IsNaN(v) || math.IsInf(v, 0) {
				faults = append(faults, &linkage.Fault{Kind: linkage.BadValue, Stmt: c.Stmt, Msg: "what is asked has no value", Help: "write a sum that has a value with these dimensions"})
			}
		}
	}
	return faults
}

// faultOf makes an error in a profile's outline a fault with its statement.
func faultOf(err error, p *solver.Profile) linkage.Faults {
	f := &linkage.Fault{Kind: linkage.BadValue, Stmt: p.Stmt, Msg: p.Name + ": " + err.Error(), Help: "write shapes with an extent, and fewer or plainer ones where there are too many"}
	if e := (*outline.Fault)(nil); errors.As(err, &e) {
		f.Stmt, f.Also = e.Stmt, []int{p.Stmt}
	}
	return linkage.Faults{f}
}

// measureUp returns the diagonal of the box round all points at the start of the turn, mm. Where all are in one place it
// returns the greatest width of an outline, or 1.
func (m *Engine) measureUp() float64 {
	s := m.NewStation()
	mo, err := m.follow(context.Background(), RestSetting(m.Problem.Travels), m.Problem.Turn.From, m.Problem.Turn.From+1e-3)
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

// widestOutline returns the greatest width of an outline, mm; 1 where there is none.
func (m *Engine) widestOutline() float64 {
	most := 0.0
	for _, r := range m.Regions {
		most = math.Max(most, 2*r.Radius)
	}
	if !(most > 1e-3) {
		return 1
	}
	return most
}

func (m *Engine) follow(ctx context.Context, travel []float64, from, to float64) (*linkage.Motion, error) {
	t := m.Problem.Turn
	step := math.Max(math.Min(t.Step, Coarsest), (t.To-t.From)/mostLookedAt)
	return m.Linkage.Follow(ctx, travel, from, to, step)
}

// Settings lists every travel setting that a table or a drawing shows: the product of the lists, and of the steps of the
// ranges. The first travel changes slowest. Do not change the list.
func (m *Engine) Settings() [][]float64 { return m.settings }

// Motion returns the motion over the whole turn at one travel setting. All callers share it.
func (m *Engine) Motion(ctx context.Context, travel []float64) (*linkage.Motion, error) {
	key := SettingKey(travel)
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

// SettingKey is a key for a travel setting, exact to the bit.
func SettingKey(travel []float64) string {
	key := make([]byte, 0, 8*len(travel))
	for _, v := range travel {
		key = binary.LittleEndian.AppendUint64(key, math.Float64bits(v))
	}
	return string(key)
}

// Pose returns where all points and parts are at one position.
func (m *Engine) Pose(ctx context.Context, turn float64, travel []float64) (*linkage.Pose, linkage.Status, error) {
	mo, err := m.Motion(ctx, travel)
	if err != nil {
		return nil, linkage.NoAssembly, err
	}
	s := m.NewStation()
	status := mo.At(turn, &s.pose)
	return &s.pose, status, nil
}

// Asking returns the same Engine with another Problem, which differs in its checks alone.
func (m *Engine) Asking(p *solver.Problem) *Engine {
	m.mu.Lock()
	defer m.mu.Unlock()
	return &Engine{Problem: p, Values: m.Values, Linkage: m.Linkage, Regions: m.Regions, Bands: m.Bands,
		settings: m.settings, Travels: m.Travels, Size: m.Size, motions: maps.Clone(m.motions)}
}
