package machine

import (
	"context"

	"barover/solver"
	"barover/solver/expr"
)

// Failing lists those of the checks that do not hold. It is quicker than answering them: how near two parts come is worked
// out only as far as it takes to tell.
func (m *Machine) Failing(ctx context.Context, o Options, checks []int) ([]int, error) {
	p, err := m.enclosed(ctx, o)
	if err != nil {
		return nil, err
	}
	holds := make([]bool, len(checks))
	err = Share(ctx, o.quietly(), len(checks), func(k int) error {
		holds[k] = p.surely(ctx, m, checks[k])
		return ctx.Err()
	})
	if err != nil {
		return nil, err
	}
	var open []int
	for k, i := range checks {
		if !holds[k] {
			open = append(open, i)
		}
	}
	found, _, _, err := m.answer(ctx, o.quietly(), asked{checks: open})
	var out []int
	for i := range found {
		if !found[i].OK {
			out = append(out, found[i].Check)
		}
	}
	return out, err
}

// surely reports whether a clear line is soon proved to hold. A nil p proves only what needs no motion.
func (p *proofs) surely(ctx context.Context, m *Machine, i int) bool {
	f := m.blank(i)
	if m.still(&f) {
		return f.OK
	}
	c := &m.Problem.Checks[i]
	if p == nil || c.Kind != solver.Clear || len(m.Problem.Plays) > 0 || c.AtMost != expr.None || len(p.unproved) > 0 {
		return false
	}
	pr := p.provers.Must()
	defer p.provers.Put(pr)
	asks := m.wanted(c) - solver.MeetsLength
	return pr.Compare(ctx, m.body(c.A), m.body(c.B), asks).Lo >= asks
}
