package machine

import (
	"math"

	"barover/solver"
	"barover/solver/engine"
	"barover/solver/expr"
)

// extreme is a figure and its position.
type extreme struct {
	v  float64
	at solver.Position
}

// better replaces p by k at a travel setting if k is clearly less by sign.
func (p *extreme) better(k engine.Knot, travel []float64, sign float64) {
	if math.IsNaN(p.v) || engine.ClearlyLess(sign*k.V, sign*p.v, math.Max(math.Abs(p.v), math.Abs(k.V))) {
		*p = extreme{k.V, solver.Position{Turn: k.T, Travel: travel}}
	}
}

func tallies(n int) []tally {
	out := make([]tally, n)
	for i := range out {
		out[i].least.v, out[i].greatest.v = math.NaN(), math.NaN()
		out[i].far = engine.Bar{Least: math.Inf(-1), Greatest: math.Inf(1)}
	}
	return out
}

// take adds the answer at one setting. An answer only equal to an earlier one does not replace it.
func (t *tally) take(g *engine.Sight, travel []float64) {
	if g.Have {
		t.least.better(g.Least, travel, 1)
		t.greatest.better(g.Greatest, travel, -1)
		t.far.Least, t.far.Greatest = math.Max(t.far.Least, g.Least.V), math.Min(t.far.Greatest, g.Greatest.V)
	}
	if !g.Have && len(g.Fouls) == 0 {
		return
	}
	if t.at == nil || engine.ClearlyLess(g.Margin, t.worst.Margin, math.Max(1, math.Abs(g.Margin))) {
		t.worst, t.at = *g, travel
	}
}

// extremes returns the least and greatest of the measure at place k of what was asked.
func (s *survey) extremes(k int) solver.Extremes {
	t := &s.measures[k]
	return solver.Extremes{Measure: s.asked.Measures[k], Least: t.least.v, LeastAt: t.least.at, Greatest: t.greatest.v,
		GreatestAt: t.greatest.at, Sure: solver.Sampled}
}

// blank returns the finding of check i before anything is found.
func (m *Machine) blank(i int) solver.Finding {
	c := &m.Problem.Checks[i]
	return solver.Finding{Check: i, AtLeast: m.Limit(c.AtLeast), AtMost: m.Limit(c.AtMost), Least: math.NaN(), Greatest: math.NaN()}
}

// beside chooses between a proof that leaves out stretches of the turn and samples that include those stretches. It takes
// the proof, unless a sample is worse or has no value.
func (m *Machine) beside(byProof, seen *solver.Finding) solver.Finding {
	margin, _ := m.Problem.RoomOf(seen)
	proved, _ := m.Problem.RoomOf(byProof)
	lacks := !seen.OK && byProof.OK && !(margin < 0)
	if lacks || seen.Apart != byProof.Apart || engine.ClearlyLess(margin, proved, math.Max(1, math.Abs(margin))) {
		f := *seen
		f.Unproved = byProof.Unproved
		return f
	}
	return *byProof
}

// finding returns the answer to the check at place k of what was asked, from samples.
func (s *survey) finding(k int) solver.Finding {
	f := s.m.blank(s.asked.Checks[k])
	c, t := &s.m.Problem.Checks[f.Check], &s.checks[k]
	if t.at == nil {
		return f // it assembles nowhere: nothing is known, and nothing holds
	}
	f.Least, f.Greatest = t.least.v, t.greatest.v
	f.At = solver.Position{Turn: t.worst.Worst.T, Travel: t.at}
	f.OK = c.Suffices(t.worst.Margin)
	if !f.OK || c.Kind == solver.Gap { // for a gap these are where the two pass each other
		f.Fouls, f.FoulsAt = t.worst.Fouls, t.at
	}
	s.m.inWords(&f, c, &t.worst)
	return f
}

// inWords gives the figures of a finding the meaning that its kind has.
func (m *Machine) inWords(f *solver.Finding, c *solver.Check, g *engine.Sight) {
	switch c.Kind {
	case solver.Clear:
		if f.Near = g.Near; c.AtMost == expr.None {
			f.Greatest = math.NaN()
		}
	case solver.Gap:
		m.Across(f, c, g)
	case solver.Loose:
		f.AtMost = m.Limit(m.Problem.Linkage.Equations[c.Equation].Play)
	}
}
