package machine

import (
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/clearance"
	"barover/solver/engine"
	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/tube"
)

// byProof holds what was proved, by the places in what was asked; nil where it was not.
type byProof struct {
	findings []*solver.Finding
	unproved [][]solver.Unproved // of each finding that is nil, why
	extremes []*solver.Extremes
}

// answer proves what it can of what is asked. A nil p proves only what needs no motion.
func (p *proofs) answer(ctx context.Context, o Options, m *Machine, a engine.Asked) (byProof, error) {
	b := byProof{make([]*solver.Finding, len(a.Checks)), make([][]solver.Unproved, len(a.Checks)), make([]*solver.Extremes, len(a.Measures))}
	n, order := len(a.Checks), m.sumsFirst(a)
	err := Share(ctx, o.Counting("checks and measures"), n+len(a.Measures), func(i int) error {
		i = order[i]
		if i >= n {
			if p == nil || len(p.unproved) > 0 {
				return nil
			}
			e, err := p.measure(ctx, a.Measures[i-n])
			b.extremes[i-n] = e
			return err
		}
		f := m.blank(a.Checks[i])
		ok, err := m.still(&f), error(nil)
		switch {
		case !ok && p != nil:
			ok, err = p.check(ctx, &f, o.Levers == AllLevers)
		case !ok:
			f.Unproved = m.unprovedAll(m.reason(o))
		}
		if ok {
			b.findings[i] = &f
			if o.Found != nil && len(f.Unproved) == 0 && !m.hasPlay(o, &f) {
				o.Found(f)
			}
		} else {
			b.unproved[i] = f.Unproved
		}
		return err
	})
	return b, err
}

// left is the part of a that must be sampled: what was not proved, and what was proved except for a stretch of the turn,
// which may hold something worse.
func (b byProof) left(a engine.Asked) engine.Asked {
	out := engine.Asked{Marks: a.Marks}
	for k, i := range a.Checks {
		if b.findings[k] == nil || len(b.findings[k].Unproved) > 0 {
			out.Checks = append(out.Checks, i)
			if a.Bars != nil {
				out.Bars = append(out.Bars, a.Bars[k])
			}
		}
	}
	for k, i := range a.Measures {
		if b.extremes[k] == nil {
			out.Measures = append(out.Measures, i)
		}
	}
	return out
}

// join returns the answers to all that was asked, proved and sampled. The samples are in the order of left.
func (b byProof) join(s *survey, a engine.Asked) (f []solver.Finding, e []solver.Extremes) {
	n := 0
	for k := range a.Checks {
		p := b.findings[k]
		if p != nil && len(p.Unproved) == 0 {
			f = append(f, *p)
			continue
		}
		seen := s.finding(n)
		n++
		if p != nil {
			seen = s.m.beside(p, &seen)
		} else {
			seen.Unproved = b.unproved[k]
		}
		if s.checks[n-1].cut {
			seen.Unproved = append(slices.Clip(seen.Unproved), s.m.unprovedAll(solver.SearchCut)...)
		}
		f = append(f, seen)
	}
	n = 0
	for k := range a.Measures {
		if p := b.extremes[k]; p != nil {
			e = append(e, *p)
			continue
		}
		e = append(e, s.extremes(n))
		n++
	}
	return f, e
}

// still answers a check that does not depend on the motion: bands that never overlap, a sum of dimensions.
func (m *Machine) still(f *solver.Finding) bool {
	c := &m.Problem.Checks[f.Check]
	if m.Apart(f, c) {
		return true
	}
	if c.Kind != solver.Keep || !m.Problem.Graph.Uses(c.Sum).Constant() || m.Moves(c.AtLeast) || m.Moves(c.AtMost) {
		return false
	}
	v := engine.OrNone(m.Values.At(c.Sum))
	f.Least, f.Greatest, f.Sure = v, v, solver.Proved
	f.At = solver.Position{Turn: m.Problem.Turn.From, Travel: engine.RestSetting(m.Problem.Travels)}
	room, _ := c.Room(v, v, f.AtLeast, f.AtMost)
	f.OK = !math.IsNaN(v) && c.Suffices(room)
	if !f.OK {
		f.Fouls, f.FoulsAt = []solver.Interval{{From: m.Problem.Turn.From, To: m.Problem.Turn.To}}, f.At.Travel
	}
	return true
}

// check proves the answer to a check. It returns false where the proof does not end, or disagrees with the exact motion
// at its own place: then the answer must be sampled. If levers is set, the worst place is found closely even where the
// check holds.
func (p *proofs) check(ctx context.Context, f *solver.Finding, levers bool) (bool, error) {
	c := &p.m.Problem.Checks[f.Check]
	pr := p.provers.Must()
	defer p.provers.Put(pr)
	f.Sure, f.Unproved = p.m.sure(p.unproved), p.unproved
	ok, err := false, error(nil)
	switch c.Kind {
	case solver.Clear:
		ok, err = p.clear(ctx, pr, c, f, levers)
	case solver.Gap:
		ok, err = p.gap(ctx, pr, c, f)
	case solver.Keep:
		ok, err = p.keep(ctx, pr, c, f)
	}
	if !ok {
		f.Unproved = p.m.unprovedAll(p.why(ctx, pr, c))
	}
	if ok && err == nil && !f.OK {
		err = p.fillIn(ctx, c, f)
	}
	return ok, err
}

// clear proves a clear line.
func (p *proofs) clear(ctx context.Context, pr *clearance.Prover, c *solver.Check, f *solver.Finding, levers bool) (bool, error) {
	ok, err := p.clearOf(ctx, pr, c, f, levers)
	if ok && err == nil && c.AtMost != expr.None {
		return p.clearAtMost(ctx, pr, c, f)
	}
	return ok, err
}

// clearOf proves that a pair keeps its distance.
func (p *proofs) clearOf(ctx context.Context, pr *clearance.Prover, c *solver.Check, f *solver.Finding, levers bool) (bool, error) {
	a, b := p.m.body(c.A), p.m.body(c.B)
	ans := p.leastOf(ctx, pr, c.A, c.B)
	if !ans.Done || ctx.Err() != nil {
		return false, ctx.Err()
	}
	asks := p.m.Wanted(c)
	if levers || ans.Hi < asks-solver.MeetsLength {
		ans = pr.Closer(ctx, a, b, ans) // levers are computed at the worst place itself
	}
	at, ok, err := p.settleLeast(ctx, c, ans, f)
	if err != nil || !ok {
		return false, err
	}
	f.OK = f.Least >= asks-solver.MeetsLength
	if !f.OK {
		f.Fouls, f.FoulsAt = p.beyond(ctx, pr, at, p.within(ctx, c, asks)), f.At.Travel
		return true, ctx.Err()
	}
	if ans.Lo >= asks-solver.MeetsLength {
		return true, nil
	}
	// So near to the limit that the bounds must be refined to decide.
	limit := asks - solver.MeetsLength
	closer := clearance.New(p.tubes, p.telling(f.Least-limit)).Compare(ctx, a, b, limit)
	return closer.Lo >= limit, ctx.Err()
}

// clearAtMost proves that a pair comes as near as asked at every position. The least distance is known already.
func (p *proofs) clearAtMost(ctx context.Context, pr *clearance.Prover, c *solver.Check, f *solver.Finding) (bool, error) {
	a, b := p.m.body(c.A), p.m.body(c.B)
	far := pr.Farthest(ctx, a, b, math.Inf(-1))
	if !far.Done || ctx.Err() != nil {
		return false, ctx.Err()
	}
	n, at, ok, err := p.settlePair(ctx, c, far.Lo, far.Hi, -1, far.At)
	if err != nil || !ok {
		return false, err
	}
	f.Greatest = at.V
	room, held := f.AtMost-f.Greatest, f.OK
	below, _ := c.Room(f.Least, f.Least, f.AtLeast, math.NaN())
	worse := room < below && !solver.Overlap(f.Least) // a foul is worse than any pair too far apart
	if worse {
		f.Near, f.At = [2]plane.Vec{n.P, n.Q}, at.extreme().at
	}
	if !c.Suffices(room) {
		f.OK = false
		switch over := p.beyond(ctx, pr, at, p.apartFrom(ctx, c, f.AtMost)); {
		case !held && slices.Equal(f.FoulsAt, at.run.Travel): // too near here and too far there
			f.Fouls = engine.Together(f.Fouls, over)
		case worse:
			f.Fouls, f.FoulsAt = over, at.run.Travel
		}
		return true, ctx.Err()
	}
	if far.Hi <= f.AtMost+solver.MeetsLength {
		return true, nil
	}
	limit := f.AtMost + solver.MeetsLength
	closer := clearance.New(p.tubes, p.telling(limit-f.Greatest)).Farthest(ctx, a, b, limit)
	return closer.Hi <= limit, ctx.Err()
}

// telling is how near the bounds of a distance must be to decide that it holds by a margin, mm.
func (p *proofs) telling(margin float64) float64 {
	return math.Min(math.Min(p.m.tolerance(), solver.MeetsLength/4), math.Max(margin/4, settled))
}

// apartFrom returns the overrun of a pair that goes farther apart than a limit, mm.
func (p *proofs) apartFrom(ctx context.Context, c *solver.Check, limit float64) overrun {
	a, b := p.m.body(c.A), p.m.body(c.B)
	return overrun{p.m.PairFigure(c.A, c.B), limit, -1, func(pr *clearance.Prover, at tube.Place) tube.Stretches {
		return pr.Above(ctx, a, b, at, limit, fine)
	}}
}

// gap proves a gap line: whether the two pass each other in the side view is proved, and the rest is a sum.
func (p *proofs) gap(ctx context.Context, pr *clearance.Prover, c *solver.Check, f *solver.Finding) (bool, error) {
	a, b := p.m.body(c.A), p.m.body(c.B)
	ans := pr.Compare(ctx, a, b, -engine.Touch)
	switch {
	case ctx.Err() != nil:
		return false, ctx.Err()
	case ans.Lo >= -engine.Touch:
		f.Apart, f.OK = true, true
		return true, nil
	case !(ans.Hi < -engine.Touch):
		return false, nil
	}
	p.m.Passes(f, c)
	if !f.OK { // then the deepest place is worth finding
		if ans = p.leastOf(ctx, pr, c.A, c.B); !ans.Done {
			return false, ctx.Err()
		}
	}
	if f.OK {
		ans.Lo = math.Inf(-1) // any place where they pass serves
	}
	at, ok, err := p.settleLeast(ctx, c, ans, f)
	if err != nil || !ok {
		return false, err
	}
	p.m.Passes(f, c) // what was settled is how deep they overlap
	if !f.OK {
		f.Fouls, f.FoulsAt = p.beyond(ctx, pr, at, p.within(ctx, c, 0)), f.At.Travel
	}
	return true, ctx.Err()
}

// within returns the overrun of a pair that comes nearer in the side view than a limit, mm.
func (p *proofs) within(ctx context.Context, c *solver.Check, limit float64) overrun {
	a, b := p.m.body(c.A), p.m.body(c.B)
	return overrun{p.m.PairFigure(c.A, c.B), limit, 1, func(pr *clearance.Prover, at tube.Place) tube.Stretches {
		return pr.Below(ctx, a, b, at, limit, fine)
	}}
}

// sumsFirst is the order in which questions are given to goroutines, checks by their places in a and then measures. Sums
// come before pairs: some of them sample a whole turn, and the last pieces to begin should be short.
func (m *Machine) sumsFirst(a engine.Asked) []int {
	var sums, pairs []int
	for k, i := range a.Checks {
		if kind := m.Problem.Checks[i].Kind; kind == solver.Clear || kind == solver.Gap {
			pairs = append(pairs, k)
		} else {
			sums = append(sums, k)
		}
	}
	for k := range a.Measures {
		sums = append(sums, len(a.Checks)+k)
	}
	return append(sums, pairs...)
}
