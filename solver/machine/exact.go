package machine

import (
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/clearance"
	"barover/solver/engine"
	"barover/solver/expr"
	"barover/solver/linkage"
	"barover/solver/outline"
	"barover/solver/plane"
	"barover/solver/tube"
)

// settledAt is what a proof found, on the exact motion.
type settledAt struct {
	engine.Knot
	run   *engine.Run
	place tube.Place
}

// settler finds on the exact motion what a proof found at a place, for a sum or for a pair (sum None): the least (sign 1)
// or greatest (−1) close by, where that lies within the bounds of the proof.
type settler struct {
	*proofs
	fig          engine.Figure
	sum          expr.ID
	lo, hi, sign float64
	near         float64         // how close the bounds must be, mm, rad or plain
	cone         *linkage.Cone   // what a pair depends on; nil to follow the whole linkage
	at           *engine.Station // room to work in
}

// settle finds it. A travel that makes no difference is put at rest, so no setting is named without need. It returns
// false where the result does not lie within the bounds of the proof.
func (p *settler) settle(ctx context.Context, place tube.Place) (settledAt, bool, error) {
	at, ok, err := p.settleAtRest(ctx, place)
	if err == nil && !ok {
		at, ok, err = p.settleAt(ctx, place)
	}
	if err != nil || !ok {
		return at, false, err
	}
	for i, t := range p.m.Problem.Travels {
		which, way := p.put(at.place.Travel, i, t.Rest)
		if which < 0 {
			continue
		}
		r, err := p.runAt(ctx, way)
		if err != nil {
			return at, false, err
		}
		c := &engine.Curve{Run: r, Figure: p.fig, At: p.at.Anew()}
		if v := c.Value(at.T); math.Abs(v-at.V) <= engine.Level*math.Max(1, math.Abs(at.V)) {
			at = settledAt{engine.Knot{T: at.T, V: v}, r, tube.Place{Tube: which, Travel: way}}
		}
	}
	at.place.Turn = at.T
	return at, true, nil
}

// runAt returns the exact run at a travel setting: the run of what the figure depends on alone, where that is quicker.
func (p *settler) runAt(ctx context.Context, travel []float64) (*engine.Run, error) {
	r, err := p.exactly(ctx, travel, p.sum)
	if err != nil || p.cone == nil {
		return r, err
	}
	return r.Of(p.cone), nil
}

// settleAt settles what a proof found at the travels of the proof. A box up to a dead centre goes a little beyond the motion.
// So there the other bound may belong to a place that is not reached, and the figure must be close to the bound that it
// settles.
func (p *settler) settleAt(ctx context.Context, place tube.Place) (settledAt, bool, error) {
	r, err := p.runAt(ctx, place.Travel)
	if err != nil {
		return settledAt{}, false, err
	}
	k, ok := r.Settle(p.fig, place.Turn, p.sign, p.at.Anew())
	off := p.errs(place)
	within := k.V >= p.lo-off && k.V <= p.hi+off
	if p.tubes[place.Tube].Folded(place.Turn) {
		within = p.sign > 0 && k.V >= p.lo-off && k.V <= p.lo+p.near || p.sign < 0 && k.V <= p.hi+off && k.V >= p.hi-p.near
	}
	return settledAt{k, r, place}, ok && within, nil
}

// errs is how far a settled figure may lie outside the bounds of its proof. For a distance it is larger beside a change
// point.
func (p *settler) errs(place tube.Place) float64 {
	if _, ok := p.fig.(*engine.PairFigure); !ok {
		return settled
	}
	gives := p.tubes[place.Tube].Gives
	for i := range gives {
		if gives[i].Covers(place.Turn, place.Travel) {
			return math.Max(settled, math.Min(p.m.tolerance()/10, settledShare*p.m.Size))
		}
	}
	return settled
}

// settleAtRest settles it with the ranges at rest. It does so where the proof's place is somewhere within the ranges and
// rest, too, lies within the bounds of the proof. Rest is easier to go to, and its motion serves other questions as well.
func (p *settler) settleAtRest(ctx context.Context, place tube.Place) (settledAt, bool, error) {
	way, within := slices.Clone(place.Travel), false
	for i, t := range p.m.Problem.Travels {
		if t.Range && t.Rest != way[i] && way[i] > t.From && way[i] < t.To {
			way[i], within = t.Rest, true
		}
	}
	if !within || !tube.Holds(p.tubes[place.Tube].Travel, way) {
		return settledAt{}, false, nil
	}
	return p.settleAt(ctx, tube.Place{Tube: place.Tube, Turn: place.Turn, Travel: way})
}

// put returns the travels with one at rest, and the number of the tube that holds them: -1 where none does or the travel
// is at rest already.
func (p *proofs) put(travel []float64, i int, rest float64) (int, []float64) {
	if travel[i] == rest {
		return -1, nil
	}
	way := slices.Clone(travel)
	way[i] = rest
	for n, t := range p.tubes {
		if tube.Holds(t.Travel, way) {
			return n, way
		}
	}
	return -1, nil
}

// settlePair finds the distance of a pair close to the place of a proof: the least (sign 1) or greatest (−1), from lo to hi.
func (p *proofs) settlePair(ctx context.Context, c *solver.Check, lo, hi, sign float64, place tube.Place) (outline.Near, settledAt, bool, error) {
	fig := p.m.PairFigure(c.A, c.B)
	s := p.stations.Must()
	defer p.stations.Put(s)
	cone := p.m.Linkage.Cone(fig.PartA, fig.PartB)
	defer cone.Close()
	search := settler{p, fig, expr.None, lo, hi, sign, p.m.tolerance(), cone, s}
	at, ok, err := search.settle(ctx, place)
	if err != nil || !ok || !at.run.Stand(at.T, s.Anew()) {
		return outline.Near{}, at, false, err
	}
	if at.run.Entire != nil { // the room of a cone is given back
		at.run = at.run.Entire
	}
	return fig.Near(s), at, true, nil
}

// settleLeast puts the least distance of a pair into f.
func (p *proofs) settleLeast(ctx context.Context, c *solver.Check, ans clearance.Answer, f *solver.Finding) (settledAt, bool, error) {
	n, at, ok, err := p.settlePair(ctx, c, ans.Lo, ans.Hi, 1, ans.At)
	if err == nil && ok {
		f.Least, f.Near, f.At = n.D, [2]plane.Vec{n.P, n.Q}, at.extreme().at
	}
	return at, ok, err
}

// extreme is the figure and the position of what was settled.
func (s *settledAt) extreme() extreme {
	return extreme{s.V, solver.Position{Turn: s.T, Travel: s.run.Travel}}
}

const (
	// settled is how far a settled figure may lie outside the bounds of its proof, mm, rad or as a bare number: rounding.
	settled = 1e-9
	// settledShare is the same beside a change point, as a share of the sketch's size: there the motion follows a cubic.
	settledShare = 1e-7
	// fine is how closely the ends of a stretch are proved, rad: 0.001°.
	fine = 0.001 * math.Pi / 180
)
