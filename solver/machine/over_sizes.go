package machine

import (
	"context"
	"errors"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/clearance"
	"barover/solver/engine"
	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/spare"
	"barover/solver/taylor"
	"barover/solver/tube"
)

// Sizes are dimensions that may have every value within their tolerances. Where Disc is set, a size and the next one,
// both about zero and equally wide, are a place in a disc: the place of a pin in its eye.
type Sizes struct {
	List []tube.Size
	Disc []bool // nil for none
	// Coarse is how coarse the boxes may be, as a share of how far the sizes move the place that they move most; 0 for
	// the usual. A figure encloses parts of them again where that brings it nearer to the worst.
	Coarse float64
	Parts  int // how many parts of boxes may be tried for one figure; 0 for the usual
}

// OverSizes is every engine that sizes allow, enclosed at once. The Machine that it is made with has every size in the
// middle. Many goroutines may share it.
type OverSizes struct {
	m       *Machine
	sizes   Sizes
	plan    *tube.Plan
	over    *clearance.Over
	instant bool             // at one position alone
	whole   *solver.Unproved // why no moving figure is bounded; nil where it may be
	// stretched says that an end of the travels follows from a size, so that not every engine goes everywhere.
	stretched bool

	forms     spare.Once[int, *clearance.Form] // of the profiles; nil for one that has none
	playAlone bool                             // every size is a play, none a tolerance
}

// Bound is what is known of the worst of a figure over every engine and every position. The figure is nowhere beyond
// Worst. Where that is not known, Why gives the reason.
type Bound struct {
	Known bool
	Worst float64 // mm, rad or a plain number
	Room  float64 // the room that every engine has to its limit at least
	Joint bool    // the limit depends on the sizes too: the room is bounded, and Worst follows from it
	Near  float64 // approximate figure of the worst engine
	Apart bool    // the two never overlap across, whatever the sizes
	At    tube.Place
	With  []float64 // the values of the sizes near the worst; nil where not searched for
	Why   solver.Unproved
	ways  []Bound   // where loose lines hold in several ways: what is known, for each of them, of the stretch of the worst
	way   *looseWay // the way in which they hold; nil where none do
}

// OverSizes encloses every engine at once. The error is from a context that ended.
func (m *Machine) OverSizes(ctx context.Context, o Options, sizes Sizes) (*OverSizes, error) {
	return m.overSizes(ctx, o, sizes, nil)
}

// Why says why no moving figure is bounded; NotTried where it is.
func (v *OverSizes) Why() solver.Why {
	if v.whole == nil {
		return solver.NotTried
	}
	return v.whole.Why
}

// overSizes is OverSizes. If a position is given, it covers what the engines do there alone.
func (m *Machine) overSizes(ctx context.Context, o Options, sizes Sizes, at *place) (*OverSizes, error) {
	v := &OverSizes{m: m, sizes: sizes}
	if sizes.Disc == nil {
		v.sizes.Disc = make([]bool, len(sizes.List))
	}
	why, err := v.enclose(ctx, o, at)
	if err != nil {
		return nil, err
	}
	if why != solver.NotTried {
		v.whole = &m.unprovedAll(why)[0]
	}
	return v, ctx.Err()
}

// enclose makes the tubes. It returns why there are none. It returns NotTried where there are some, or where they have
// gaps, which whole then names.
func (v *OverSizes) enclose(ctx context.Context, o Options, at *place) (solver.Why, error) {
	m := v.m
	parts, points := engine.AskedAbout(m.Problem)
	var err error
	v.plan, err = tube.NewPlanOver(m.Linkage.Schedule(), m.Values, v.sizes.List, parts, points)
	switch {
	case errors.Is(err, tube.TooManySizes):
		return solver.TooManySizes, nil
	case err != nil && v.plan != nil && v.plan.Loose():
		return solver.LooseLines, nil
	case err != nil:
		return solver.RoughDrive, nil
	}
	settings, ok := v.settings()
	switch {
	case !ok:
		return solver.SizesMoveRange, nil
	case len(settings) > maxTubes:
		return solver.TooManySettings, nil
	}
	var only *tube.Range
	ask := m.asked(o)
	ask.Coarse, ask.Affine = v.sizes.Coarse, at == nil
	if at != nil {
		v.instant = !at.turns
		var turn tube.Range
		if turn, settings = v.about(at); v.instant {
			ask.Turn = turn
		} else {
			only = &turn
		}
	}
	tubes, err := m.encloseAt(ctx, o, v.plan, ask, settings)
	if err == nil && ask.Affine && slices.ContainsFunc(tubes, func(t *tube.Tube) bool { return !t.Whole() }) {
		ask.Affine = false // squares may help
		tubes, err = m.encloseAt(ctx, o, v.plan, ask, settings)
	}
	if errors.Is(err, errNone) {
		return solver.TooManyRanges, ctx.Err()
	}
	if err != nil {
		return solver.NotTried, err
	}
	if v.over, ok = clearance.NewOver(tubes, v.sizes.Disc, m.tolerance()); !ok {
		p := newProofs(m)
		p.tubes = tubes
		if p.gaps(nil); len(p.unproved) > 0 {
			v.whole = &p.unproved[0]
			return solver.NotTried, nil
		}
		return solver.SizesPart, nil
	}
	if only != nil {
		v.over.Only(*only)
	}
	if v.sizes.Parts > 0 {
		v.over.Allow(v.sizes.Parts)
	}
	return solver.NotTried, nil
}

// Enclosed reports whether the motion of all engines is enclosed. Without it only what does not move is bounded.
func (v *OverSizes) Enclosed() bool { return v.whole == nil }

// settings returns the settings of the tubes. A range goes from the least that one of its ends may be to the greatest. It
// returns false where a list of settings depends on a size.
func (v *OverSizes) settings() ([][]tube.Range, bool) {
	out := v.m.tubeSettings()
	followed := engine.Followed(v.m.Problem)
	for k, t := range v.m.Travels {
		if followed&expr.TravelBit(k) == 0 {
			continue
		}
		for _, id := range t.Sums {
			lo, hi, ok := v.extent(id)
			if !ok {
				return nil, false
			}
			if lo == hi {
				continue
			}
			if !t.Range {
				return nil, false
			}
			v.stretched = true
			for i := range out {
				out[i][k] = tube.Range{From: math.Min(out[i][k].From, lo), To: math.Max(out[i][k].To, hi)}
			}
		}
	}
	return out, true
}

// extent bounds a sum of dimensions over all sizes. It returns false where it cannot.
func (v *OverSizes) extent(id expr.ID) (lo, hi float64, ok bool) {
	if !v.sized(id) {
		lo = v.m.Values.At(id)
		return lo, lo, !math.IsNaN(lo)
	}
	lo, _, ok1 := v.least(id, 1)
	hi, _, ok2 := v.least(id, -1)
	return lo, -hi, ok1 && ok2
}

// least bounds a sum of dimensions from below, or its negative with a sign of -1. It also returns the sizes near the
// least.
func (v *OverSizes) least(id expr.ID, sign float64) (lo float64, dev []float64, ok bool) {
	return v.leastOf(sign, func(c *taylor.Compiler) (taylor.Slot, error) { return c.Sum(id) })
}

// leastOf is least for a sum that put puts on a tape.
func (v *OverSizes) leastOf(sign float64, put func(*taylor.Compiler) (taylor.Slot, error)) (lo float64, dev []float64, ok bool) {
	b := taylor.NewBuilder()
	s, err := put(v.compiler(b))
	if err != nil {
		return 0, nil, false
	}
	return newStillSum(v, b, s, sign).search()
}

// compiler puts sums of dimensions on a tape.
func (v *OverSizes) compiler(b *taylor.Builder) *taylor.Compiler {
	return &taylor.Compiler{Builder: b, Values: v.m.Values, Sizes: v.plan.Params()}
}

// Check bounds the worst of a check: the least of its figure or, if upper is set, the greatest.
func (v *OverSizes) Check(ctx context.Context, i int, upper bool) (Bound, error) {
	b, err := v.figure(ctx, i, upper)
	if err != nil || !b.Known || b.Apart {
		return b, err
	}
	c := &v.m.Problem.Checks[i]
	sign, id := 1.0, c.AtLeast
	if upper {
		sign, id = -1, c.AtMost
	}
	switch limit, ok := v.limit(id, upper); {
	case id == expr.None && c.Kind == solver.Keep:
		b.Room = math.Inf(1)
	case !ok:
		b.Room = math.Inf(-1)
	case v.joint(c, id):
		b.Joint, b.Room = true, sign*b.Worst
	default:
		b.Room = sign * (b.Worst - limit)
	}
	return b, nil
}

// joint reports whether the room to a limit is bounded as one sum, since both depend on the sizes.
func (v *OverSizes) joint(c *solver.Check, id expr.ID) bool {
	if c.Kind != solver.Keep || id == expr.None {
		return false
	}
	return v.sized(id)
}

// sized reports whether a sum depends on a size.
func (v *OverSizes) sized(id expr.ID) bool {
	t := taylor.Compiler{Values: v.m.Values, Sizes: v.plan.Params()}
	return t.Sized(id) || v.m.Moves(id)
}

// figure bounds the figure of a check.
func (v *OverSizes) figure(ctx context.Context, i int, upper bool) (b Bound, err error) {
	c := &v.m.Problem.Checks[i]
	switch {
	case c.Kind == solver.Gap:
		return v.across(c, upper), nil
	case c.Kind == solver.Clear && v.apart(c):
		return Bound{Known: true, Worst: math.NaN(), Apart: true}, nil
	case c.Kind == solver.Keep:
		return v.keep(ctx, c, upper, math.Inf(1))
	case v.whole != nil:
		return Bound{Why: *v.whole}, nil
	case c.Kind == solver.Clear && upper:
		return v.farthest(ctx, c)
	case c.Kind == solver.Clear:
		return v.clear(ctx, c)
	}
	return v.not(solver.LooseLines), nil
}

// not returns a bound that is not known.
func (v *OverSizes) not(why solver.Why) Bound { return Bound{Why: v.m.unprovedAll(why)[0]} }

func (v *OverSizes) clear(ctx context.Context, c *solver.Check) (Bound, error) {
	if p := v.m.Problem.Profiles; v.plan.Loose() && !(v.plan.Encloses(p[c.A].Part) && v.plan.Encloses(p[c.B].Part)) {
		return v.not(solver.LooseLines), nil
	}
	a, b := v.form(c.A), v.form(c.B)
	if a == nil || b == nil {
		return v.not(solver.RoughOutline), nil
	}
	w, ok := v.over.Least(ctx, a, b)
	if !ok {
		why := solver.SizesOverlap
		if v.playAlone {
			why = solver.PlayOverlap
		}
		out := v.not(why)
		out.With, out.At, out.Near = v.with(w.Dev), w.At, w.Near
		return out, ctx.Err()
	}
	return Bound{Known: true, Worst: w.Lo, Near: w.Near, At: w.At, With: v.with(w.Dev)}, ctx.Err()
}

// farthest bounds the greatest distance of a pair.
func (v *OverSizes) farthest(ctx context.Context, c *solver.Check) (Bound, error) {
	a, b := v.form(c.A), v.form(c.B)
	if a == nil || b == nil || !v.plain(c.A) || !v.plain(c.B) {
		return v.not(solver.RoughOutline), nil
	}
	w, ok := v.over.Most(ctx, a, b, v.m.Regions[c.A], v.m.Regions[c.B])
	if !ok {
		return v.not(solver.Undecided), ctx.Err()
	}
	return Bound{Known: true, Worst: w.Lo, Near: w.Near, At: w.At, With: v.with(w.Dev)}, ctx.Err()
}

// keep bounds the sum of a keep line on one side. It refines the bound only until it is known to be above keeps, with its
// sign.
func (v *OverSizes) keep(ctx context.Context, c *solver.Check, upper bool, keeps float64) (Bound, error) {
	sign, less := 1.0, c.AtLeast
	if upper {
		sign, less = -1, c.AtMost
	}
	if !v.joint(c, less) {
		less = expr.None
	}
	if v.stands(c.Sum, less) {
		return v.still(c.Sum, less, sign), nil
	}
	if v.whole != nil {
		return Bound{Why: *v.whole}, nil
	}
	tolerance := v.m.tolerance()
	if c.Angle || c.Number {
		tolerance = proved / 10
	}
	w, err := v.over.LeastSum(ctx, c.Sum, less, sign, tolerance, keeps)
	if err != nil {
		return v.not(whyOpen(err, v.plan.Loose())), ctx.Err()
	}
	return Bound{Known: !math.IsInf(w.Lo, 0) && !math.IsNaN(w.Lo), Worst: sign * w.Lo, Near: sign * w.Near, At: w.At, With: v.with(w.Dev)}, ctx.Err()
}

// with returns the values of the sizes with some deviations.
func (v *OverSizes) with(dev []float64) (out []float64) {
	for i, d := range dev {
		out = append(out, v.sizes.List[i].Mid+v.sizes.List[i].Half*d)
	}
	return out
}

// form returns the form of a profile; nil where it has none.
func (v *OverSizes) form(i int) *clearance.Form {
	f, _ := v.forms.Get(i, func() (*clearance.Form, error) {
		p := &v.m.Problem.Profiles[i]
		f, _ := v.over.Form(p.Part, v.m.Regions[i], p.Shapes)
		return f, nil
	})
	return f
}

// apart reports whether the bands of a pair are apart whatever the sizes.
func (v *OverSizes) apart(c *solver.Check) bool {
	if !v.m.BandsApart(c.A, c.B) {
		return false
	}
	lo, _, ok := v.opening(c, 1, false)
	return ok && lo >= -engine.Touch
}

// across bounds the opening of a gap line: the smallest from below, the largest from above.
func (v *OverSizes) across(c *solver.Check, upper bool) Bound {
	sign := plane.Sign(!upper)
	lo, dev, ok := v.opening(c, sign, upper)
	if !ok {
		return v.not(solver.RoughSum)
	}
	if upper {
		lo = -lo
	}
	return Bound{Known: true, Worst: lo, Near: lo, With: v.with(dev)}
}

// opening bounds the smallest opening of a pair, or the largest, from below; with a sign of -1 its negative.
func (v *OverSizes) opening(c *solver.Check, sign float64, largest bool) (lo float64, dev []float64, ok bool) {
	return v.leastOf(sign, func(t *taylor.Compiler) (taylor.Slot, error) { return v.openingOf(t, c, largest) })
}

// openingOf puts the smallest opening of a pair on a tape, or the largest.
func (v *OverSizes) openingOf(t *taylor.Compiler, c *solver.Check, largest bool) (taylor.Slot, error) {
	p, q := &v.m.Problem.Profiles[c.A], &v.m.Problem.Profiles[c.B]
	var fault error
	sum := func(id expr.ID) taylor.Slot {
		s, err := t.Sum(id)
		if err != nil {
			fault, s = err, t.Number(0)
		}
		return s
	}
	// Either the same one of the two is further out for all sizes, or both orders count.
	d := t.Max(t.Sub(sum(p.From), sum(q.To)), t.Sub(sum(q.From), sum(p.To)))
	for _, part := range [2]int{p.Part, q.Part} {
		if part < len(v.m.Problem.Sideplay) && v.m.Problem.Sideplay[part] != expr.None {
			if side := sum(v.m.Problem.Sideplay[part]); largest {
				d = t.Add(d, side)
			} else {
				d = t.Sub(d, side)
			}
		}
	}
	return d, fault
}

// limit returns the strictest value of a limit over all sizes: the greatest of a lower one, the least of an upper one.
func (v *OverSizes) limit(id expr.ID, upper bool) (float64, bool) {
	if id == expr.None {
		return 0, !upper
	}
	if v.m.Moves(id) {
		return 0, false
	}
	lo, hi, ok := v.extent(id)
	if upper {
		return lo, ok
	}
	return hi, ok
}

// Holds reports whether a bound proves that a check holds in every engine on its side.
func (v *OverSizes) Holds(i int, b *Bound) bool {
	return b.Known && (b.Apart || v.m.Problem.Checks[i].Suffices(b.Room))
}
