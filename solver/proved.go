package solver

import (
	"context"
	"math"
	"slices"

	"barover/solver/clearance"
	"barover/solver/expr"
	"barover/solver/plane"
	"barover/solver/tube"
)

// byProof is what was proved, by the places in what was asked; nil where it was not.
type byProof struct {
	findings []*Finding
	extremes []*Extremes
}

// answer proves what it can of what is asked. A nil p proves only what needs no motion.
func (p *proofs) answer(ctx context.Context, o Options, m *Machine, a asked) (byProof, error) {
	b := byProof{make([]*Finding, len(a.checks)), make([]*Extremes, len(a.measures))}
	n := len(a.checks)
	err := share(ctx, o, n+len(a.measures), func(i int) error {
		if i >= n {
			if p == nil || len(p.unproved) > 0 {
				return nil
			}
			e, err := p.measure(ctx, a.measures[i-n])
			b.extremes[i-n] = e
			return err
		}
		f := m.blank(a.checks[i])
		ok, err := m.still(&f), error(nil)
		if !ok && p != nil {
			ok, err = p.check(ctx, &f)
		}
		if ok {
			b.findings[i] = &f
		}
		return err
	})
	return b, err
}

// left is what of a must be looked at position by position: what was not proved, and what was proved but for a stretch of
// the turn, which may hold something worse.
func (b byProof) left(a asked) asked {
	out := asked{marks: a.marks}
	for k, i := range a.checks {
		if b.findings[k] == nil || len(b.findings[k].Unproved) > 0 {
			out.checks = append(out.checks, i)
		}
	}
	for k, i := range a.measures {
		if b.extremes[k] == nil {
			out.measures = append(out.measures, i)
		}
	}
	return out
}

// still answers a check that does not depend on the motion: bands that never overlap, a sum of dimensions.
func (m *Machine) still(f *Finding) bool {
	c := &m.Problem.Checks[f.Check]
	if m.apart(f, c) {
		return true
	}
	if c.Kind != Keep || !m.Problem.Graph.Uses(c.Sum).Constant() || m.moves(c.AtLeast) || m.moves(c.AtMost) {
		return false
	}
	v := orNone(m.Values.At(c.Sum))
	f.Least, f.Greatest, f.Sure = v, v, Proved
	f.At = Position{Turn: m.Problem.Turn.From, Travel: restSetting(m.Problem.Travels)}
	f.OK = v == v && !(v < f.AtLeast-c.meets()) && !(v > f.AtMost+c.meets())
	if !f.OK {
		f.Fouls, f.FoulsAt = []Interval{{m.Problem.Turn.From, m.Problem.Turn.To}}, f.At.Travel
	}
	return true
}

// check proves the answer to a check. It reports false where the proof does not come to an end, or does not agree with what
// is found at its own place: then the answer must be sampled.
func (p *proofs) check(ctx context.Context, f *Finding) (bool, error) {
	c := &p.m.Problem.Checks[f.Check]
	pr := p.provers.Get().(*clearance.Prover)
	defer p.provers.Put(pr)
	f.Sure, f.Unproved = Proved, p.unproved
	switch c.Kind {
	case Clear:
		return p.clear(ctx, pr, c, f)
	case Gap:
		return p.gap(ctx, pr, c, f)
	case Keep:
		return p.keep(ctx, pr, c, f)
	}
	return false, nil
}

// clear proves a clear line.
func (p *proofs) clear(ctx context.Context, pr *clearance.Prover, c *Check, f *Finding) (bool, error) {
	a, b := p.m.body(c.A), p.m.body(c.B)
	ans := p.leastOf(ctx, pr, c.A, c.B)
	if !ans.Done || ctx.Err() != nil {
		return false, ctx.Err()
	}
	at, ok, err := p.settlePair(ctx, c, ans, f)
	if err != nil || !ok {
		return false, err
	}
	asks := p.m.wanted(c)
	f.OK = f.Least >= asks-meetsLength
	if !f.OK {
		f.Fouls, f.FoulsAt = p.beyond(at.run, p.m.pairFigure(c.A, c.B), asks, pr.Below(ctx, a, b, at.place, asks, fine)), f.At.Travel
		return true, ctx.Err()
	}
	if ans.Lo >= asks-meetsLength {
		return true, nil
	}
	// So near to what is asked that the bounds must come nearer to one another to tell.
	closer := clearance.New(p.tubes, meetsLength/4).Compare(ctx, a, b, asks-meetsLength)
	return closer.Lo >= asks-meetsLength, ctx.Err()
}

// gap proves a gap line: whether the two pass each other in the side view is proved, the rest is a sum.
func (p *proofs) gap(ctx context.Context, pr *clearance.Prover, c *Check, f *Finding) (bool, error) {
	a, b := p.m.body(c.A), p.m.body(c.B)
	ans := pr.Compare(ctx, a, b, -touch)
	switch {
	case ctx.Err() != nil:
		return false, ctx.Err()
	case ans.Lo >= -touch:
		f.Apart, f.OK = true, true
		return true, nil
	case !(ans.Hi < -touch):
		return false, nil
	}
	f.OK = p.m.gapMargin(c) >= -meetsLength
	if !f.OK { // then the deepest is worth finding
		if ans = p.leastOf(ctx, pr, c.A, c.B); !ans.Done {
			return false, ctx.Err()
		}
	}
	if f.OK {
		ans.Lo = math.Inf(-1) // any place where they pass will do
	}
	at, ok, err := p.settlePair(ctx, c, ans, f)
	if err != nil || !ok {
		return false, err
	}
	f.Least = p.m.gap(c.A, c.B)
	if !f.OK {
		f.Fouls, f.FoulsAt = p.beyond(at.run, p.m.pairFigure(c.A, c.B), 0, pr.Below(ctx, a, b, at.place, 0, fine)), f.At.Travel
	}
	return true, ctx.Err()
}

// settledAt is what a proof found, on the exact motion.
type settledAt struct {
	knot
	run   *run
	place clearance.Place
}

// settle finds on the exact motion what a proof found at a place, of a sum or of a pair (sum None): the least (sign 1) or
// greatest (−1) close by. Each travel that makes no difference is put to rest, so that no setting is named for nothing.
// It reports false where what is found does not lie within the bounds of the proof.
func (p *proofs) settle(ctx context.Context, fig figure, sum expr.ID, place clearance.Place, lo, hi, sign float64) (settledAt, bool, error) {
	r, err := p.exactly(ctx, place.Travel, sum)
	if err != nil {
		return settledAt{}, false, err
	}
	k, ok := r.settle(fig, place.Turn, sign)
	if !ok || k.v < lo-settled || k.v > hi+settled {
		return settledAt{}, false, nil
	}
	at := settledAt{k, r, place}
	for i, t := range p.m.Problem.Travels {
		tube, way := p.put(at.place.Travel, i, t.Rest)
		if tube < 0 {
			continue
		}
		if r, err = p.exactly(ctx, way, sum); err != nil {
			return at, false, err
		}
		c := &curve{run: r, fig: fig, at: p.m.newStation()}
		if v := c.value(at.t); math.Abs(v-at.v) <= level*math.Max(1, math.Abs(at.v)) {
			at = settledAt{knot{at.t, v}, r, clearance.Place{Tube: tube, Travel: way}}
		}
	}
	at.place.Turn = at.t
	return at, true, nil
}

// put is the travels with one at rest, and the tube that holds them; -1 where none does or it is at rest already.
func (p *proofs) put(travel []float64, i int, rest float64) (int, []float64) {
	if travel[i] == rest {
		return -1, nil
	}
	way := slices.Clone(travel)
	way[i] = rest
	for n, t := range p.tubes {
		if holds(t.Travel, way) {
			return n, way
		}
	}
	return -1, nil
}

func holds(ranges []tube.Range, travel []float64) bool {
	for k, r := range ranges {
		if !(travel[k] >= r.From && travel[k] <= r.To) {
			return false
		}
	}
	return true
}

// settlePair puts what a pair comes to close to the place of a proof into f.
func (p *proofs) settlePair(ctx context.Context, c *Check, ans clearance.Answer, f *Finding) (settledAt, bool, error) {
	fig := p.m.pairFigure(c.A, c.B)
	at, ok, err := p.settle(ctx, fig, expr.None, ans.At, ans.Lo, ans.Hi, 1)
	s := p.m.newStation()
	if err != nil || !ok || !at.run.stand(at.t, s) {
		return at, false, err
	}
	n := fig.near(s)
	f.Least, f.Near, f.At = n.D, [2]plane.Vec{n.P, n.Q}, Position{Turn: at.t, Travel: at.run.travel}
	return at, true, nil
}

const (
	// nearby is how far from the place of a proof its least is settled, rad: more than a proof's place errs by, and less
	// than the width of a valley.
	nearby = 0.5 * coarsest
	// settled is by how much a settled figure may lie outside the bounds of its proof, mm, rad or as a bare number:
	// rounding.
	settled = 1e-9
	// fine is how close the ends of a stretch are proved, rad: 0.001°.
	fine = 0.001 * math.Pi / 180
)

// settle finds the least (sign 1) or greatest (−1) that a figure has close to turn t, on the exact motion.
func (r *run) settle(f figure, t, sign float64) (knot, bool) {
	c := &curve{run: r, fig: f, at: r.m.newStation()}
	lo, hi := t-nearby, t+nearby
	if !r.closed {
		lo, hi = math.Max(lo, r.from), math.Min(hi, r.to)
	}
	best := c.look(t)
	if best.v != best.v {
		return best, false
	}
	for _, k := range [2]knot{c.look(lo), c.look(hi)} {
		if sign*k.v < sign*best.v {
			best = k
		}
	}
	if k, ok := c.turn(knot{t: lo, v: c.value(lo)}, best, knot{t: hi, v: c.value(hi)}, sign); ok {
		best = k
	}
	best.t = r.wrap(best.t)
	// Of level places the earlier is named: the start of the turn, or the way out rather than the way back of an engine
	// that does both alike.
	for _, t := range [2]float64{r.from, r.from + r.to - best.t} {
		if t >= best.t {
			continue
		}
		if k := c.look(t); math.Abs(k.v-best.v) <= level*math.Max(1, math.Abs(best.v)) {
			return k, true
		}
	}
	return best, true
}

// beyond is the stretches over which a figure is beyond a limit at the travels of r, their ends settled on the exact motion.
func (p *proofs) beyond(r *run, f figure, limit float64, st clearance.Stretches) []Interval {
	c := &curve{run: r, fig: f, at: p.m.newStation()}
	over := func(t float64) float64 { return c.value(t) - limit }
	end := func(t float64) float64 {
		a, b := t-2*fine, t+2*fine
		if va, vb := over(a), over(b); va*vb < 0 {
			return rootBetween(over, a, b, va, vb, turnTolerance)
		}
		return t
	}
	var out []Interval
	for _, x := range st.At {
		out = append(out, Interval{end(x.From), end(x.To)})
	}
	return r.join(out, r.closed)
}

// Tolerances to which sums are proved: finer than distances, since a sum costs less.
func sumTolerance(angle, number bool) float64 {
	if angle || number {
		return 1e-6 // rad, or a bare number
	}
	return proved / 10
}

// bounds is a sum's proved least and greatest.
type bounds struct {
	figure          *clearance.Figure
	least, greatest clearance.Extreme
}

// bound proves the least and greatest of a sum; nil where they cannot be.
func (p *proofs) bound(ctx context.Context, pr *clearance.Prover, sum expr.ID, tolerance float64) *bounds {
	f, err := pr.Figure(ctx, sum)
	if err != nil {
		return nil
	}
	b := &bounds{f, f.Least(ctx, tolerance), f.Greatest(ctx, tolerance)}
	if !b.least.Done || !b.greatest.Done || ctx.Err() != nil {
		return nil
	}
	return b
}

// settleSum is an extreme of a sum on the exact motion, close to the place of its proof.
func (p *proofs) settleSum(ctx context.Context, sum expr.ID, e clearance.Extreme, sign float64) (settledAt, bool, error) {
	return p.settle(ctx, p.m.sum(sum), sum, e.At, e.Lo, e.Hi, sign)
}

// spot is the figure and the position of what was settled.
func (s *settledAt) spot() spot {
	return spot{s.v, Position{Turn: s.t, Travel: s.run.travel}}
}

// keep proves a keep line whose limits stand still.
func (p *proofs) keep(ctx context.Context, pr *clearance.Prover, c *Check, f *Finding) (bool, error) {
	if p.m.moves(c.AtLeast) || p.m.moves(c.AtMost) {
		return false, nil
	}
	b := p.bound(ctx, pr, c.Sum, sumTolerance(c.Angle, c.Number))
	if b == nil {
		return false, ctx.Err()
	}
	lo, ok1, err := p.settleSum(ctx, c.Sum, b.least, 1)
	if err != nil {
		return false, err
	}
	hi, ok2, err := p.settleSum(ctx, c.Sum, b.greatest, -1)
	if err != nil || !ok1 || !ok2 {
		return false, err
	}
	below, above := orGreatest(lo.v-f.AtLeast), orGreatest(f.AtMost-hi.v)
	at, limit, stretches := lo, f.AtLeast, b.figure.Below
	if above < below {
		at, limit, stretches = hi, f.AtMost, b.figure.Above
	}
	f.Least, f.Greatest, f.At = lo.v, hi.v, at.spot().at
	f.OK = math.Min(below, above) >= -c.meets()
	if !f.OK {
		f.Fouls, f.FoulsAt = p.beyond(at.run, p.m.sum(c.Sum), limit, stretches(ctx, at.place, limit, fine)), f.At.Travel
		return true, ctx.Err()
	}
	return !(b.least.Lo < f.AtLeast-c.meets()) && !(b.greatest.Hi > f.AtMost+c.meets()), nil
}

// measure proves the least and greatest of a measure; nil where that cannot be done.
func (p *proofs) measure(ctx context.Context, i int) (*Extremes, error) {
	m := &p.m.Problem.Measures[i]
	pr := p.provers.Get().(*clearance.Prover)
	defer p.provers.Put(pr)
	b := p.bound(ctx, pr, m.Sum, sumTolerance(m.Angle, m.Number))
	if b == nil {
		return nil, ctx.Err()
	}
	lo, ok1, err := p.settleSum(ctx, m.Sum, b.least, 1)
	if err != nil {
		return nil, err
	}
	hi, ok2, err := p.settleSum(ctx, m.Sum, b.greatest, -1)
	if err != nil || !ok1 || !ok2 {
		return nil, err
	}
	return &Extremes{Measure: i, Least: lo.v, LeastAt: lo.spot().at, Greatest: hi.v, GreatestAt: hi.spot().at, Sure: Proved}, nil
}
