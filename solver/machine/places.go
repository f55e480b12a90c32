package machine

import (
	"math"

	"barover/solver/expr"
)

// placeOf is the first place of the turn at which a sum rises or falls past zero, or that at which it is least or
// greatest; NaN where there is none.
func (r *run) placeOf(n *expr.Node) float64 {
	var turns []float64
	switch n.Op {
	case expr.Rises, expr.Falls:
		turns = r.passes(r.m.sum(n.A), r.m.Problem.Graph.Uses(n.A), signOf(n.Op == expr.Rises))
	default:
		turns = r.extremesOf(n.A, signOf(n.Op == expr.Lowest))
	}
	switch k := len(turns); {
	case k == 0:
		return math.NaN()
	case r.closed && turns[k-1] > r.to-expr.SameTurn:
		return r.from
	}
	return turns[0]
}

func signOf(up bool) float64 {
	if up {
		return 1
	}
	return -1
}

// atPlace is a sum at a place of the turn; NaN where the turn has no such place.
func (r *run) atPlace(n *expr.Node) float64 {
	s := r.m.newStation()
	t := r.whereIs(n.B, s)
	if math.IsNaN(t) || !r.stand(t, s) {
		return math.NaN()
	}
	return orNone(valueOf(expr.NewEval(r.m.Values), n.A, s))
}

// whereIs is the place of the turn that a sum gives, which is the same wherever in the turn it is asked. Where the turn
// closes, whole turns make no difference.
func (r *run) whereIs(place expr.ID, s *station) float64 {
	if len(r.spans) == 0 || !r.stand(r.spans[0][0].turn, s) {
		return math.NaN()
	}
	t := valueOf(expr.NewEval(r.m.Values), place, s)
	switch {
	case r.closed:
		return r.from + math.Mod(math.Mod(t-r.from, r.length())+r.length(), r.length())
	case t < r.from-sameTurn || t > r.to+sameTurn:
		return math.NaN()
	}
	return math.Max(r.from, math.Min(t, r.to))
}

// besidePlace is how far on either side of a place a gradient is taken to see how it changes along the turn, rad.
const besidePlace = 1e-4

// addPlace adds w times the gradient of a place, or of a sum at one. Where A(t) = 0 the place t goes by -dA/A', and where A is
// least or greatest, A' = 0, by -dA'/A"; dA' is the change of dA along the turn.
func (r *run) addPlace(sum []float64, n *expr.Node, w float64) bool {
	f := r.m.sum(n.A).(*sumFigure)
	s := r.m.newStation()
	add := func(f puller, t, w float64) bool {
		g, ok := r.gradient(f, t)
		for i := range g {
			sum[i] += w * g[i]
		}
		return ok
	}
	switch {
	case n.Op == expr.AtPlace:
		t := r.whereIs(n.B, s)
		if math.IsNaN(t) || !r.stand(t, s) {
			return false
		}
		_, slope := f.slope(s)
		return add(f, t, w) && (slope == 0 || add(r.m.sum(n.B).(puller), t, w*slope))
	case n.Op == expr.Rises, n.Op == expr.Falls:
		t := r.whole[n.Ref]
		if math.IsNaN(t) || !r.stand(t, s) {
			return false
		}
		_, slope := f.slope(s)
		return add(f, t, -w/slope)
	}
	t := r.whole[n.Ref]
	if math.IsNaN(t) || !r.stand(t-besidePlace, s) {
		return false
	}
	_, before := f.slope(s)
	if !r.stand(t+besidePlace, s) {
		return false
	}
	_, after := f.slope(s)
	k := w / (after - before)
	return add(f, t+besidePlace, -k) && add(f, t-besidePlace, k)
}
