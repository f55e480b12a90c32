package machine

import (
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/clearance"
	"barover/solver/engine"
	"barover/solver/hunt"
	"barover/solver/tube"
)

// overrun is a figure that goes beyond a limit: below it (sign 1) or above it (−1).
type overrun struct {
	figure engine.Figure
	limit  float64
	sign   float64
	// over lists where it may do so, on the tubes of a prover, at the travels of a place.
	over func(*clearance.Prover, tube.Place) tube.Stretches
}

// beyond lists the stretches over which a figure is beyond one of its limits, at the travels of what was settled. The
// ends of each are settled on the exact motion. Outside the proved stretch the figure is not beyond, and inside the
// settled one it is: the true end lies between. Where these two are farther apart than promised, on a shallow slope, the
// motion is enclosed more closely. The distance that is left is reported as the possible error of the ends.
func (p *proofs) beyond(ctx context.Context, pr *clearance.Prover, at settledAt, over ...overrun) []solver.Interval {
	var all []solver.Interval
	closes := true
	for _, o := range over {
		e := endings{engine.Curve{Run: at.run, Figure: o.figure, At: p.m.NewStation()}, o}
		out := e.settleAll(o.over(pr, at.place))
		if slices.ContainsFunc(out, func(i solver.Interval) bool { return i.Out > 0 }) {
			if closer := p.closeUp(ctx, at.place.Travel); closer != nil {
				out = e.settleAll(o.over(closer, tube.Place{Turn: at.place.Turn, Travel: at.place.Travel}))
			}
		}
		all = append(all, out...)
		closes = closes && e.SameAtEnds()
	}
	if len(over) > 1 {
		all = engine.Together(all)
	}
	return at.run.Join(all, closes)
}

// closer is how much more closely the motion at one travel setting is enclosed where the ends need it.
const closer = 100

// closeUp returns a prover on the motion at one travel setting, enclosed more closely; nil where not all of it can be
// enclosed.
func (p *proofs) closeUp(ctx context.Context, travel []float64) *clearance.Prover {
	c, _ := p.closeUps.Get(engine.SettingKey(travel), func() (*clearance.Prover, error) { return p.closely(ctx, travel), ctx.Err() })
	if c == nil {
		return nil
	}
	return c.Fork()
}

func (p *proofs) closely(ctx context.Context, travel []float64) *clearance.Prover {
	ask := p.ask
	ask.Tolerance /= closer
	ask.Common = nil
	ask.Travel = make([]tube.Range, len(travel))
	for k, v := range travel {
		ask.Travel[k] = tube.Range{From: v, To: v}
	}
	t, err := tube.Enclose(ctx, p.tubes[0].Plan, tube.Following(ctx, p.m.Linkage, ask.Turn, p.m.Motion), ask)
	if err != nil || !t.Whole() {
		return nil
	}
	return clearance.New([]*tube.Tube{t}, ask.Tolerance).With(p.m.Values)
}

// endings settles the ends of stretches on the exact motion.
type endings struct {
	engine.Curve
	overrun
}

// by is the distance of the figure from the limit at a turn: below zero it is beyond.
func (e *endings) by(t float64) float64 { return e.sign * (e.Value(t) - e.limit) }

// settleAll settles proved stretches. If a proof ran out of time, each end may be anywhere within its stretch.
func (e *endings) settleAll(st tube.Stretches) (out []solver.Interval) {
	for _, s := range st.At {
		i, ok := e.settle(s)
		switch {
		case !st.Done && !ok:
			out = append(out, solver.Interval{From: s.From, To: s.To, Out: s.To - s.From})
		case !st.Done:
			i.Out = s.To - s.From
			fallthrough
		case ok:
			out = append(out, i)
		}
	}
	return out
}

// settle returns the part of a proved stretch over which the figure is beyond the limit. It returns false where the
// figure only comes near.
func (e *endings) settle(s tube.Range) (solver.Interval, bool) {
	from, ok1 := e.first(s.From, s.To)
	to, ok2 := e.first(s.To, s.From)
	if !ok1 || !ok2 {
		k := e.deepest(s.From, s.To)
		if !(k.V < 0) {
			return solver.Interval{}, false
		}
		from, to = e.end(s.From, k.T), e.end(s.To, k.T)
	}
	i := solver.Interval{From: from, To: to}
	if out := math.Max(from-s.From, s.To-to); out > fine {
		i.Out = out
	}
	return i, true
}

// first returns where, on the way from one turn to another, the figure first goes beyond the limit.
func (e *endings) first(from, to float64) (float64, bool) {
	way, was := math.Copysign(1, to-from), from
	for step := fine; ; step *= 2 {
		t := was + way*step
		if way*(to-t) < 0 {
			return 0, false
		}
		if e.by(t) < 0 {
			return e.end(was, t), true
		}
		was = t
	}
}

// end returns where the figure goes beyond the limit, between a turn at which it is not beyond and one at which it is.
func (e *endings) end(outside, within float64) float64 {
	a, b := e.by(outside), e.by(within)
	if a > 0 && b < 0 {
		return hunt.RootBetween(e.by, outside, within, a, b, engine.TurnTolerance)
	}
	return outside
}

// deepest returns the place between two turns at which the figure is farthest beyond the limit, judged by samples and
// what lies between them.
func (e *endings) deepest(from, to float64) engine.Knot {
	n := int(min(max((to-from)/engine.Nearby, 4), 400))
	best := engine.Knot{T: from, V: e.by(from)}
	for i := 1; i <= n; i++ {
		t := from + (to-from)*float64(i)/float64(n)
		if v := e.by(t); v < best.V {
			best = engine.Knot{T: t, V: v}
		}
	}
	step := (to - from) / float64(n)
	a, b := math.Max(from, best.T-step), math.Min(to, best.T+step)
	t, v := hunt.LeastBetween(e.by, a, best.T, b, best.V, engine.TurnTolerance)
	return engine.Knot{T: t, V: v}
}
