package machine

import (
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/linkage"
)

// ChangePoints lists the change points at every sampled setting, setting by setting.
func (m *Machine) ChangePoints(ctx context.Context, o Options) ([]solver.Pass, error) {
	settings, _ := m.Looked()
	each := make([][]solver.Pass, len(settings))
	err := Share(ctx, o.quietly(), len(settings), func(i int) error {
		mo, err := m.Motion(ctx, settings[i])
		if err == nil {
			for _, p := range mo.Passes() {
				each[i] = append(each[i], solver.Pass{Pass: p, Gives: m.gives(o, &p)})
			}
		}
		return err
	})
	return slices.Concat(each...), err
}

// gives is by how much the statement of a change point gives at most where the motion is enclosed across it, mm; NaN if it is not.
func (m *Machine) gives(o Options, p *linkage.Pass) float64 {
	m.enclosing.Lock()
	defer m.enclosing.Unlock()
	e := m.tubes[o.Budget]
	if e == nil || o.Sampled || p.Way != linkage.Straight {
		return math.NaN()
	}
	for _, t := range e.tubes {
		most := math.NaN()
		for i := range t.Gives {
			if g := &t.Gives[i]; g.Stmt == p.Stmt && g.Covers(p.Turn, p.Travel) && !(g.Most <= most) {
				most = g.Most
			}
		}
		if !math.IsNaN(most) {
			return most
		}
	}
	return math.NaN()
}
