package machine

import (
	"context"
	"fmt"
	"math"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/expr"
)

// fillIn adds samples, where nothing is proved, to the proved stretches in which a check is not met. So the report covers
// the whole turn, and the list of unproved stretches says which part is only sampled.
func (p *proofs) fillIn(ctx context.Context, c *solver.Check, f *solver.Finding) error {
	if len(f.Unproved) == 0 {
		return nil
	}
	n := engine.Needs{Whole: make([]bool, len(p.m.Problem.Graph.Wholes))}
	if c.Kind == solver.Keep {
		n = p.m.NeedsOf(c.Sum, c.AtLeast, c.AtMost)
	}
	r, err := p.lookedAt(ctx, f.FoulsAt, n)
	if err != nil {
		return err
	}
	all := cutAtStart(r, f.Fouls)
	for _, foul := range cutAtStart(r, r.Check(f.Check).Fouls) {
		for _, u := range stretches(f.Unproved) {
			if from, to := math.Max(foul.From, u.From), math.Min(foul.To, u.To); from < to {
				all = append(all, solver.Interval{From: from, To: to, Out: foul.Out})
			}
		}
	}
	f.Fouls = r.Join(engine.Together(all), r.Closed && !headed(p.m.Problem.Graph, c))
	return ctx.Err()
}

// headed reports whether a check's sum may differ at the two ends of a turn that closes.
func headed(g *expr.Graph, c *solver.Check) bool {
	return c.Kind == solver.Keep && g.Uses(c.Sum)&expr.UsesHeading != 0
}

// lookedAt returns the run at one travel setting, with headings carried from rest where they are needed.
func (p *proofs) lookedAt(ctx context.Context, travel []float64, n engine.Needs) (*engine.Run, error) {
	return p.runs.Get(fmt.Sprint(engine.SettingKey(travel), n), func() (*engine.Run, error) { return p.m.RunFor(ctx, travel, n) })
}

// cutAtStart cuts intervals that continue over the end of a closed turn at that end.
func cutAtStart(r *engine.Run, in []solver.Interval) []solver.Interval {
	var out []solver.Interval
	for _, i := range in {
		if !r.Closed || i.To <= r.To {
			out = append(out, i)
			continue
		}
		out = append(out, solver.Interval{From: i.From, To: r.To, Out: i.Out}, solver.Interval{From: r.From, To: i.To - r.Length(), Out: i.Out})
	}
	return out
}

// mostUnproved is the greatest share of the turn that may be left unproved; beyond it nothing counts as proved. A dead centre
// leaves a few degrees unproved at most.
const mostUnproved = 0.1

// sure returns what an answer may be called that leaves out the unproved stretches.
func (m *Machine) sure(unproved []solver.Unproved) solver.Sure {
	left := 0.0
	for _, i := range stretches(unproved) {
		left += i.To - i.From
	}
	if t := m.Problem.Turn; left > mostUnproved*(t.To-t.From) {
		return solver.Sampled
	}
	if len(unproved) > 0 {
		return solver.InPart
	}
	return solver.Proved
}
