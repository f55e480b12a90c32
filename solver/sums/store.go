package sums

import (
	"barover/solver/expr"
	"barover/solver/spare"
	"barover/solver/tube"
)

// wholeStore keeps what was computed for one sum for use by the others, by tube and node.
type wholeStore struct {
	all    spare.Once[wholeKey, *wholeOf]
	tubes  []*tube.Tube // all that there are
	shaken []bool       // where each position has sizes of its own, as in play, which of them are discs; else nil
}

// alike is a tube in which a place of the turn is the same as in t. Of tubes that differ in travels that it does not
// depend on, one is used for all.
func (s *wholeStore) alike(t *tube.Tube, n *expr.Node) *tube.Tube {
	if !t.Whole() || !n.Op.IsPlace() || n.B == expr.None {
		return t
	}
	rides := t.Plan.Schedule.SumRides(n.A) | t.Plan.Schedule.SumRides(n.B)
	for _, o := range s.tubes {
		if o.Plan == t.Plan && o.Whole() && expr.SameTravels(rides, len(t.Travel), func(j int) bool { return t.Travel[j] == o.Travel[j] }) && o.VariesLike(t) {
			return o
		}
	}
	return t
}

type wholeKey struct {
	tube  *tube.Tube
	id    expr.ID
	round bool
}
