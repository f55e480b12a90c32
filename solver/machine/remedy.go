package machine

import (
	"context"
	"math"

	"barover/solver"
	"barover/solver/engine"
)

// takeUp offers a value of a dimension with which a finding just holds, on the Machine n, and its effect on other checks.
// It adds the next available size, if the finding holds with that too.
func (m *Machine) takeUp(ctx context.Context, f *solver.Finding, l *solver.Lever, v float64, n *Machine, b *bench) error {
	next, spare, with, err := m.nextSize(ctx, f, l, v, b)
	if err != nil {
		return err
	}
	if with == nil {
		with = n
	}
	consequences := solver.Lever{}
	whole, err := with.consequences(ctx, f.Check, l.Dim, &consequences, b)
	if err != nil || !whole {
		return err
	}
	l.ToHold, l.Next, l.Spare = v, next, spare
	l.Breaks, l.Mends, l.Worsens = consequences.Breaks, consequences.Mends, consequences.Worsens
	return nil
}

// nextSize returns the next available size, the engine with it, and the room that it leaves. It takes a size short of v
// by no more than v exceeds what is needed, or otherwise the next beyond. It returns NaN and nil where the check is
// proved to hold with neither.
func (m *Machine) nextSize(ctx context.Context, f *solver.Finding, l *solver.Lever, v float64, b *bench) (size, spare float64, with *Machine, err error) {
	none := math.NaN()
	if b.o.Next == nil {
		return none, none, nil, nil
	}
	up := v > m.dimension(l.Dim)
	back := 4 * justHeld(&m.Problem.Checks[f.Check]) / math.Abs(l.PerUnit)
	if up {
		back = -back
	}
	tried := math.NaN()
	for _, from := range [2]float64{v + back, v} {
		size := b.o.Next(l.Dim, from, up)
		if math.IsNaN(size) || size == tried {
			continue
		}
		tried = size
		n, err := b.change(l.Dim, size)
		if err != nil {
			continue // it does not even assemble
		}
		found, err := b.answer(ctx, n, f.Check)
		if err != nil {
			return none, none, nil, err
		}
		if found[0].OK && found[0].Sure == solver.Proved {
			return size, m.Problem.Judge(&found[0]).Margin, n, nil
		}
	}
	return none, none, nil, ctx.Err()
}

// justHeld is the margin that an offered change must give a check: more than the distance between the bounds of a proof.
func justHeld(c *solver.Check) float64 { return 20 * c.Meets() }

// consequences finds what a change of a dimension, which made this Machine, does to all checks except one. It returns
// false where this Machine cannot be assembled over part of the turn although the engine before the change could.
func (m *Machine) consequences(ctx context.Context, but, dim int, l *solver.Lever, b *bench) (whole bool, err error) {
	broken, err := m.broken(ctx, Options{Workers: 1}, false)
	if err != nil || len(broken) > len(b.all.Broken) {
		return false, err
	}
	var held, short []int
	for _, i := range m.touchedBy(dim, b) {
		switch {
		case i == but:
		case b.all.Findings[i].OK:
			held = append(held, i)
		default:
			short = append(short, i)
		}
	}
	if l.Breaks, err = m.Failing(ctx, b.o, held); err != nil {
		return false, err
	}
	found, err := b.answer(ctx, m, short[:min(len(short), mostJudged)]...)
	for i := range found {
		was, is := m.Problem.Judge(&b.all.Findings[found[i].Check]), m.Problem.Judge(&found[i])
		switch {
		case is.OK:
			l.Mends = append(l.Mends, found[i].Check)
		case is.Margin < was.Margin-m.Problem.Checks[found[i].Check].Meets():
			l.Worsens = append(l.Worsens, found[i])
		}
	}
	return true, err
}

// mostJudged is for how many failing checks the effect of a change is computed: each is a proof.
const mostJudged = 24

// touchedBy lists the checks that depend on a dimension: all of them where the turn or a travel depends on it.
func (m *Machine) touchedBy(dim int, b *bench) []int {
	if !m.Problem.SameRanges(b.of.Problem) {
		return engine.Everything(m.Problem).Checks
	}
	return m.Problem.Touched(m.Values, dim)
}
