package machine

import (
	"context"
	"math"

	"barover/solver"
	"barover/solver/clearance"
	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/taylor"
)

// Sorter tells engines apart by one side of a check without solving them. Many goroutines may share it.
type Sorter struct {
	v    *OverSizes
	by   *clearance.Sorting
	asks float64 // what the side asks at most of the figure that it goes by
}

// Of tells of the engine with these values of the sizes whether the check holds in it on its side, Open where that is not sure, and what
// room it has at least, if it does not hold.
func (s *Sorter) Of(values []float64) (v Verdict, room float64) {
	if len(values) != len(s.v.sizes.List) { // nothing is known of those beyond
		return Open, math.Inf(-1)
	}
	dev := make([]float64, len(values))
	for i, x := range values {
		size := &s.v.sizes.List[i]
		dev[i] = math.Max(-1, math.Min(1, (x-size.Mid)/size.Half))
	}
	class, floor := s.by.Of(dev)
	switch class {
	case clearance.SurelyHolds:
		v = Holds
	case clearance.SurelyShort:
		v = FallsShort
	}
	return v, floor - s.asks
}

// Sorter prepares to tell engines apart by one side of a check; nil where that cannot be done, so that each has to be solved. Where
// the enclosure has sizes beyond an engine's own, such as where a pin stands in its play, all engines are left open.
func (v *OverSizes) Sorter(ctx context.Context, i int, upper bool) (*Sorter, error) {
	c := &v.m.Problem.Checks[i]
	sign := plane.Sign(!upper)
	if v.plan == nil {
		return nil, ctx.Err()
	}
	ask, ok := v.askedOf(c, upper)
	if !ok {
		return nil, ctx.Err()
	}
	s := &Sorter{v: v, asks: ask.keeps + c.Meets()}
	var err error
	switch {
	case c.Kind == solver.Gap:
		s.by = v.sortGap(c, upper, ask)
	case c.Kind == solver.Keep && v.stands(c.Sum, ask.less):
		s.by = v.sortStill(sign, ask, func(t *taylor.Compiler) (taylor.Slot, error) { return t.Difference(c.Sum, ask.less) })
	case v.whole != nil:
		return nil, ctx.Err()
	case c.Kind == solver.Keep:
		if s.by, err = v.over.SortSum(ctx, c.Sum, ask.less, sign, ask.keeps, v.told(c, ask.falls)); err != nil {
			return nil, ctx.Err()
		}
	case c.Kind == solver.Clear && !upper:
		if a, b := v.form(c.A), v.form(c.B); a != nil && b != nil && !v.plan.Loose() {
			s.by, _ = v.over.SortLeast(a, b, v.m.Regions[c.A], v.m.Regions[c.B], v.plain(c.A) && v.plain(c.B), ask.keeps, v.told(c, ask.falls))
		}
	}
	if s.by == nil {
		return nil, ctx.Err()
	}
	return s, ctx.Err()
}

// sideAsked is what one side of a check asks of its figure, with the sign of the side: an engine in which it is nowhere below keeps holds,
// one in which it is somewhere below falls does not. A limit that follows from the sizes, less, is taken off the figure of a keep line; one
// of a pair lies between the two.
type sideAsked struct {
	keeps, falls float64
	less         expr.ID
}

func (v *OverSizes) askedOf(c *solver.Check, upper bool) (a sideAsked, ok bool) {
	sign, id := 1.0, c.AtLeast
	if upper {
		sign, id = -1, c.AtMost
	}
	a.less = expr.None
	switch {
	case id == expr.None && (upper || c.Kind == solver.Keep):
		return a, false
	case v.joint(c, id):
		a.less = id
	default:
		lo, hi, ok := v.limits(id)
		if !ok {
			return a, false
		}
		a.keeps, a.falls = math.Max(sign*lo, sign*hi), math.Min(sign*lo, sign*hi)
	}
	// What floats make of a figure that is right at its limit is left in doubt.
	a.keeps, a.falls = a.keeps-c.Meets()+settled, a.falls-c.Meets()-settled
	return a, true
}

// told is what a figure must be below at some place for an engine to fall short. That cannot be told where the place may lie outside of
// the engine's own travels, or where a pair may pass without coming beside one another.
func (v *OverSizes) told(c *solver.Check, falls float64) float64 {
	if v.stretched || c.Kind == solver.Clear && !v.beside(c) {
		return math.Inf(-1)
	}
	return falls
}

// stands reports whether a sum, less another, goes by dimensions alone.
func (v *OverSizes) stands(sum, less expr.ID) bool {
	g := v.m.Problem.Graph
	return g.Uses(sum).Constant() && (less == expr.None || g.Uses(less).Constant())
}

// sortStill tells engines apart by what follows from dimensions alone; nil where it has no enclosure over all sizes.
func (v *OverSizes) sortStill(sign float64, a sideAsked, put func(*taylor.Compiler) (taylor.Slot, error)) *clearance.Sorting {
	b := taylor.NewBuilder()
	root, err := put(v.compiler(b))
	if err != nil {
		return nil
	}
	s := newStillSum(v, b, root, sign)
	if s.st.Place(&s.box, 0, s.end); !s.st.Fill(0, s.end) {
		return nil
	}
	poly := make([]float64, len(s.poly))
	for i, x := range s.st.Poly(root) {
		poly[i] = sign * x
	}
	return clearance.SortStill(s.st.Space, v.sizes.Disc, poly, s.st.Rad(root), a.keeps, a.falls)
}

// sortGap tells engines apart by the space across. That it is too small or too large counts only where the two pass each other.
func (v *OverSizes) sortGap(c *solver.Check, upper bool, a sideAsked) *clearance.Sorting {
	if !v.pass(c) {
		a.falls = math.Inf(-1)
	}
	sign := plane.Sign(!upper)
	return v.sortStill(sign, a, func(t *taylor.Compiler) (taylor.Slot, error) { return v.openingOf(t, c, upper) })
}

// pass reports whether the outlines of a pair are shown to overlap at some position, with all sizes.
func (v *OverSizes) pass(c *solver.Check) bool {
	if v.whole != nil || v.stretched || !v.plain(c.A) || !v.plain(c.B) {
		return false
	}
	a, b := v.form(c.A), v.form(c.B)
	return a != nil && b != nil && v.over.Somewhere(a, b, v.m.Regions[c.A], v.m.Regions[c.B]) < -2*c.Meets()
}

// Sorter prepares to tell engines apart, as that of OverSizes does; nil for what loose lines have to do with.
func (e *Everywhere) Sorter(ctx context.Context, i int, upper bool) (*Sorter, error) {
	if e.loose != nil && e.loose.places(i) {
		return nil, ctx.Err()
	}
	return e.Playing.Sorter(ctx, i, upper)
}
