package machine

import (
	"math"

	"barover/solver"
)

// gap is the space across the engine between the bands of two profiles, mm, with both parts shifted towards each other
// as far as their sideplay lets them. Below zero they run into each other.
func (m *Machine) gap(a, b int) float64 {
	x, y := m.Bands[a], m.Bands[b]
	return math.Max(x.From-y.To, y.From-x.To) - x.Play - y.Play
}

// bandsApart reports whether the bands of two profiles never overlap across, so that the side view does not count.
func (m *Machine) bandsApart(a, b int) bool { return m.gap(a, b) >= -touch }

// apart answers a clear line for two profiles whose bands never overlap.
func (m *Machine) apart(f *solver.Finding, c *solver.Check) bool {
	if c.Kind != solver.Clear || !m.bandsApart(c.A, c.B) {
		return false
	}
	f.Apart, f.OK, f.Sure = true, true, solver.Proved
	return true
}

// leftOut is the pairs that were not looked at: those that the Problem names, and those whose bands do not overlap.
func (m *Machine) leftOut() []solver.LeftOut {
	out := append([]solver.LeftOut(nil), m.Problem.LeftOut...)
	seen := make(map[solver.LeftOut]bool)
	for i := range m.Problem.Checks {
		c := &m.Problem.Checks[i]
		if c.Kind != solver.Clear || !m.bandsApart(c.A, c.B) {
			continue
		}
		l := solver.LeftOut{A: m.Problem.Profiles[c.A].Name, B: m.Problem.Profiles[c.B].Name, Why: solver.NeverAcross}
		if !seen[l] {
			seen[l] = true
			out = append(out, l)
		}
	}
	return out
}

// openings are the smallest and the largest space across between two profiles, mm: with the sideplay of both taken off, and
// added.
func (m *Machine) openings(a, b int) (smallest, largest float64) {
	smallest = m.gap(a, b)
	return smallest, smallest + 2*(m.Bands[a].Play+m.Bands[b].Play)
}

// passes answers a gap line for two that pass each other in the side view: `at least` by the smallest opening, `at most` by
// the largest.
func (m *Machine) passes(f *solver.Finding, c *solver.Check) {
	f.Least, f.Greatest = m.openings(c.A, c.B)
	f.OK = c.Suffices(m.gapRoom(c))
}

// gapRoom is by how much a gap line holds where the two pass each other.
func (m *Machine) gapRoom(c *solver.Check) float64 {
	smallest, largest := m.openings(c.A, c.B)
	room, _ := c.Room(smallest, largest, m.limit(c.AtLeast), m.limit(c.AtMost))
	return room
}

// across turns what the side view shows of a pair into the answer to a gap line. Two that never pass each other in the side
// view leave nothing to measure, and hold. Fouls are where they pass, if the gap is not met.
func (m *Machine) across(f *solver.Finding, c *solver.Check, g *sight) {
	f.Greatest = math.NaN()
	if f.Least >= -touch {
		f.Apart, f.OK, f.Least = true, true, math.NaN()
		f.Fouls, f.FoulsAt = nil, nil
		return
	}
	f.Near = g.near
	if m.passes(f, c); f.OK {
		f.Fouls, f.FoulsAt = nil, nil
	}
}
