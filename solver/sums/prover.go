// Package sums proves bounds of sums over a whole enclosed motion: their least and greatest, the stretches of the turn over
// which they pass a limit, and what they take over all of the turn. It uses branch and bound on the boxes of tubes. Its bounds
// hold at every turn and every travel that the tubes hold, not only at sampled positions.
//
// It knows points and sums, in mm and rad, and no outline, no check and no limit in words. A newcomer may add an operation over
// all of the turn (whole.go, places.go). A figure of outlines belongs to clearance.
package sums

import (
	"context"

	"barover/solver/expr"
	"barover/solver/tube"
)

// Prover proves bounds of sums on the same tubes. Many goroutines may share it.
type Prover struct {
	tubes     []*tube.Tube
	values    *expr.Values
	tolerance float64
	store     *wholeStore
	round     bool // for places of the turn: whole turns make no difference
	boxes     int  // of all tubes
}

// New prepares proofs on tubes of one Plan: one for each travel setting of a list. What a sum takes over all of the turn is computed
// more finely than the tolerance, mm.
func New(tubes []*tube.Tube, tolerance float64) *Prover {
	p := &Prover{tubes: tubes, tolerance: tolerance, store: &wholeStore{tubes: tubes}}
	for _, t := range tubes {
		p.values = t.Plan.Values
		p.boxes += len(t.Boxes)
	}
	return p
}

// With returns a Prover on the same tubes for sums with other dimensions, which must not move anything in the tubes.
func (p *Prover) With(v *expr.Values) *Prover {
	q := *p
	q.values, q.store = v, &wholeStore{tubes: p.tubes}
	return &q
}

// Shaken says that each position has sizes of its own, as play has; disc says which size and the next are a place in a disc. What
// a sum takes over all of the turn, or elsewhere in it, is of other sizes than the rest of it. It must be said before any question.
func (p *Prover) Shaken(disc []bool) { p.store.shaken = disc }

// partsABox is how many parts may be tried for each box of the tubes, where that is more than usual: with many travel
// settings each has boxes of its own.
const partsABox = 4

// Parts is how many parts of boxes may be tried for one figure.
func (p *Prover) Parts(usual int) int { return max(usual, partsABox*p.boxes) }

// Reason says why a sum cannot be bounded.
type Reason string

func (r Reason) Error() string { return string(r) }

// Why a sum may not be provable.
const (
	HeadingLost Reason = "a heading cannot be followed without a jump over the whole turn"
	WholeOpen   Reason = "what it takes over a whole turn could not be enclosed"
)

// Runner prepares a sum for enclosures on the boxes of tube i, with what it takes over all of the turn.
func (p *Prover) Runner(ctx context.Context, sum *tube.Figure, i int) (*tube.Runner, error) {
	r, _, err := p.runner(ctx, sum, i)
	return r, err
}

// runner is Runner, and returns what the sum takes as well; nil for nothing.
func (p *Prover) runner(ctx context.Context, sum *tube.Figure, i int) (*tube.Runner, *wholes, error) {
	t := p.tubes[i]
	r, ok := tube.NewRunner(sum, t)
	switch {
	case !ok:
		return nil, nil, HeadingLost
	case len(sum.Wholes) == 0:
		return r, nil, nil
	case !t.Whole():
		return nil, nil, WholeOpen
	}
	w := &wholes{ctx: ctx}
	for _, id := range sum.Wholes {
		one, err := p.whole(ctx, t, id)
		if err != nil {
			return nil, nil, err
		}
		w.all = append(w.all, one)
	}
	r.SetWholes(w.over)
	return r, w, nil
}

// whole prepares one operation over all of the turn on a tube, once for all sums that use it.
func (p *Prover) whole(ctx context.Context, t *tube.Tube, id expr.ID) (*wholeOf, error) {
	n := t.Plan.Values.Graph.Nodes[id]
	t = p.store.alike(t, &n)
	key := wholeKey{t, id, p.round}
	return p.store.all.Get(key, func() (*wholeOf, error) {
		q := &Prover{tubes: []*tube.Tube{t}, values: p.values, tolerance: p.tolerance, store: p.store}
		f, err := q.Figure(ctx, n.A)
		if err != nil {
			return nil, err
		}
		still := t.Still(t.Plan.Schedule.SumRides(id))
		one := &wholeOf{ctx: ctx, still: still, op: n.Op, round: p.round, f: f, tolerance: p.tolerance / wholeFiner, made: map[tube.Cell]wholeModel{}, budget: wholeParts}
		if !p.round { // a place at which a sum is taken has the sizes of that sum
			one.shaken = p.store.shaken
		}
		if err := one.seekBy(q, n.B); err != nil {
			return nil, err
		}
		return one, nil
	})
}
