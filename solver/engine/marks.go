package engine

import (
	"math"
	"slices"
	"sync"

	"barover/solver"
	"barover/solver/expr"
	"barover/solver/plane"
)

// Happens lists every time that mark i happens at one travel setting, in order of the turn.
func (r *Run) Happens(i int) []solver.Event {
	mark := &r.Engine.Problem.Marks[i]
	var turns []float64
	switch mark.When {
	case solver.RisesPast, solver.FallsPast:
		sum := r.Engine.Problem.Graph.Unclipped(mark.Sum, mark.Past)
		turns = r.passes(sum, mark.Past, plane.Sign(mark.When == solver.RisesPast))
	case solver.IsLeast, solver.IsGreatest:
		turns = r.extremesOf(mark.Sum, plane.Sign(mark.When == solver.IsLeast))
	}
	eval, s := expr.NewEval(r.Engine.Values), r.Engine.NewStation()
	var out []solver.Event
	for _, t := range turns {
		if !r.Stand(t, s) {
			continue
		}
		e := solver.Event{Mark: i, At: solver.Position{Turn: t, Travel: r.Travel}}
		for _, k := range mark.Shows {
			e.Shows = append(e.Shows, OrNone(ValueOf(eval, r.Engine.Problem.Measures[k].Sum, s)))
		}
		out = append(out, e)
	}
	return out
}

// extremesOf lists every place at which a sum is least (sign 1) or greatest (−1).
func (r *Run) extremesOf(sum expr.ID, sign float64) (turns []float64) {
	for _, k := range r.Trace(r.Engine.Sum(sum), Search{Least: sign > 0, greatest: sign < 0}).AllExtremes(sign) {
		turns = append(turns, k.T)
	}
	return turns
}

// levelled is the curves of sums that pass zero, each made once: a port is asked when it opens and when it closes.
type levelled struct {
	mu     sync.Mutex
	curves map[[2]expr.ID]*Curve // by the sum and what is taken from it
}

// passes is where a sum passes another, or zero where that is None, upward (sign 1) or downward (−1). A heading that has gone round by
// whole turns when the turn closes is the same heading; it passes wherever it runs on to.
func (r *Run) passes(sum, past expr.ID, sign float64) (turns []float64) {
	r.past.mu.Lock()
	defer r.past.mu.Unlock() // a curve has room for one
	key := [2]expr.ID{sum, past}
	c := r.past.curves[key]
	if c == nil {
		if r.past.curves == nil {
			r.past.curves = make(map[[2]expr.ID]*Curve)
		}
		f := r.Engine.Sum(sum)
		if past != expr.None {
			f = r.Engine.difference(sum, past)
		}
		c = r.Trace(f, Search{levels: []float64{0}})
		r.past.curves[key] = c
	}
	round, ok := c.goesRound(r.Engine.Problem.Graph.Uses(sum))
	if !ok {
		return c.Passings(sign, 0)
	}
	for k := math.Ceil(c.lo/(2*math.Pi) - 1); k*2*math.Pi <= c.hi+1; k++ {
		turns = append(turns, c.passingsRound(sign, k*2*math.Pi, round)...)
	}
	slices.Sort(turns)
	return turns
}

// goesRound reports whether a figure of headings has changed by whole turns when the turn closes, and by how much, rad.
func (c *Curve) goesRound(uses expr.Uses) (by float64, ok bool) {
	if c.closed || !c.Run.Closed || len(c.runs) != 1 || uses&expr.UsesHeading == 0 {
		return 0, false
	}
	ks := c.runs[0]
	by = ks[len(ks)-1].V - ks[0].V
	turns := math.Round(by / (2 * math.Pi))
	return by, turns != 0 && math.Abs(by-turns*2*math.Pi) < 1e-6 && ks[0].T <= c.Run.From+sameTurn && ks[len(ks)-1].T >= c.Run.To-sameTurn
}

// passingsRound is Passings for a figure that changes by whole turns.
func (c *Curve) passingsRound(sign, past, by float64) []float64 {
	ks := c.runs[0]
	before := c.phases(ks, sign, past+by)
	list := c.phases(ks, sign, past)
	out := passingsOf(list, before, false, c.Run.Length())
	// A passing at the very end is one at the start of the turn.
	return slices.DeleteFunc(out, func(t float64) bool { return t < c.Run.From-sameTurn || t >= c.Run.To-sameTurn })
}
