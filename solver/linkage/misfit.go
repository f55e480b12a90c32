package linkage

import (
	"math/rand/v2"

	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/position"
	"barover/solver/schedule"
)

// misfit is the Rest of a Schedule that does not fit, as far as it could be assembled.
type misfit struct {
	*schedule.Rest
	l      *Linkage
	to     float64 // where the turn ends, rad
	placed bool    // the rest could be assembled
}

// place assembles the rest, with held scalars at their hints.
func (m *misfit) place(v *expr.Values, turnFrom float64, atRest []float64) {
	m.l = fill(m.Schedule, v, turnFrom, atRest, nil)
	e := m.l.start
	ev := expr.NewEval(v)
	at := expr.Context{Turn: turnFrom, Travel: atRest}
	rnd := rand.New(rand.NewPCG(1, 1))
	for c, k := range m.Schedule.Scalars {
		z := plane.Vec{X: 1, Y: 0.1}
		if !k.Direction {
			z = plane.Vec{X: rnd.Float64(), Y: rnd.Float64()}.Scale(e.Scale.Size)
		}
		if i := int(k.Place); i < len(m.Schedule.Model.Points) && m.Schedule.Told(i) && k.Kind != schedule.ScalarAlong {
			p := m.Schedule.Model.Points[i]
			z = plane.Vec{X: ev.At(p.U, &at), Y: ev.At(p.V, &at)}.Sub(e.Scale.Origin)
		}
		e.X[c] = z.X
		if k.Kind == schedule.ScalarY {
			e.X[c] = z.Y
		}
	}
	a := &assembler{l: m.l, e: e, hints: m.l.hintsFor(), any: true}
	if m.placed = a.run(); m.placed {
		_, m.placed = e.Solve()
	} else {
		m.placed = m.placeTogether()
	}
	e.Complete()
}

// placeTogether looks for any pose of the whole rest, with the held scalars free.
func (m *misfit) placeTogether() bool {
	if len(m.Schedule.Scalars) > denseMost {
		return false
	}
	e := m.l.start
	all := m.Everything()
	return e.Closest(all, nil, position.ClosestSteps) <= position.SameShare*e.Scale.Size
}
