package machine

import (
	"cmp"
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/expr"
)

// LeverWish says for which findings a study computes levers.
type LeverWish uint8

// The findings for which levers are computed.
const (
	NoLevers    LeverWish = iota
	ShortLevers           // those that fall short
	AllLevers             // every one
)

// Limits of the changes that are offered to make a check hold.
const (
	leastPull = 0.1  // a dimension that moves a length by less than this share of its own change is no remedy
	weakest   = 1e-9 // a smaller derivative is rounding
)

// LeverReach is the largest change of a dimension that is offered, as a share of itself.
const LeverReach = 0.4

// reach is how far a search for changes goes.
type reach struct {
	share  float64 // of a dimension, by which it may change at most
	rounds int     // how often a change is corrected and proved again
	tried  int     // how many are tried for one finding, the smallest first
	enough int     // how many are offered
}

// Small changes are tried first. Larger ones, for which slopes are less accurate, are tried only where no small one
// serves: each round is a proof.
var reaches = [...]reach{{0.1, 3, 6, 6}, {LeverReach, 8, 6, 3}}

// Next returns the next available size of a dimension from a value on, upward or downward; NaN where every size is
// available.
type Next func(dim int, v float64, up bool) float64

// bench answers checks of an engine with one dimension changed.
type bench struct {
	of  *Machine
	all *solver.Result // the answers of the engine as it is
	o   Options
}

// change returns the engine with the value v (mm, rad or plain) of one dimension.
func (b *bench) change(dim int, v float64) (*Machine, error) {
	if b.o.Vary != nil {
		return b.o.Vary.Machine(map[int]float64{dim: v})
	}
	return b.of.With(b.of.Values.With(map[int]float64{dim: v}))
}

// answer answers checks of an engine over the whole turn: proved where possible, otherwise sampled.
func (b *bench) answer(ctx context.Context, n *Machine, checks ...int) ([]solver.Finding, error) {
	f, _, _, err := n.answer(ctx, b.o, engine.Asked{Checks: checks})
	return f, err
}

// levers returns how each dimension changes a finding, strongest first, and the change of that dimension alone that would
// just make it hold.
func (m *Machine) levers(ctx context.Context, f *solver.Finding, b *bench) ([]solver.Lever, error) {
	g, err := m.Slopes(ctx, []solver.Finding{*f})
	if err != nil {
		return nil, err
	}
	var out []solver.Lever
	for d, v := range g[0] {
		if math.Abs(v) > weakest {
			out = append(out, solver.Lever{Dim: d, PerUnit: v, ToHold: math.NaN(), Next: math.NaN(), Spare: math.NaN()})
		}
	}
	slices.SortStableFunc(out, func(a, b solver.Lever) int { return cmp.Compare(math.Abs(b.PerUnit), math.Abs(a.PerUnit)) })
	if f.OK {
		return out, nil
	}
	return out, m.offer(ctx, f, out, b)
}

// figureOf returns the figure of a check as a function of the pose. For a gap that is the distance in the side view.
func (m *Machine) figureOf(c *solver.Check) engine.Puller {
	switch c.Kind {
	case solver.Keep:
		return m.Sum(c.Sum).(engine.Puller)
	case solver.Loose:
		return m.Miss(c).Figure.(engine.Puller)
	}
	return m.PairFigure(c.A, c.B)
}

// gapGradient returns the derivative of a gap, at its largest or its smallest, by each dimension: of the two faces
// towards each other, and of the sideplay.
func (m *Machine) gapGradient(c *solver.Check, largest bool) ([]float64, bool) {
	a, b, play := c.A, c.B, -1.0
	if largest {
		play = 1
	}
	if m.Bands[a].From-m.Bands[b].To > m.Bands[b].From-m.Bands[a].To {
		a, b = b, a
	}
	p, q := &m.Problem.Profiles[a], &m.Problem.Profiles[b]
	seeds := []expr.Seed{{Node: q.From, Weight: 1}, {Node: p.To, Weight: -1}}
	for _, part := range [2]int{p.Part, q.Part} {
		if part < len(m.Problem.Sideplay) {
			seeds = append(seeds, expr.Seed{Node: m.Problem.Sideplay[part], Weight: play})
		}
	}
	grad := expr.NewGradient(m.Problem.Graph, 0, 0)
	ok := expr.NewEval(m.Values).Backward(seeds, &expr.Context{}, grad)
	return grad.Dim, ok
}

// offer tries for each lever the change that would just make the finding hold. It keeps the changes for which the finding
// holds when it is answered again.
func (m *Machine) offer(ctx context.Context, f *solver.Finding, levers []solver.Lever, b *bench) error {
	short := -m.Problem.Judge(f).Margin
	slopes, err := m.MarginSlopes(ctx, []solver.Finding{*f})
	if err != nil || slopes[0] == nil || math.IsInf(short, 0) {
		return err
	}
	share := make([]float64, len(levers))
	for i := range levers {
		l := &levers[i]
		slope := slopes[0][l.Dim]
		share[i] = math.Abs(short / slope / m.dimension(l.Dim))
		if m.Problem.Dims[l.Dim].Made || m.isLength(f) && math.Abs(slope) < leastPull {
			share[i] = math.Inf(1)
		}
	}
	for i, r := range reaches {
		if i > 0 && f.Sure != solver.Proved {
			break // a larger change would not be proved either
		}
		found, err := m.offerWithin(ctx, f, levers, share, slopes[0], r, b)
		if err != nil || found {
			return err
		}
	}
	return nil
}

// offerWithin offers changes within a reach, and reports whether there is one. share is the change of each lever by its
// slope.
func (m *Machine) offerWithin(ctx context.Context, f *solver.Finding, levers []solver.Lever, share, slopes []float64, r reach, b *bench) (bool, error) {
	var order []int
	for i := range levers {
		if share[i] < r.share {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(share[a], share[b]) })
	found := 0
	for _, i := range order[:min(len(order), r.tried)] {
		l := &levers[i]
		if err := m.tryChange(ctx, f, l, slopes[l.Dim], r, b); err != nil {
			return false, err
		}
		if !math.IsNaN(l.ToHold) {
			if found++; found == r.enough {
				break
			}
		}
	}
	return found > 0, nil
}

func (m *Machine) isLength(f *solver.Finding) bool {
	c := &m.Problem.Checks[f.Check]
	return !c.Angle && !c.Number
}

// dimension returns the value of a dimension.
func (m *Machine) dimension(d int) float64 { return m.Values.At(m.Problem.Graph.Dims[d]) }

// tryChange searches for the value of one dimension with which a finding just holds: along the slope of its margin,
// answered again, and corrected by the secant through the last two.
func (m *Machine) tryChange(ctx context.Context, f *solver.Finding, l *solver.Lever, slope float64, r reach, b *bench) error {
	x, y := m.dimension(l.Dim), m.Problem.Judge(f).Margin
	start := x
	just := justHeld(&m.Problem.Checks[f.Check])
	for range r.rounds {
		next := x + (just-y)/slope
		if !(math.Abs(next-start) < r.share*math.Abs(start)) {
			return nil
		}
		n, err := b.change(l.Dim, next)
		if err != nil {
			return ctx.Err() // it does not even assemble
		}
		found, err := b.answer(ctx, n, f.Check)
		if err != nil {
			return err
		}
		is, margin := &found[0], m.Problem.Judge(&found[0]).Margin
		if is.OK && is.Sure == solver.Proved && margin < 4*just {
			return m.takeUp(ctx, f, l, next, n, b)
		}
		if math.IsInf(margin, 0) || is.OK && is.Sure != solver.Proved {
			return nil
		}
		if secant := (margin - y) / (next - x); secant*slope > 0 {
			slope = secant
		}
		x, y = next, margin
	}
	return nil
}
