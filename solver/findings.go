package solver

import "math"

// order lists the settings with the one that is named first at the head, so that of level answers that one is named.
func (s *survey) order() []int {
	out := []int{s.first}
	for i := range s.settings {
		if i != s.first {
			out = append(out, i)
		}
	}
	return out
}

// spot is a figure with the position that it belongs to.
type spot struct {
	v  float64
	at Position
}

// better takes k at setting i in place of p where it is clearly less by sign.
func (s *survey) better(p *spot, k knot, i int, sign float64) {
	if p.v != p.v || clearlyLess(sign*k.v, sign*p.v, math.Max(math.Abs(p.v), math.Abs(k.v))) {
		*p = spot{k.v, Position{Turn: k.t, Travel: s.settings[i]}}
	}
}

// both is the least and the greatest of a figure over all settings.
func (s *survey) both(of func(*look) *sight) (least, greatest spot) {
	least.v, greatest.v = math.NaN(), math.NaN()
	for _, i := range s.order() {
		if g := of(s.looks[i]); g.have {
			s.better(&least, g.least, i, 1)
			s.better(&greatest, g.greatest, i, -1)
		}
	}
	return least, greatest
}

// extremes is the least and greatest of measure i.
func (s *survey) extremes(i int, byProof *Extremes) Extremes {
	if byProof != nil {
		return *byProof
	}
	least, greatest := s.both(func(l *look) *sight { return &l.measures[i] })
	return Extremes{Measure: i, Least: least.v, LeastAt: least.at, Greatest: greatest.v, GreatestAt: greatest.at, Sure: Sampled}
}

// worst is the setting at which a check holds by least, or -1 where it has a number at none.
func (s *survey) worst(check int) int {
	w := -1
	for _, i := range s.order() {
		g := &s.looks[i].checks[check]
		if !g.have && len(g.fouls) == 0 {
			continue
		}
		if w < 0 || clearlyLess(g.margin, s.looks[w].checks[check].margin, math.Max(1, math.Abs(g.margin))) {
			w = i
		}
	}
	return w
}

// blank is the finding of check i before anything is found.
func (m *Machine) blank(i int) Finding {
	c := &m.Problem.Checks[i]
	return Finding{Check: i, AtLeast: m.limit(c.AtLeast), AtMost: m.limit(c.AtMost), Least: math.NaN(), Greatest: math.NaN()}
}

// finding is the answer to check i: by proof if there is one, unless the stretches that the proof leaves out hold something
// worse.
func (s *survey) finding(i int, byProof *Finding) Finding {
	switch {
	case byProof == nil:
		return s.seen(i)
	case len(byProof.Unproved) == 0:
		return *byProof
	}
	f := s.seen(i)
	m := s.m.Problem.Margin(&f)
	if f.Apart != byProof.Apart || clearlyLess(m, s.m.Problem.Margin(byProof), math.Max(1, math.Abs(m))) {
		f.Unproved = byProof.Unproved
		return f
	}
	return *byProof
}

// seen is the answer to check i by what was looked at.
func (s *survey) seen(i int) Finding {
	c := &s.m.Problem.Checks[i]
	f := s.m.blank(i)
	w := s.worst(i)
	if w < 0 {
		return f // it assembles nowhere: nothing is known, and nothing holds
	}
	g := &s.looks[w].checks[i]
	least, greatest := s.both(func(l *look) *sight { return &l.checks[i] })
	f.Least, f.Greatest = least.v, greatest.v
	f.At = Position{Turn: g.worst.t, Travel: s.settings[w]}
	f.OK = g.margin >= -c.meets()
	if !f.OK {
		f.Fouls, f.FoulsAt = g.fouls, s.settings[w]
	}
	s.m.inWords(&f, c, g)
	return f
}

// inWords gives the figures of a finding the meaning that its kind has.
func (m *Machine) inWords(f *Finding, c *Check, g *sight) {
	switch c.Kind {
	case Clear:
		f.Greatest, f.Near = math.NaN(), g.near
	case Gap:
		m.across(f, c, g)
	case Loose:
		f.AtMost = m.limit(m.Problem.Linkage.Equations[c.Equation].Play)
	}
}
