package machine

import (
	"context"
	"slices"

	"barover/solver"
	"barover/solver/linkage"
	"barover/solver/tube"
)

// absent returns the stretches over which a motion cannot be assembled, and says where that is proved. Where a travel has a
// range it is not: what is missed at one step may be met beside it.
func (m *Machine) absent(ctx context.Context, mo *linkage.Motion) []linkage.Broken {
	broken := slices.Clone(mo.Broken())
	if slices.ContainsFunc(m.Travels, func(t solver.Travel) bool { return t.Range }) || !m.covered(mo) {
		return broken
	}
	a := tube.NewAbsence(m.Linkage.Schedule(), m.Values)
	for i := range broken {
		b := &broken[i]
		if b.Either() {
			continue
		}
		over := tube.Range{From: b.From, To: b.To}
		for _, r := range a.Absent(ctx, over, mo.Travel(), tube.NewBeside(m.Linkage, mo, over)) {
			b.Sure = append(b.Sure, [2]float64{r.From, r.To})
		}
	}
	return broken
}

// covered reports whether a motion and the stretches over which it cannot be assembled make up the whole turn.
func (m *Machine) covered(mo *linkage.Motion) bool {
	parts := mo.Spans()
	for _, b := range mo.Broken() {
		parts = append(parts, [2]float64{b.From, b.To})
	}
	slices.SortFunc(parts, func(a, b [2]float64) int { return slices.Compare(a[:], b[:]) })
	at := m.Problem.Turn.From
	for _, p := range parts {
		if p[0] > at {
			return false
		}
		at = max(at, p[1])
	}
	return at >= m.Problem.Turn.To
}
