package engine

import (
	"math"

	"barover/solver/expr"
	"barover/solver/plane"
)

// placeOf returns the first place of the turn at which a sum rises or falls through zero, or at which it is least or
// greatest. It is NaN where there is none.
func (r *Run) placeOf(n *expr.Node) float64 {
	var turns []float64
	switch n.Op {
	case expr.Rises, expr.Falls:
		turns = r.passes(n.A, expr.None, plane.Sign(n.Op == expr.Rises))
	default:
		turns = r.extremesOf(n.A, plane.Sign(n.Op == expr.Lowest))
	}
	switch k := len(turns); {
	case k == 0:
		return math.NaN()
	case r.Closed && turns[k-1] > r.To-expr.SameTurn:
		return r.From
	}
	return turns[0]
}

// atPlace returns a sum at a place of the turn; NaN where the turn has no such place.
func (r *Run) atPlace(n *expr.Node) float64 {
	s := r.Engine.NewStation()
	t := r.whereIs(n.B, s)
	if math.IsNaN(t) || !r.Stand(t, s) {
		return math.NaN()
	}
	return OrNone(ValueOf(expr.NewEval(r.Engine.Values), n.A, s))
}

// whereIs returns the place of the turn that a sum gives. It is the same at every turn. Where the turn closes, whole
// turns are dropped.
func (r *Run) whereIs(place expr.ID, s *Station) float64 {
	if len(r.Spans) == 0 || !r.Stand(r.Spans[0][0].Turn, s) {
		return math.NaN()
	}
	t := ValueOf(expr.NewEval(r.Engine.Values), place, s)
	switch {
	case r.Closed:
		return r.From + math.Mod(math.Mod(t-r.From, r.Length())+r.Length(), r.Length())
	case t < r.From-sameTurn || t > r.To+sameTurn:
		return math.NaN()
	}
	return math.Max(r.From, math.Min(t, r.To))
}

// besidePlace is how far on either side of a place a gradient is taken, to find its change along the turn, rad.
const besidePlace = 1e-4

// addPlace adds w times the gradient of a place, or of a sum at one. Where A(t) = 0, the place t moves by -dA/A'. Where A
// is least or greatest, A' = 0, and it moves by -dA'/A". Here dA' is the change of dA along the turn.
func (r *Run) addPlace(sum []float64, n *expr.Node, w float64) bool {
	f := r.Engine.Sum(n.A)
	s := r.Engine.NewStation()
	switch {
	case n.Op == expr.AtPlace:
		t := r.whereIs(n.B, s)
		if math.IsNaN(t) || !r.Stand(t, s) {
			return false
		}
		_, slope := f.slope(s)
		return r.addGradient(sum, f, t, w) && (slope == 0 || r.addGradient(sum, r.Engine.Sum(n.B), t, w*slope))
	case n.Op == expr.Rises, n.Op == expr.Falls:
		t := r.whole[n.Ref]
		if math.IsNaN(t) || !r.Stand(t, s) {
			return false
		}
		_, slope := f.slope(s)
		return r.addGradient(sum, f, t, -w/slope)
	}
	t := r.whole[n.Ref]
	if math.IsNaN(t) || !r.Stand(t-besidePlace, s) {
		return false
	}
	_, before := f.slope(s)
	if !r.Stand(t+besidePlace, s) {
		return false
	}
	_, after := f.slope(s)
	k := w / (after - before)
	return r.addGradient(sum, f, t+besidePlace, -k) && r.addGradient(sum, f, t-besidePlace, k)
}
