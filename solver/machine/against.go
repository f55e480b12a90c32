package machine

import (
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/clearance"
	"barover/solver/engine"
	"barover/solver/expr"
)

// A package that solves an engine thousands of times seldom needs a figure to the last digit. It needs to know whether a
// check holds, and whether it is worse than found before. That proof takes a fraction of the time: the bounds are refined
// only until they decide, and checks with ample room are dropped at once.

// Verdict is what is known of a check compared with a Bar.
type Verdict uint8

// The verdicts.
const (
	Open       Verdict = iota // not decided: it must be answered in full
	Holds                     // proved: it holds, and no figure of it goes beyond the bar
	FallsShort                // proved: it does not hold, but no figure of it goes beyond the bar
)

// Against decides of each check whether it holds and stays within its bar, where that can be proved soon. It claims
// nothing that a full answer would not.
func (m *Machine) Against(ctx context.Context, o Options, checks []int, bars []engine.Bar) ([]Verdict, error) {
	p, err := m.enclosed(ctx, o)
	if err != nil {
		return nil, err
	}
	out := make([]Verdict, len(checks))
	err = Share(ctx, o.quietly(), len(checks), func(k int) error {
		if o.Wear > 0 && m.Problem.Checks[checks[k]].Kind == solver.Clear {
			return ctx.Err() // Open: what is proved here is for tight pins
		}
		out[k] = m.against(ctx, p, checks[k], bars[k])
		return ctx.Err()
	})
	return out, err
}

// against judges one check. A nil p proves only what needs no motion.
func (m *Machine) against(ctx context.Context, p *proofs, i int, bar engine.Bar) Verdict {
	c, f := &m.Problem.Checks[i], m.blank(i)
	if m.still(&f) {
		switch {
		case !f.Apart && (!(f.Least >= bar.Least) || !(solver.OrNumber(f.Greatest, f.Least) <= bar.Greatest)):
			return Open
		case f.OK:
			return Holds
		}
		return FallsShort
	}
	if c.Kind == solver.Gap {
		return m.acrossAgainst(c, bar)
	}
	if p == nil || len(p.unproved) > 0 || c.Kind == solver.Clear && len(m.Problem.Plays) > 0 {
		return Open
	}
	pr := p.provers.Must()
	defer p.provers.Put(pr)
	switch c.Kind {
	case solver.Clear:
		if c.AtMost != expr.None {
			return Open
		}
		return p.clearAgainst(ctx, pr, c, bar)
	case solver.Keep:
		return p.keepAgainst(ctx, pr, c, &f, bar)
	}
	return Open
}

// acrossAgainst judges a gap line: if the space across is enough, it does not matter whether the two pass each other.
func (m *Machine) acrossAgainst(c *solver.Check, bar engine.Bar) Verdict {
	smallest, largest := m.Openings(c.A, c.B)
	if c.Suffices(m.GapRoom(c)) && smallest >= bar.Least && largest <= bar.Greatest {
		return Holds
	}
	return Open
}

// clearAgainst judges a clear line. A figure settled on the exact motion may lie below the bound of a proof by rounding.
// Even then it must not go beyond the bar.
func (p *proofs) clearAgainst(ctx context.Context, pr *clearance.Prover, c *solver.Check, bar engine.Bar) Verdict {
	a, b := p.m.body(c.A), p.m.body(c.B)
	asks := p.m.Wanted(c) - solver.MeetsLength
	least := math.Max(bar.Least, asks) + settled
	if pr.Compare(ctx, a, b, least).Lo >= least {
		return Holds
	}
	if !(bar.Least+settled < asks) || !(pr.Compare(ctx, a, b, bar.Least+settled).Lo >= bar.Least+settled) {
		return Open
	}
	if pr.Compare(ctx, a, b, asks-settled).Hi < asks-settled {
		return FallsShort
	}
	return Open
}

// keepAgainst judges a keep line whose limits do not change with the turn.
func (p *proofs) keepAgainst(ctx context.Context, pr *clearance.Prover, c *solver.Check, f *solver.Finding, bar engine.Bar) Verdict {
	if p.m.Moves(c.AtLeast) || p.m.Moves(c.AtMost) {
		return Open
	}
	fig, err := pr.Figure(ctx, c.Sum)
	if err != nil {
		return Open
	}
	lo, hi := bar.Least, bar.Greatest
	if c.AtLeast != expr.None {
		lo = math.Max(lo, f.AtLeast-c.Meets())
	}
	if c.AtMost != expr.None {
		hi = math.Min(hi, f.AtMost+c.Meets())
	}
	if fig.Keeps(ctx, lo+settled, hi-settled) {
		return Holds
	}
	return Open
}

// Failing lists the checks that do not hold. It is quicker than answering them: the distance of two parts is computed
// only as closely as the decision needs.
func (m *Machine) Failing(ctx context.Context, o Options, checks []int) ([]int, error) {
	bars := make([]engine.Bar, len(checks))
	for i := range bars {
		bars[i] = engine.Bar{Least: math.Inf(-1), Greatest: math.Inf(1)}
	}
	verdicts, err := m.Against(ctx, o, checks, bars)
	if err != nil {
		return nil, err
	}
	var open, out []int
	for k, i := range checks {
		switch verdicts[k] {
		case Open:
			open = append(open, i)
		case FallsShort:
			out = append(out, i)
		}
	}
	found, _, _, err := m.answer(ctx, o.quietly(), engine.Asked{Checks: open})
	for i := range found {
		if !found[i].OK {
			out = append(out, found[i].Check)
		}
	}
	slices.Sort(out)
	return out, err
}
