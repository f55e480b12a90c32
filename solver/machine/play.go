package machine

import (
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/tube"
)

// Play counts as sideplay does: a part may be anywhere in it, at each position independently. So a figure with play is
// bounded over every place of the pins in their eyes, as over sizes, and no engine is followed through its shakes.

// WithPlay holds the bounds of a figure over every place that play allows, at every position.
type WithPlay struct {
	Least, Greatest Bound // the greatest of a keep line alone
}

// Playing is an engine with the play of its parts, and perhaps further sizes, enclosed: every place and every size at
// once.
type Playing struct{ *OverSizes }

// agree is how far, as a share of the sketch's size, the engine with eyes of its own may be off the one without, if both
// are assembled in the same way.
const agree = 1e-7

// Playing encloses the engine with all that its play allows, each play larger by wear, mm, and over some sizes. The sizes
// must be in the middle in m.
func (m *Machine) Playing(ctx context.Context, o Options, wear float64, sizes []tube.Size) (*Playing, error) {
	return m.playing(ctx, o, m.Problem, wear, sizes, agree)
}

// playing is Playing for a Problem that may differ from m's in what holds its parts. To be assembled in the same way, its
// parts may be off those of m at the start of the turn by like, as a share of the sketch's size.
func (m *Machine) playing(ctx context.Context, o Options, of *solver.Problem, wear float64, sizes []tube.Size, like float64) (*Playing, error) {
	bare := m.sumsOver(sizes)
	none := func(why solver.Why) (*Playing, error) {
		bare.whole = &m.unprovedAll(why)[0]
		bare.whole.From, bare.whole.To = of.Turn.From, of.Turn.To
		return &Playing{bare}, ctx.Err()
	}
	n, all, why := m.withEyes(ctx, of, wear, like, sizes, bare.extent)
	if n == nil {
		return none(why)
	}
	over, err := n.OverSizes(ctx, o, all)
	if err != nil {
		return nil, err
	}
	if over.playAlone = len(sizes) == 0; over.playAlone && over.over != nil {
		over.over.Shaken()
	}
	return &Playing{over}, nil
}

// sumsOver returns sizes without an enclosed motion: for sums of them alone.
func (m *Machine) sumsOver(sizes []tube.Size) *OverSizes {
	return &OverSizes{m: m, sizes: Sizes{List: sizes, Disc: make([]bool, len(sizes))}, plan: &tube.Plan{Sizes: sizes, Schedule: m.Linkage.Schedule(), Values: m.Values}}
}

// withEyes returns the engine with eyes of its own for each play, all in the middles of their pins. After the further
// sizes it lists how far each may be off. The engine is nil where this fails, with the reason in why. A play may depend
// on a size: extent gives its bounds.
func (m *Machine) withEyes(ctx context.Context, of *solver.Problem, wear, like float64, sizes []tube.Size,
	extent func(expr.ID) (lo, hi float64, ok bool)) (*Machine, Sizes, solver.Why) {
	all := Sizes{List: slices.Clone(sizes), Disc: make([]bool, len(sizes))}
	q, err := of.WithPlay()
	if err != nil {
		return nil, all, solver.PlayShared
	}
	for _, s := range q.Shifts {
		half := wear / 2
		if id := q.Plays[s.Play].V; id != expr.None {
			_, most, ok := extent(id)
			if !ok {
				return nil, all, solver.RoughDrive
			}
			half = (most + wear) / 2
		}
		if !(half >= 0) || math.IsInf(half, 0) {
			return nil, all, solver.RoughDrive
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
	alone.Plays = nil // the play is in its dimensions
	n, err := New(&alone, expr.Resolve(q.Graph, m.Values.Fixed))
	if err != nil || !m.standsLike(ctx, n, like) {
		return nil, all, solver.PlayOtherwise
	}
	n.Size = m.Size
	return n, all, solver.NotTried
}

// standsLike reports whether every point of m is in n, at the start of n's turn with the travels at rest, within a share
// of the size of its place in m.
func (m *Machine) standsLike(ctx context.Context, n *Machine, share float64) bool {
	rest, from := engine.RestSetting(m.Problem.Travels), n.Problem.Turn.From
	a, sa, err := m.Pose(ctx, from, rest)
	if err != nil {
		return false
	}
	b, sb, err := n.Pose(ctx, from, rest)
	if err != nil || sa != sb || sa != linkage.Solved && sa != linkage.DeadCentre {
		return false
	}
	for i := range a.Point {
		if a.Point[i].Sub(b.Point[i]).Len() > share*m.Size {
			return false
		}
	}
	return true
}

// shaken bounds a figure over every place that play allows, and finds the worst engine among them.
type shaken interface {
	Check(ctx context.Context, i int, upper bool) (Bound, error)
	worst(ctx context.Context, check int, b *Bound, upper bool) (*stood, error)
	beyond(ctx context.Context, c *solver.Check, limit float64, b *Bound, upper bool) []solver.Interval
}

// Everywhere is an engine with all places that play and loose lines allow its parts, over some sizes.
type Everywhere struct {
	*Playing          // with play; with tight pins where there is none
	loose    *loosely // with what loose lines allow; nil where no clear line that is asked about depends on them
}

// Everywhere encloses all places that play and loose lines allow, over some sizes, for those checks that are clear lines.
// The sizes must be in the middle in m.
func (m *Machine) Everywhere(ctx context.Context, o Options, sizes []tube.Size, checks []int) (*Everywhere, error) {
	e, err := m.shaken(ctx, o, 0, sizes, checks)
	if err == nil && e.Playing == nil {
		var over *OverSizes
		over, err = m.OverSizes(ctx, o, Sizes{List: sizes})
		e.Playing = &Playing{over}
	}
	return e, err
}

// shaken is Everywhere with each play larger by wear, mm. Its Playing is nil where there is no play.
func (m *Machine) shaken(ctx context.Context, o Options, wear float64, sizes []tube.Size, checks []int) (e *Everywhere, err error) {
	e = &Everywhere{}
	if m.Slack() {
		if e.loose, err = m.loosely(ctx, o, wear, sizes, checks); err != nil {
			return nil, err
		}
	}
	if len(m.Problem.Plays) > 0 || wear > 0 {
		e.Playing, err = m.Playing(ctx, o, wear, sizes)
	}
	return e, err
}

// Shakes reports whether play or loose lines let anything be off its drawn place.
func (m *Machine) Shakes() bool { return len(m.Problem.Plays) > 0 || m.Slack() }

// Check bounds the worst of a check as OverSizes does, over all that the engine allows.
func (e *Everywhere) Check(ctx context.Context, i int, upper bool) (Bound, error) {
	return e.of(i).Check(ctx, i, upper)
}

func (e *Everywhere) of(check int) shaken {
	if e.loose != nil && e.loose.places(check) {
		return e.loose
	}
	return e.Playing
}

// played adds the effect of play to findings. For a clear line, the least over all places replaces the least with tight
// pins. For a keep line, it is added beside it.
func (m *Machine) played(ctx context.Context, o Options, list []solver.Finding) error {
	plays := len(m.Problem.Plays) > 0 || o.Wear > 0
	switch {
	case !plays && (o.Sampled || !m.Slack()):
		return nil
	case o.Sampled:
		return m.unplayed(list, solver.NotTried)
	}
	var checks []int
	any := false
	for i := range list {
		any = any || !o.Tight || m.Problem.Checks[list[i].Check].Kind != solver.Keep
		if !list[i].Apart && !math.IsNaN(list[i].Least) {
			checks = append(checks, list[i].Check)
		}
	}
	if !any {
		return ctx.Err()
	}
	e, err := m.shaken(ctx, o.quietly(), o.Wear, nil, checks)
	if err != nil || e.loose == nil && !plays {
		return err
	}
	return Share(ctx, o.Counting("checks with play"), len(list), func(i int) error {
		f := &list[i]
		switch by, kind := e.of(f.Check), m.Problem.Checks[f.Check].Kind; {
		case kind == solver.Clear && by == shaken(e.loose) && !f.Apart && !math.IsNaN(f.Least):
			f.Sure, f.Unproved = solver.Proved, nil // for every place that the loose lines allow, unless found otherwise
			return m.clearance(ctx, by, f)
		case kind == solver.Clear && plays:
			return m.clearance(ctx, by, f)
		case kind == solver.Keep && plays && !o.Tight:
			return e.kept(ctx, f)
		}
		return nil
	})
}

// hasPlay reports whether a finding waits until play is counted in it.
func (m *Machine) hasPlay(o Options, f *solver.Finding) bool {
	return (len(m.Problem.Plays) > 0 || o.Wear > 0) && m.Problem.Checks[f.Check].Kind == solver.Clear
}

// unplayed notes on clear lines that their play was not counted.
func (m *Machine) unplayed(list []solver.Finding, why solver.Why) error {
	for i := range list {
		if f := &list[i]; m.Problem.Checks[f.Check].Kind == solver.Clear && !f.Apart {
			f.Play = &solver.PlayFigures{Least: math.NaN(), Greatest: math.NaN(), Tight: f.Least, TightMost: f.Greatest}
			f.Sure = solver.Sampled
			f.Unproved = append(f.Unproved, m.unprovedAll(why)...)
		}
	}
	return nil
}

// clearance replaces the figure of a clear line with tight pins by the figure with play.
func (m *Machine) clearance(ctx context.Context, by shaken, f *solver.Finding) error {
	if f.Apart {
		return nil
	}
	f.Play = &solver.PlayFigures{Least: math.NaN(), Greatest: math.NaN(), Tight: f.Least, TightMost: f.Greatest}
	err := m.side(ctx, by, f, false)
	if err == nil && m.Problem.Checks[f.Check].AtMost != expr.None {
		err = m.side(ctx, by, f, true)
	}
	return err
}

// side puts the effect of play on one side of a clear line into its finding. The worst found comes from an engine that
// was solved with its pins off their middles. Beside it is the bound of all places in the play. The line holds if the
// bound is enough, and falls short if such an engine does. Between the two nothing is claimed.
func (m *Machine) side(ctx context.Context, by shaken, f *solver.Finding, upper bool) error {
	b, err := by.Check(ctx, f.Check, upper)
	if err != nil {
		return err
	}
	c := &m.Problem.Checks[f.Check]
	figure, bound, limit, sign := &f.Least, &f.Play.Least, m.Wanted(c), 1.0
	if upper {
		figure, bound, limit, sign = &f.Greatest, &f.Play.Greatest, m.Limit(c.AtMost), -1
	}
	w, err := by.worst(ctx, f.Check, &b, upper)
	if err != nil {
		return err
	}
	took := w != nil && sign*w.v < sign**figure
	if took {
		*figure = w.v
		if _, worse := m.Problem.RoomOf(f); worse == upper {
			f.At, f.Near = w.at, w.near
		}
	}
	if b.Known {
		*bound = sign * math.Min(sign*b.Worst, sign**figure) // the bound may lie beyond by rounding
	}
	switch {
	case b.Known && c.Suffices(b.Room):
	case !c.Suffices(sign * (*figure - limit)):
		f.OK = false
		if b.Known {
			f.FoulsAt = b.At.Travel
			f.Fouls = by.beyond(ctx, c, limit, &b, upper)
		} else if took && w.fouls != nil {
			f.Fouls, f.FoulsAt = w.fouls, w.at.Travel
		}
		if !b.Known {
			f.Sure, f.Unproved = solver.Sampled, append(f.Unproved, b.Why)
		}
	default:
		if b.Known {
			b.Why = m.unprovedAll(solver.Undecided)[0]
		}
		f.Sure, f.Unproved = solver.Sampled, append(f.Unproved, b.Why)
	}
	return ctx.Err()
}

// shortPiece is the length of the pieces of the turn, rad, for each of which it is decided whether a clear line may fall
// short with play.
const shortPiece = 0.25 * math.Pi / 180

// beyond lists the stretches of the turn over which a clear line may be below a limit somewhere in its play, or above an
// upper one.
func (p *Playing) beyond(ctx context.Context, c *solver.Check, limit float64, b *Bound, upper bool) (out []solver.Interval) {
	list := func() []tube.Range {
		if upper {
			return p.over.Above(ctx, p.form(c.A), p.form(c.B), p.m.Regions[c.A], p.m.Regions[c.B], limit, shortPiece, b.At.Travel)
		}
		return p.over.Below(ctx, p.form(c.A), p.form(c.B), limit, shortPiece, b.At.Travel)
	}
	for _, r := range list() {
		out = append(out, solver.Interval{From: r.From, To: r.To, Out: shortPiece})
	}
	return engine.Together(out)
}

// kept adds the effect of play to a keep line's finding.
func (p *Playing) kept(ctx context.Context, f *solver.Finding) error {
	low, err := p.Check(ctx, f.Check, false)
	if err != nil {
		return err
	}
	high, err := p.Check(ctx, f.Check, true)
	if err != nil {
		return err
	}
	f.Play = &solver.PlayFigures{Least: math.NaN(), Greatest: math.NaN(), Tight: math.NaN(), TightMost: math.NaN()}
	if low.Known {
		f.Play.Least = low.Worst
	}
	if high.Known {
		f.Play.Greatest = high.Worst
	}
	return nil
}
