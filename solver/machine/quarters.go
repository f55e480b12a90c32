package machine

import (
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/expr"
)

// A builder turns an engine on the bench by hand and looks at it with the crank at each quarter. The figures at the
// quarters are reported next to those of the whole turn, since the two need not agree.

// mostQuarters bounds the quarters that are tried: four whole turns of them.
const mostQuarters = 16

// Tried is the figure of a check at one position.
type Tried struct {
	Turn  float64 // rad
	Is    float64 // distance, gap or sum, mm, rad or a plain number; NaN where there is none
	Room  float64 // the margin there: below zero it does not hold. -Inf where there is no figure
	Apart bool    // of a gap: the two do not pass each other there, so there is no figure
}

// Quarters lists the quarters of the turn within its range, rad. The end of a whole turn is its start again.
func (m *Machine) Quarters() []float64 {
	t := m.Problem.Turn
	const quarter, rounding = math.Pi / 2, 1e-9
	whole := math.Mod((t.To-t.From)/quarter+rounding, 4) <= 2*rounding
	var out []float64
	for k := math.Ceil(t.From/quarter - rounding); k*quarter <= t.To+rounding && len(out) < mostQuarters; k++ {
		if at := k * quarter; at < t.To-rounding || !whole {
			out = append(out, math.Min(math.Max(at, t.From), t.To))
		}
	}
	return out
}

// TryAt returns the figures of these checks at some turns with the travels at rest, for clear and gap lines, and for keep
// lines with a sum that changes with the turn. It is nil for the others. It claims nothing about the turns between.
func (m *Machine) TryAt(ctx context.Context, turns []float64, checks []int) ([][]Tried, error) {
	out := make([][]Tried, len(checks))
	shown := slices.DeleteFunc(slices.Clone(checks), func(i int) bool { return !m.showsAtATurn(i) })
	if len(shown) == 0 || len(turns) == 0 {
		return out, ctx.Err()
	}
	r, err := m.Soonest(ctx, engine.RestSetting(m.Problem.Travels), m.NeedsOf(engine.Asked{Checks: shown}.Sums(m.Problem)...))
	if err != nil {
		return nil, err
	}
	s := m.NewStation()
	for _, turn := range turns {
		stands := r.Stand(turn, s)
		for k, i := range checks {
			if m.showsAtATurn(i) {
				out[k] = append(out[k], m.tried(i, turn, s, stands))
			}
		}
		if err := ctx.Err(); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// showsAtATurn reports whether a check has a figure that differs from one position to the next.
func (m *Machine) showsAtATurn(i int) bool {
	c := &m.Problem.Checks[i]
	switch c.Kind {
	case solver.Clear:
		return !m.BandsApart(c.A, c.B)
	case solver.Gap:
		return true
	case solver.Keep:
		return !m.Problem.Graph.StaysOverTurn(c.Sum)
	}
	return false
}

// tried returns the figure of a check at the position of s.
func (m *Machine) tried(i int, turn float64, s *engine.Station, stands bool) Tried {
	t := Tried{Turn: turn, Is: math.NaN(), Room: math.Inf(-1)}
	if !stands {
		return t
	}
	c := &m.Problem.Checks[i]
	switch c.Kind {
	case solver.Clear:
		t.Is = m.PairFigure(c.A, c.B).Value(s)
		t.Room, _ = c.Room(t.Is, t.Is, m.Wanted(c), m.Limit(c.AtMost))
	case solver.Gap:
		if t.Apart = m.PairFigure(c.A, c.B).Value(s) >= -engine.Touch; t.Apart {
			t.Room = math.Inf(1)
			return t
		}
		smallest, largest := m.Openings(c.A, c.B)
		upper := false
		if t.Room, upper = c.Room(smallest, largest, m.Limit(c.AtLeast), m.Limit(c.AtMost)); upper {
			smallest = largest
		}
		t.Is = smallest
	case solver.Keep:
		m.trySum(c, s, &t)
	}
	return t
}

// trySum is tried for a keep line.
func (m *Machine) trySum(c *solver.Check, s *engine.Station, t *Tried) {
	v := m.Sum(c.Sum).Value(s)
	if math.IsNaN(v) {
		return
	}
	limit := func(id expr.ID) float64 {
		if id == expr.None {
			return math.NaN()
		}
		return m.Sum(id).Value(s)
	}
	t.Is = v
	t.Room, _ = c.Room(v, v, limit(c.AtLeast), limit(c.AtMost))
}
