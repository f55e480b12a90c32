package machine

import (
	"barover/solver/expr"
)

// Redrawn returns the same Machine with other values of dimensions that move no part (see Problem.Moves). Outlines, bands
// and limits may change with them. The parts move as before, so the samples and the enclosure of their motion are kept,
// and the proofs of pairs whose outlines stay the same.
func (m *Machine) Redrawn(v *expr.Values) (*Machine, error) {
	e, err := m.Engine.Redrawn(v)
	if err != nil {
		return nil, err
	}
	n := &Machine{Engine: e}
	n.takeOver(m)
	return n, nil
}

// wider is how many times farther than when the motion was enclosed the outlines of a part may reach. The enclosure is as
// close as their reach needs, with some to spare: beyond wider, distances would not be close enough.
const wider = 2

// takeOver keeps what was enclosed of the same motion.
func (n *Machine) takeOver(m *Machine) {
	m.enclosing.Lock()
	defer m.enclosing.Unlock()
	n.tubes, n.whyNot = make(map[int]*proofs), m.whyNot
	reach := n.reach()
	for budget, p := range m.tubes {
		if p == nil {
			n.tubes[budget] = nil
			continue
		}
		near := true
		for i, r := range reach {
			near = near && r <= wider*p.ask.Reach[i]
		}
		if !near {
			continue
		}
		mine := newProofs(n)
		mine.ask, mine.tubes, mine.unproved = p.ask, p.tubes, p.unproved
		mine.prover = p.prover.With(n.Values)
		mine.provers.New = mine.prover.Fork
		p.mu.Lock()
		for pair, ans := range p.least {
			if n.Regions[pair[0]] == m.Regions[pair[0]] && n.Regions[pair[1]] == m.Regions[pair[1]] {
				mine.least[pair] = ans
			}
		}
		p.mu.Unlock()
		n.tubes[budget] = mine
	}
}
