package machine

import (
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/expr"
	"barover/solver/outline"
	"barover/solver/tube"
)

// OverSizesAt returns every engine that sizes allow, only as far as it takes to prove that a check does not hold in any
// of them. It encloses one position alone. Where the check depends on the whole turn, or on the way to that position, it
// encloses the turn at that setting of the travels.
func (m *Machine) OverSizesAt(ctx context.Context, o Options, sizes Sizes, check int, at solver.Position) (*OverSizes, error) {
	return m.overSizes(ctx, o, sizes, &place{at, m.turns(check)})
}

// turns reports whether a check depends on the whole turn, or on the way to a position.
func (m *Machine) turns(check int) bool {
	c := &m.Problem.Checks[check]
	return c.Kind == solver.Keep && m.Problem.Graph.Uses(c.Sum)&^ofOnePlace != 0
}

// RoomAt is the room of a check that depends on the whole turn, at a position of this engine; NaN for any other check. It
// proves nothing, but tells which proof over other sizes may come out, since to enclose them over the turn is dear.
func (m *Machine) RoomAt(ctx context.Context, check int, at solver.Position) (float64, error) {
	if !m.turns(check) {
		return math.NaN(), nil
	}
	r, err := m.RunFor(ctx, m.setting(at.Travel), m.NeedsOf(engine.Asked{Checks: []int{check}}.Sums(m.Problem)...))
	s := m.NewStation()
	if err != nil || !r.Stand(at.Turn, s) {
		return math.NaN(), ctx.Err()
	}
	_, room := m.CheckAt(check)(s)
	return room, ctx.Err()
}

// setting is a setting of the travels; those that it leaves out are at rest.
func (m *Machine) setting(travel []float64) []float64 {
	rest := engine.RestSetting(m.Problem.Travels)
	copy(rest, travel)
	return rest
}

// place is a position, and turns on the way round the turn at its setting of the travels.
type place struct {
	solver.Position
	turns bool
}

// instant is the length of the stretch of the turn that represents one position, rad.
const instant = 1e-6

// about returns a stretch of the turn about a position, and its travels.
func (v *OverSizes) about(at *place) (turn tube.Range, travels [][]tube.Range) {
	t := v.m.Problem.Turn
	r := tube.Range{From: math.Max(t.From, at.Turn-instant/2), To: math.Min(t.To, at.Turn+instant/2)}
	var one []tube.Range
	for _, w := range v.m.setting(at.Travel) {
		one = append(one, tube.Range{From: w, To: w})
	}
	return r, [][]tube.Range{one}
}

// Keeps reports whether a check is proved to hold in all of the engines, at every position at which they were enclosed.
// It is faster than Check and Holds and claims no more: it computes the distance of two outlines no closer than needed.
func (v *OverSizes) Keeps(ctx context.Context, i int) (bool, error) {
	c := &v.m.Problem.Checks[i]
	if c.Kind == solver.Clear && c.AtMost == expr.None && v.plan != nil && v.whole == nil && !v.apart(c) {
		a, b := v.form(c.A), v.form(c.B)
		_, most, ok := v.limits(c.AtLeast)
		return ok && a != nil && b != nil && v.over.Keeps(ctx, a, b, most-c.Meets()), ctx.Err()
	}
	if c.Kind == solver.Keep {
		return v.keepHolds(ctx, c)
	}
	for _, upper := range [2]bool{false, true} {
		if upper && c.AtMost == expr.None && c.Kind != solver.Loose {
			break
		}
		b, err := v.Check(ctx, i, upper)
		if err != nil || !v.Holds(i, &b) {
			return false, err
		}
	}
	return true, nil
}

// keepLimit is a limit of a keep line. The room of a figure is sign times its height above the limit: 1 for a lower
// limit, -1 for an upper.
type keepLimit struct {
	upper bool
	sign  float64
	sum   expr.ID
}

// limitsOf lists the limits that a keep line has.
func limitsOf(c *solver.Check) (list []keepLimit) {
	for _, l := range [2]keepLimit{{false, 1, c.AtLeast}, {true, -1, c.AtMost}} {
		if l.sum != expr.None {
			list = append(list, l)
		}
	}
	return list
}

// keepHolds reports whether the sum of a keep line is proved to keep within its limits.
func (v *OverSizes) keepHolds(ctx context.Context, c *solver.Check) (bool, error) {
	for _, l := range limitsOf(c) {
		least := 0.0 // of the room, where the limit depends on the sizes too
		if !v.joint(c, l.sum) {
			limit, ok := v.limit(l.sum, l.upper)
			if !ok {
				return false, ctx.Err()
			}
			least = l.sign * limit
		}
		b, err := v.keep(ctx, c, l.upper, least-c.Meets())
		if err != nil || !b.Known || l.sign*b.Worst < least-c.Meets() {
			return false, err
		}
	}
	return true, nil
}

// Short reports whether a check is proved not to hold in any of the engines: it falls short at every position at which
// they were enclosed.
func (v *OverSizes) Short(ctx context.Context, i int) (bool, error) {
	c := &v.m.Problem.Checks[i]
	if v.plan == nil {
		return false, ctx.Err()
	}
	switch c.Kind {
	case solver.Keep:
		return v.keepShort(ctx, c)
	case solver.Clear:
		least, _, ok := v.limits(c.AtLeast)
		return ok && v.beside(c) && v.nearer(c, least-2*c.Meets()), ctx.Err()
	case solver.Gap:
		return v.gapShort(c), ctx.Err()
	}
	return false, nil
}

// limits returns the bounds of a limit over all sizes; zero for pairs without one.
func (v *OverSizes) limits(id expr.ID) (lo, hi float64, ok bool) {
	if id == expr.None {
		return 0, 0, true
	}
	return v.extent(id)
}

// keepShort reports whether a sum is beyond one of its limits everywhere.
func (v *OverSizes) keepShort(ctx context.Context, c *solver.Check) (bool, error) {
	for _, l := range limitsOf(c) {
		lo, hi, ok := v.extent(l.sum)
		if !ok {
			continue
		}
		beyond := -lo + 2*c.Meets() // of the sum with its far side's sign
		if l.upper {
			beyond = hi + 2*c.Meets()
		}
		b, err := v.sumBeyond(ctx, c, !l.upper, beyond) // the far side of the sum, which must be beyond the limit as well
		if err != nil {
			return false, err
		}
		if b.Known && -l.sign*b.Worst > beyond {
			return true, nil
		}
	}
	return false, nil
}

// ofOnePlace is what a sum may use that has its value at one position.
const ofOnePlace = expr.UsesTurn | expr.UsesTravel | expr.UsesPoints

// sumBeyond bounds the sum of a keep line on one side, whatever its limits. A sum that depends on the whole turn has no
// value at one position.
func (v *OverSizes) sumBeyond(ctx context.Context, c *solver.Check, upper bool, keeps float64) (Bound, error) {
	if v.instant && v.m.Problem.Graph.Uses(c.Sum)&^ofOnePlace != 0 {
		return v.not(solver.NotTried), nil
	}
	bare := *c
	bare.AtLeast, bare.AtMost = expr.None, expr.None
	return v.keep(ctx, &bare, upper, keeps)
}

// gapShort reports whether the space across is too small, or too large, for all sizes, while the two pass each other.
func (v *OverSizes) gapShort(c *solver.Check) bool {
	least, _, ok := v.limits(c.AtLeast)
	small, _, ok2 := v.opening(c, -1, false)
	short := ok && ok2 && -small < least-2*c.Meets()
	if !short && c.AtMost != expr.None {
		_, most, ok := v.extent(c.AtMost)
		large, _, ok2 := v.opening(c, 1, true)
		short = ok && ok2 && large > most+2*c.Meets()
	}
	return short && v.nearer(c, -2*c.Meets())
}

// beside reports whether the bands of a pair overlap for all sizes.
func (v *OverSizes) beside(c *solver.Check) bool {
	open, _, ok := v.opening(c, -1, false)
	return ok && -open < -2*engine.Touch
}

// nearer reports whether the outlines of a pair are nearer than this, mm, for all sizes.
func (v *OverSizes) nearer(c *solver.Check, than float64) bool {
	if v.whole != nil || !v.plain(c.A) || !v.plain(c.B) {
		return false
	}
	a, b := v.form(c.A), v.form(c.B)
	return a != nil && b != nil && v.over.AtMost(a, b, v.m.Regions[c.A], v.m.Regions[c.B]) < than
}

// plain reports whether a profile does not depend on the sizes, or is made of solid rounds, bars and boxes. Places of
// these move no further than their corners and centres do.
func (v *OverSizes) plain(i int) bool {
	shapes := v.m.Problem.Profiles[i].Shapes
	touched := solver.ShapesTouched(shapes, func(ids ...expr.ID) bool {
		return slices.ContainsFunc(ids, func(id expr.ID) bool { return id != expr.None && v.sized(id) })
	})
	for k := range shapes {
		solid := shapes[k].Kind == outline.Disc || shapes[k].Kind == outline.Box || shapes[k].Kind == outline.Strip
		if touched && (shapes[k].Hole || !solid) {
			return false
		}
	}
	return true
}
