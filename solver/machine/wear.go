package machine

import (
	"context"
	"math"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/outline"
)

// Worn is what is known of an engine with every play larger.
type Worn struct {
	Holds bool // every clear line holds wherever the parts stand in their play: proved
	// Short is a clear line that falls short in an engine that was solved, and At where; -1 where none was found.
	Short int
	Least float64 // what it comes to there, mm
	At    solver.Position
	Why   solver.Unproved // where neither is known
}

// Worn tells whether every clear line holds with every play larger by wear, mm. Where no play is written every pin wears.
func (m *Machine) Worn(ctx context.Context, o Options, wear float64) (*Worn, error) {
	p, err := m.Playing(ctx, o.quietly(), wear, nil)
	if err != nil {
		return nil, err
	}
	checks := m.clears()
	bounds := make([]Bound, len(checks))
	err = Share(ctx, o.quietly(), len(checks), func(k int) (err error) {
		bounds[k], err = p.Check(ctx, checks[k], false)
		return err
	})
	if err != nil {
		return nil, err
	}
	out := &Worn{Holds: true, Short: -1}
	for k, i := range checks {
		b := &bounds[k]
		if p.Holds(i, b) {
			continue
		}
		if out.Holds = false; !b.Known {
			out.Why = b.Why
		}
		d, ok := p.solved(ctx, i, b)
		if c := &m.Problem.Checks[i]; ok && !c.Suffices(d-m.wanted(c)) && (out.Short < 0 || d-m.wanted(c) < out.Least-m.wanted(&m.Problem.Checks[out.Short])) {
			out.Short, out.Least, out.At = i, d, solver.Position{Turn: b.At.Turn, Travel: b.At.Travel}
		}
	}
	return out, ctx.Err()
}

// clears lists the clear lines, each pair once.
func (m *Machine) clears() (list []int) {
	for i := range m.Problem.Checks {
		if c := &m.Problem.Checks[i]; c.Kind == solver.Clear && c.AtMost == expr.None {
			list = append(list, i)
		}
	}
	return list
}

// solved is the distance that a clear line has at the place that a bound names, with the sizes that it names, solved as any engine.
func (p *Playing) solved(ctx context.Context, check int, b *Bound) (float64, bool) {
	if b.With == nil {
		return 0, false
	}
	fixed := map[int]float64{}
	for k, v := range p.m.Values.Fixed {
		fixed[k] = v
	}
	for i, v := range b.With {
		fixed[p.sizes.List[i].Dim] = v
	}
	n, err := p.m.With(expr.Resolve(p.m.Problem.Graph, fixed))
	if err != nil {
		return 0, false
	}
	pose, status, err := n.Pose(ctx, b.At.Turn, b.At.Travel)
	if err != nil || status != linkage.Solved {
		return 0, false
	}
	c := &n.Problem.Checks[check]
	at := func(profile int) int { return n.Problem.Profiles[profile].Part }
	d := outline.Distance(n.Regions[c.A], pose.Part[at(c.A)], n.Regions[c.B], pose.Part[at(c.B)]).D
	return d, !math.IsNaN(d)
}
