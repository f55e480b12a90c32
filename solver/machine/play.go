package machine

import (
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/clearance"
	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/tube"
)

// Play counts as sideplay does: a part may stand anywhere in it, at each position anew. So a figure with play is bounded over every
// place that the pins may take in their eyes, as over sizes, and no engine is followed through its shakes.

// WithPlay is what play makes of a figure: bounds over every place that it allows, at every position.
type WithPlay struct {
	Least, Greatest Bound // the greatest of a keep line alone
}

// Playing is an engine with the play of its parts, and further sizes perhaps, enclosed: every place and every size at once.
type Playing struct{ *OverSizes }

// agree is how far, as a share of the sketch's size, the engine with eyes of its own may stand off the one without for both to be
// assembled the same way.
const agree = 1e-7

// Playing encloses the engine with all that its play allows, each play larger by wear, mm, and over some sizes. The sizes must be in
// the middle in m.
func (m *Machine) Playing(ctx context.Context, o Options, wear float64, sizes []tube.Size) (*Playing, error) {
	bare := &OverSizes{m: m, sizes: Sizes{List: sizes, Disc: make([]bool, len(sizes))}, plan: &tube.Plan{Sizes: sizes, Schedule: m.Linkage.Schedule(), Values: m.Values},
		forms: make([]*clearance.Form, len(m.Problem.Profiles)), rough: make([]bool, len(m.Problem.Profiles))}
	none := func(why solver.Why) (*Playing, error) {
		bare.whole = &m.unprovedAll(why)[0]
		return &Playing{bare}, ctx.Err()
	}
	q, err := m.Problem.WithPlay()
	if err != nil {
		return none(solver.PlayShared)
	}
	v := expr.Resolve(q.Graph, m.Values.Fixed)
	all := Sizes{List: slices.Clone(sizes), Disc: make([]bool, len(sizes))}
	for _, s := range q.Shifts {
		half := wear / 2
		if id := q.Plays[s.Play].V; id != expr.None {
			_, most, ok := bare.extent(id) // a play may follow from a size
			if !ok {
				return none(solver.RoughDrive)
			}
			half = (most + wear) / 2
		}
		if !(half >= 0) || math.IsInf(half, 0) {
			return none(solver.RoughDrive)
		}
		if half == 0 {
			continue
		}
		if s.X >= 0 {
			all.List, all.Disc = append(all.List, tube.Size{Dim: s.X, Half: half}), append(all.Disc, true)
		}
		all.List, all.Disc = append(all.List, tube.Size{Dim: s.Y, Half: half}), append(all.Disc, false)
	}
	alone := *q.Problem
	alone.Plays = nil // it has play in its dimensions
	n, err := New(&alone, v)
	if err != nil || !m.standsLike(ctx, n) {
		return none(solver.PlayOtherwise)
	}
	n.size = m.size
	over, err := n.OverSizes(ctx, o, all)
	if err != nil {
		return nil, err
	}
	return &Playing{OverSizes: over}, nil
}

// standsLike reports whether every point of m stands in n where it does in m, at the start of the turn with the travels at rest.
func (m *Machine) standsLike(ctx context.Context, n *Machine) bool {
	rest, from := restSetting(m.Problem.Travels), m.Problem.Turn.From
	a, sa, err := m.Pose(ctx, from, rest)
	if err != nil {
		return false
	}
	b, sb, err := n.Pose(ctx, from, rest)
	if err != nil || sa != sb || sa != linkage.Solved && sa != linkage.DeadCentre {
		return false
	}
	for i := range a.Point {
		if a.Point[i].Sub(b.Point[i]).Len() > agree*m.size {
			return false
		}
	}
	return true
}

// played adds to findings what play makes of them: of a clear line the least over all of it takes the place of the least with
// tight pins, of a keep line it stands beside.
func (m *Machine) played(ctx context.Context, o Options, list []solver.Finding) error {
	switch {
	case len(m.Problem.Plays) == 0 && o.Wear == 0:
		return nil
	case o.Sampled:
		return m.unplayed(list, solver.NotTried)
	}
	p, err := m.Playing(ctx, o.quietly(), o.Wear, nil)
	if err != nil {
		return err
	}
	return Share(ctx, o.Counting("checks with play"), len(list), func(i int) error {
		f := &list[i]
		switch c := &m.Problem.Checks[f.Check]; c.Kind {
		case solver.Clear:
			return p.clearance(ctx, f)
		case solver.Keep:
			return p.kept(ctx, f)
		}
		return nil
	})
}

// hasPlay reports whether a finding is not told before play is counted in it.
func (m *Machine) hasPlay(o Options, f *solver.Finding) bool {
	return (len(m.Problem.Plays) > 0 || o.Wear > 0) && m.Problem.Checks[f.Check].Kind == solver.Clear
}

// unplayed says of clear lines that their play was not counted.
func (m *Machine) unplayed(list []solver.Finding, why solver.Why) error {
	for i := range list {
		if f := &list[i]; m.Problem.Checks[f.Check].Kind == solver.Clear && !f.Apart {
			f.Play = &solver.PlayFigures{Least: math.NaN(), Greatest: math.NaN(), Tight: f.Least}
			f.Sure = solver.Sampled
			f.Unproved = append(f.Unproved, m.unprovedAll(why)...)
		}
	}
	return nil
}

// clearance puts what play makes of a clear line in the place of the least with tight pins.
func (p *Playing) clearance(ctx context.Context, f *solver.Finding) error {
	if f.Apart {
		return nil
	}
	b, err := p.Check(ctx, f.Check, false)
	if err != nil {
		return err
	}
	c := &p.m.Problem.Checks[f.Check]
	f.Play = &solver.PlayFigures{Least: b.Worst, Greatest: math.NaN(), Tight: f.Least}
	if b.Known && c.AtMost != expr.None {
		b.Known, b.Why = false, p.not(solver.Undecided).Why // how far apart play brings them is not bounded
	}
	if !b.Known {
		return p.unknown(ctx, f, &b)
	}
	if tight := f.OK; tight && !c.Suffices(b.Room) {
		// A bound is no engine: it falls short where one does that is solved.
		if d, ok := p.solved(ctx, f.Check, &b); !ok || c.Suffices(d-p.m.wanted(c)) {
			b.Why = p.not(solver.Undecided).Why
			return p.unknown(ctx, f, &b)
		}
	}
	if b.Worst >= f.Least { // the bound may lie above by what floats lose
		f.Play.Least = f.Least
		return nil
	}
	f.Least = b.Worst
	f.At = solver.Position{Turn: b.At.Turn, Travel: b.At.Travel}
	if f.OK = c.Suffices(b.Room); f.OK {
		return nil
	}
	f.FoulsAt = b.At.Travel
	f.Fouls = p.below(ctx, c, b.Worst-b.Room, b.At.Travel)
	return ctx.Err()
}

// shortPiece is how long the parts of the turn are, rad, of which it is told whether a clear line may fall short with play.
const shortPiece = 0.25 * math.Pi / 180

// below lists the stretches of the turn over which a clear line may come below a limit somewhere in its play.
func (p *Playing) below(ctx context.Context, c *solver.Check, limit float64, travel []float64) (out []solver.Interval) {
	for _, r := range p.over.Below(ctx, p.form(c.A), p.form(c.B), limit, shortPiece, travel) {
		if n := len(out) - 1; n >= 0 && r.From <= out[n].To {
			out[n].To = math.Max(out[n].To, r.To)
			continue
		}
		out = append(out, solver.Interval{From: r.From, To: r.To, Out: shortPiece})
	}
	return out
}

// unknown is a clear line of which it is not proved what play makes: it is looked for, and what was found of tight pins alone does
// not stand for it.
func (p *Playing) unknown(ctx context.Context, f *solver.Finding, b *Bound) error {
	f.Sure = solver.Sampled
	f.Unproved = append(f.Unproved, b.Why)
	worst, err := p.sought(ctx, f.Check)
	if err != nil {
		return err
	}
	if worst == nil {
		f.OK, f.Play.Least = false, math.NaN() // nothing is known of it
		return nil
	}
	if worst.Least < f.Least {
		f.Least, f.At, f.Near, f.Fouls, f.FoulsAt = worst.Least, worst.At, worst.Near, worst.Fouls, worst.FoulsAt
	}
	f.OK, f.Play.Least = f.OK && worst.OK, f.Least
	return nil
}

// soughtSteps is how many engines are solved for the worst that play makes of a check, each with its pins where the slopes of the last
// one point to.
const soughtSteps = 4

// sought is the worst finding of a check in engines whose pins stand at the rims of their play; nil where none could be solved.
func (p *Playing) sought(ctx context.Context, check int) (worst *solver.Finding, err error) {
	at := make([]float64, len(p.sizes.List))
	o := Options{Workers: 1}
	for range soughtSteps {
		fixed := make(map[int]float64, len(at))
		for k, v := range p.m.Values.Fixed {
			fixed[k] = v
		}
		for i, s := range p.sizes.List {
			fixed[s.Dim] = s.Mid + s.Half*at[i]
		}
		n, err := p.m.With(expr.Resolve(p.m.Problem.Graph, fixed))
		if err != nil {
			return worst, ctx.Err()
		}
		found, _, _, err := n.answer(ctx, o, asked{checks: []int{check}})
		if err != nil {
			return nil, err
		}
		if f := &found[0]; worst == nil || f.Least < worst.Least {
			worst = f
		}
		slopes, err := n.SideSlopes(ctx, found, []bool{false})
		if err != nil || slopes[0] == nil {
			return worst, ctx.Err()
		}
		p.against(slopes[0], at)
	}
	return worst, nil
}

// against puts the sizes where slopes say that a figure is least.
func (p *Playing) against(slopes, at []float64) {
	for i := 0; i < len(at); i++ {
		g := slopes[p.sizes.List[i].Dim]
		if p.sizes.Disc[i] {
			h := slopes[p.sizes.List[i+1].Dim]
			if l := math.Hypot(g, h); l > 0 {
				at[i], at[i+1] = -g/l, -h/l
			}
			i++
			continue
		}
		if g != 0 {
			at[i] = -math.Copysign(1, g)
		}
	}
}

// kept tells beside a keep line what play makes of it.
func (p *Playing) kept(ctx context.Context, f *solver.Finding) error {
	low, err := p.Check(ctx, f.Check, false)
	if err != nil {
		return err
	}
	high, err := p.Check(ctx, f.Check, true)
	if err != nil {
		return err
	}
	f.Play = &solver.PlayFigures{Least: math.NaN(), Greatest: math.NaN(), Tight: math.NaN()}
	if low.Known {
		f.Play.Least = low.Worst
	}
	if high.Known {
		f.Play.Greatest = high.Worst
	}
	return nil
}
