package engine

import (
	"math"

	"barover/solver"
)

// Gap is the space across the engine between the bands of two profiles, mm, with both parts shifted towards each other as
// far as their sideplay allows. Below zero they overlap.
func (m *Engine) Gap(a, b int) float64 {
	x, y := m.Bands[a], m.Bands[b]
	return math.Max(x.From-y.To, y.From-x.To) - x.Play - y.Play
}

// BandsApart reports whether the bands of two profiles never overlap across, so the side view does not count.
func (m *Engine) BandsApart(a, b int) bool { return m.Gap(a, b) >= -Touch }

// Apart answers a clear line for two profiles whose bands never overlap.
func (m *Engine) Apart(f *solver.Finding, c *solver.Check) bool {
	if c.Kind != solver.Clear || !m.BandsApart(c.A, c.B) {
		return false
	}
	f.Apart, f.OK, f.Sure = true, true, solver.Proved
	return true
}

// LeftOut lists the pairs that were not tried: those that the Problem names, and those with bands that do not overlap.
func (m *Engine) LeftOut() []solver.LeftOut {
	out := append([]solver.LeftOut(nil), m.Problem.LeftOut...)
	seen := make(map[solver.LeftOut]bool)
	for i := range m.Problem.Checks {
		c := &m.Problem.Checks[i]
		if c.Kind != solver.Clear || !m.BandsApart(c.A, c.B) {
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

// Openings returns the smallest and the largest space across between two profiles, mm: with the sideplay of both
// subtracted, and added.
func (m *Engine) Openings(a, b int) (smallest, largest float64) {
	smallest = m.Gap(a, b)
	return smallest, smallest + 2*(m.Bands[a].Play+m.Bands[b].Play)
}

// Passes answers a gap line for two profiles that pass each other in the side view: `at least` by the smallest opening,
// `at most` by the largest.
func (m *Engine) Passes(f *solver.Finding, c *solver.Check) {
	f.Least, f.Greatest = m.Openings(c.A, c.B)
	f.OK = c.Suffices(m.GapRoom(c))
}

// GapRoom returns the margin of a gap line where the two pass each other.
func (m *Engine) GapRoom(c *solver.Check) float64 {
	smallest, largest := m.Openings(c.A, c.B)
	room, _ := c.Room(smallest, largest, m.Limit(c.AtLeast), m.Limit(c.AtMost))
	return room
}

// Across makes the answer to a gap line from what the side view shows of a pair. Two that never pass each other in the
// side view have nothing to measure, and hold. If the gap is not met, the fouls are where they pass.
func (m *Engine) Across(f *solver.Finding, c *solver.Check, g *Sight) {
	f.Greatest = math.NaN()
	if f.Least >= -Touch {
		f.Apart, f.OK, f.Least = true, true, math.NaN()
		f.Fouls, f.FoulsAt = nil, nil
		return
	}
	f.Near = g.Near
	if m.Passes(f, c); f.OK {
		f.Fouls, f.FoulsAt = nil, nil
	}
}
