package machine

import (
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/clearance"
	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/plane"
	"barover/solver/tube"
)

// settledAt is what a proof found, on the exact motion.
type settledAt struct {
	knot
	run   *run
	place clearance.Place
}

// settler finds on the exact motion what a proof found at a place, of a sum or of a pair (sum None): the least (sign 1) or
// greatest (−1) close by, where that lies within the bounds of the proof.
type settler struct {
	*proofs
	fig          figure
	sum          expr.ID
	lo, hi, sign float64
	cone         *linkage.Cone // what a pair stands on; nil to follow the whole linkage
	at           *station      // room to work in
}

// settle finds it. Each travel that makes no difference is put to rest, so that no setting is named for nothing. It reports
// false where what is found does not lie within the bounds of the proof.
func (p *settler) settle(ctx context.Context, place clearance.Place) (settledAt, bool, error) {
	at, ok, err := p.settleAtRest(ctx, place)
	if err == nil && !ok {
		at, ok, err = p.settleAt(ctx, place)
	}
	if err != nil || !ok {
		return at, false, err
	}
	for i, t := range p.m.Problem.Travels {
		tube, way := p.put(at.place.Travel, i, t.Rest)
		if tube < 0 {
			continue
		}
		r, err := p.runAt(ctx, way)
		if err != nil {
			return at, false, err
		}
		c := &curve{run: r, fig: p.fig, at: p.at.anew()}
		if v := c.value(at.t); math.Abs(v-at.v) <= level*math.Max(1, math.Abs(at.v)) {
			at = settledAt{knot{at.t, v}, r, clearance.Place{Tube: tube, Travel: way}}
		}
	}
	at.place.Turn = at.t
	return at, true, nil
}

// runAt is the exact run at a travel setting, of what the figure stands on alone where that is quicker.
func (p *settler) runAt(ctx context.Context, travel []float64) (*run, error) {
	r, err := p.exactly(ctx, travel, p.sum)
	if err != nil || p.cone == nil {
		return r, err
	}
	return r.of(p.cone), nil
}

// settleAt settles what a proof found at its own travels.
func (p *settler) settleAt(ctx context.Context, place clearance.Place) (settledAt, bool, error) {
	r, err := p.runAt(ctx, place.Travel)
	if err != nil {
		return settledAt{}, false, err
	}
	k, ok := r.settle(p.fig, place.Turn, p.sign, p.at.anew())
	off := p.errs(place)
	return settledAt{k, r, place}, ok && k.v >= p.lo-off && k.v <= p.hi+off, nil
}

// errs is by how much what is settled at a place may lie outside the bounds of its proof: of a distance, more beside a change point.
func (p *settler) errs(place clearance.Place) float64 {
	if _, ok := p.fig.(*pairFigure); !ok {
		return settled
	}
	gives := p.tubes[place.Tube].Gives
	for i := range gives {
		if gives[i].Covers(place.Turn, place.Travel) {
			return math.Max(settled, math.Min(p.m.tolerance()/10, settledShare*p.m.size))
		}
	}
	return settled
}

// settleAtRest settles it with the ranges at rest, where the proof's place is somewhere within them and it makes so little
// difference that rest, too, lies within the bounds of the proof. That is a place which is easier to go to, and a motion
// that others want as well.
func (p *settler) settleAtRest(ctx context.Context, place clearance.Place) (settledAt, bool, error) {
	way, within := slices.Clone(place.Travel), false
	for i, t := range p.m.Problem.Travels {
		if t.Range && t.Rest != way[i] && way[i] > t.From && way[i] < t.To {
			way[i], within = t.Rest, true
		}
	}
	if !within || !holds(p.tubes[place.Tube].Travel, way) {
		return settledAt{}, false, nil
	}
	return p.settleAt(ctx, clearance.Place{Tube: place.Tube, Turn: place.Turn, Travel: way})
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
func (p *proofs) settlePair(ctx context.Context, c *solver.Check, ans clearance.Answer, f *solver.Finding) (settledAt, bool, error) {
	fig := p.m.pairFigure(c.A, c.B)
	s := p.stations.Must()
	defer p.stations.Put(s)
	cone := p.m.Linkage.Cone(fig.partA, fig.partB)
	defer cone.Close()
	search := settler{p, fig, expr.None, ans.Lo, ans.Hi, 1, cone, s}
	at, ok, err := search.settle(ctx, ans.At)
	if err != nil || !ok || !at.run.stand(at.t, s.anew()) {
		return at, false, err
	}
	n := fig.near(s)
	f.Least, f.Near, f.At = n.D, [2]plane.Vec{n.P, n.Q}, solver.Position{Turn: at.t, Travel: at.run.travel}
	if at.run.entire != nil { // what the cone holds is given back
		at.run = at.run.entire
	}
	return at, true, nil
}

const (
	// nearby is how far from the place of a proof its least is settled, rad: more than a proof's place errs by, and less
	// than the width of a valley.
	nearby = 0.5 * coarsest
	// farthestValley is how often the step doubles on the way to the bottom of a valley: as far as 30° from where it began.
	farthestValley = 5
	// settled is by how much a settled figure may lie outside the bounds of its proof, mm, rad or as a bare number:
	// rounding.
	settled = 1e-9
	// settledShare is the same beside a change point, as a share of the sketch's size: the motion follows a cubic there.
	settledShare = 1e-7
	// fine is how close the ends of a stretch are proved, rad: 0.001°.
	fine = 0.001 * math.Pi / 180
)

// settle finds the least (sign 1) or greatest (−1) that a figure has close to turn t, on the exact motion. It works in s.
func (r *run) settle(f figure, t, sign float64, s *station) (knot, bool) {
	c := &curve{run: r, fig: f, at: s}
	round := c.sameAtEnds()
	lo, hi := t-nearby, t+nearby
	if !round {
		t = math.Max(r.from, math.Min(t, r.to))
		lo, hi = math.Max(lo, r.from), math.Min(hi, r.to)
	}
	best := c.look(t)
	if math.IsNaN(best.v) {
		return best, false
	}
	a, best, b := c.valley(c.look(lo), best, c.look(hi), sign, round)
	if k, ok := c.turn(a, best, b, sign); ok {
		best = k
	}
	if round {
		best.t = r.wrap(best.t)
	}
	// Of level places the earlier is named: the start of the turn, or the way out rather than the way back of an engine
	// that does both alike.
	for _, t := range [2]float64{r.from, math.Max(r.from, r.from+r.to-best.t)} {
		if t >= best.t {
			continue
		}
		if k := c.look(t); math.Abs(k.v-best.v) <= level*math.Max(1, math.Abs(best.v)) {
			return k, true
		}
	}
	return best, true
}

// valley goes on from k, between a and b, the way that the figure falls (sign 1) or rises (−1), in steps that double, until it
// lies between two places no better than itself or at an end of the turn. In a flat valley the place of a proof is far from the
// least.
func (c *curve) valley(a, k, b knot, sign float64, round bool) (knot, knot, knot) {
	within := func(t float64) float64 {
		if round {
			return t
		}
		return math.Max(c.run.from, math.Min(t, c.run.to))
	}
	step := nearby
	for range farthestValley {
		switch step *= 2; {
		case sign*b.v < sign*k.v && sign*b.v <= sign*a.v:
			if a, k, b = k, b, c.look(within(b.t+step)); b.t == k.t {
				return a, k, b
			}
		case sign*a.v < sign*k.v:
			if a, k, b = c.look(within(a.t-step)), a, k; a.t == k.t {
				return a, k, b
			}
		default:
			return a, k, b
		}
	}
	return a, k, b
}

// extreme is the figure and the position of what was settled.
func (s *settledAt) extreme() extreme {
	return extreme{s.v, solver.Position{Turn: s.t, Travel: s.run.travel}}
}
