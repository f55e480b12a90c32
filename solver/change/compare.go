package change

import (
	"cmp"
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/machine"
)

// Comparison is the differences between two engines. Nothing in it depends on the order of the statements.
type Comparison struct {
	Dims          []Dim // changed by themselves, by their names
	Followers     []Follower
	DimsCame      []string // dimensions that only the new engine has
	DimsWent      []string // and only the old one
	Checks        []Check  // those that came out differently, what matters most first
	Came          []int    // checks of the new engine that the old one does not ask
	Went          []int    // checks of the old engine that the new one does not ask any more
	Measures      []Measure
	Marks         []Mark
	Alone         []bool // of each of Dims: whether the engine can be solved with it alone changed
	Before, After *solver.Result
}

// Check is a check that came out differently. Figures are mm, rad or plain numbers; NaN where there was nothing to
// measure.
type Check struct {
	Before, After   int  // its numbers in the two engines
	Upper           bool // the figures are the greatest, at an upper limit; else the least
	Was, Is         float64
	OKBefore, OKNow bool
	Became          solver.Became
	Weight          float64 // how much the change matters, see solver.Weight
	Shares          []Share // the greatest first
	// Together is the rest: with the shares it adds up to Is − Was. It comes from dimensions that act together, from
	// dimensions that only one engine has, and from other lines of the sketch.
	Together float64
	// Lines says that the old engine with the new dimensions does not give Is: something other than the dimensions was
	// changed as well.
	Lines bool
}

// Share is the effect on a figure of changing one dimension alone.
type Share struct {
	Dim int // index into Comparison.Dims
	By  float64
}

// Compare solves both engines, and the old one again with each changed dimension alone. The error is linkage.Faults where
// one of the two cannot be solved, wrapped in an Unusable that says which.
func Compare(ctx context.Context, before, after *Engine, o machine.Options) (*Comparison, error) {
	c := new(Comparison)
	var err error
	if c.Before, err = study(ctx, before, o); err != nil {
		return nil, &Unusable{Old: true, Err: err}
	}
	if c.After, err = study(ctx, after, o); err != nil {
		return nil, &Unusable{Err: err}
	}
	c.Dims, c.DimsCame, c.DimsWent = Dims(before, after)
	c.Followers = c.followers(before, after)
	c.pairUp(before, after)
	if err := c.addShares(ctx, before, o); err != nil {
		return nil, err
	}
	slices.SortStableFunc(c.Checks, func(a, b Check) int {
		return cmp.Or(solver.Mattering(a.Became, a.Weight, b.Became, b.Weight), cmp.Compare(after.About[a.After], after.About[b.After]), cmp.Compare(after.Line[a.After], after.Line[b.After]))
	})
	c.measures(before, after)
	c.marks(before, after)
	return c, nil
}

// Unusable is why one of the two engines cannot be solved.
type Unusable struct {
	Old bool // it is the first of the two
	Err error
}

func (u *Unusable) Error() string { return u.Err.Error() }

// Unwrap returns the reason.
func (u *Unusable) Unwrap() error { return u.Err }

func study(ctx context.Context, e *Engine, o machine.Options) (*solver.Result, error) {
	m, err := e.Vary.Machine(nil)
	if err != nil {
		return nil, err
	}
	return m.Study(ctx, o)
}

// pairUp finds the checks that came out differently, and those that only one engine asks.
func (c *Comparison) pairUp(before, after *Engine) {
	pairs, came := match(before, after)
	c.Came = came
	for _, i := range inOrder(before) {
		k := pairs[i]
		if k < 0 {
			c.Went = append(c.Went, i)
			continue
		}
		if d, changed := difference(before.Problem, &c.Before.Findings[i], after.Problem, &c.After.Findings[k]); changed {
			d.Before, d.After = i, k
			c.Checks = append(c.Checks, d)
		}
	}
}

// difference compares two answers by the figure that is nearest to its limit now, or that fell short before where none
// does now. Where that figure did not change, it compares the one at the other end, if that has a limit too.
func difference(before *solver.Problem, was *solver.Finding, after *solver.Problem, is *solver.Finding) (d Check, changed bool) {
	d.OKBefore, d.OKNow = was.OK, is.OK
	old, now := before.Judge(was), after.Judge(is)
	d.Became, d.Weight = solver.Change(&old, &now), solver.Weight(&old, &now)
	if d.Upper = now.Upper; is.Apart || !was.OK && is.OK {
		d.Upper = old.Upper
	}
	take := func(upper bool) {
		d.Upper, d.Was, d.Is = upper, was.Figure(upper), is.Figure(upper)
		d.Together = d.Is - d.Was
	}
	if take(d.Upper); same(d.Was, d.Is) && d.OKBefore == d.OKNow {
		had, limited := before.Checks[was.Check].RoomOn(was, !d.Upper)
		has, limits := after.Checks[is.Check].RoomOn(is, !d.Upper)
		if !limits {
			return d, false
		}
		if take(!d.Upper); limited && d.OKNow && has < had {
			d.Became = solver.Worse
		}
	}
	return d, !same(d.Was, d.Is) || d.OKBefore != d.OKNow
}

// addShares solves the old engine with each changed dimension alone, and with all of them.
func (c *Comparison) addShares(ctx context.Context, before *Engine, o machine.Options) error {
	c.Alone = make([]bool, len(c.Dims))
	if len(c.Checks) == 0 {
		for i := range c.Alone {
			c.Alone[i] = true
		}
		return nil
	}
	for one := range c.Dims {
		if sameValue(c.Dims[one].Before, c.Dims[one].After) {
			c.Alone[one] = true
			continue
		}
		found, err := c.again(ctx, before, held(c.Dims, one), o)
		if err != nil {
			return err
		}
		c.Alone[one] = found != nil
		for i := range found {
			c.Checks[i].add(one, &found[i])
		}
	}
	for i := range c.Checks {
		slices.SortStableFunc(c.Checks[i].Shares, func(a, b Share) int {
			return cmp.Or(bySize(a.By, b.By), cmp.Compare(c.Dims[a.Dim].Name, c.Dims[b.Dim].Name))
		})
	}
	found, err := c.again(ctx, before, all(c.Dims), o)
	for i := range c.Checks {
		d := &c.Checks[i]
		d.Lines = found == nil || !same(found[i].Figure(d.Upper), d.Is)
	}
	return err
}

// again answers the changed checks of the old engine with other dimensions. It returns nil where that engine cannot be
// solved, or not all the way round though both can.
func (c *Comparison) again(ctx context.Context, before *Engine, change map[int]float64, o machine.Options) ([]solver.Finding, error) {
	m, err := before.Vary.Machine(change)
	if err != nil {
		return nil, nil
	}
	checks := make([]int, len(c.Checks))
	for i := range checks {
		checks[i] = c.Checks[i].Before
	}
	res, err := m.Some(ctx, o, checks)
	if err != nil || len(res.Broken) > 0 && len(c.Before.Broken) == 0 && len(c.After.Broken) == 0 {
		return nil, err
	}
	return res.Findings, nil
}

// add notes the effect of one dimension alone.
func (d *Check) add(dim int, alone *solver.Finding) {
	by := alone.Figure(d.Upper) - d.Was
	if !(math.Abs(by) > little) {
		return
	}
	d.Shares = append(d.Shares, Share{dim, by})
	d.Together = d.Is - d.Was
	for _, s := range d.Shares {
		d.Together -= s.By
	}
}
