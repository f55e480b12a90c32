package mend

import (
	"context"
	"math"
	"slices"

	"barover/solver"
	"barover/solver/machine"
	"barover/solver/plane"
)

// row is the linearisation of one check at one engine: room + slope·(x − at), x the changes of all dimensions. It is in
// mm: an angle and a plain number are multiplied by the size of the engine.
type row struct {
	check int // its check; for an alternative, the check of the pair
	other bool
	room  float64
	slope []float64       // by dimension
	at    map[int]float64 // the changes with which the engine was solved
}

// reads is the room with some changes.
func (r *row) reads(x map[int]float64) float64 {
	v := r.room
	for d, w := range x {
		v += r.slope[d] * w
	}
	for d, w := range r.at {
		v -= r.slope[d] * w
	}
	return v
}

// linearise makes rows of findings on an engine that was changed by at. A finding without a slope, or with nothing to
// measure, makes none.
func (s *search) linearise(ctx context.Context, m *machine.Machine, at map[int]float64, found []solver.Finding) ([]row, error) {
	upper := make([]bool, len(found))
	for i := range found {
		_, upper[i] = m.Problem.RoomOf(&found[i])
	}
	slopes, err := m.SideSlopes(ctx, found, upper)
	if err != nil {
		return nil, err
	}
	beyond := make([]bool, len(found))
	for i := range upper {
		beyond[i] = !upper[i]
	}
	across, err := m.SideSlopes(ctx, gaps(m.Problem, found), beyond)
	if err != nil {
		return nil, err
	}
	var rows []row
	for i := range found {
		f := &found[i]
		rows = s.addRow(rows, m, f, slopes[i], upper[i], at)
		if c := &m.Problem.Checks[f.Check]; math.IsNaN(f.AtLeast) || math.IsNaN(f.AtMost) {
			continue
		} else if c.Kind == solver.Gap {
			rows = s.addRow(rows, m, f, across[i], beyond[i], at)
		} else if c.Kind == solver.Keep && f.Greatest-f.Least <= c.Meets() { // it stands still: one slope serves both sides
			rows = s.addRow(rows, m, f, slopes[i], beyond[i], at)
		}
	}
	return rows, nil
}

// gaps are the findings; those of no gap are made empty.
func gaps(p *solver.Problem, found []solver.Finding) []solver.Finding {
	list := slices.Clone(found)
	for i := range list {
		if p.Checks[list[i].Check].Kind != solver.Gap {
			list[i].Apart = true
		}
	}
	return list
}

// addRow adds the row of one side of a finding.
func (s *search) addRow(rows []row, m *machine.Machine, f *solver.Finding, slope []float64, upper bool, at map[int]float64) []row {
	c := &m.Problem.Checks[f.Check]
	room, ok := c.RoomOn(f, upper)
	if slope == nil || f.Apart || !ok {
		return rows
	}
	if f.OK { // a check that holds by a hair less than nothing holds
		room = math.Max(room, 0)
	}
	by := 1.0
	if c.Angle || c.Number {
		by = s.size
	}
	sign, asks := by*plane.Sign(!upper), m.RoomSlopes(f.Check, upper)
	r := row{check: f.Check, room: by * room, slope: make([]float64, len(slope)), at: at}
	for d := range slope {
		if r.slope[d] = sign*slope[d] + by*asks[d]; math.Abs(r.slope[d]) < weakest {
			r.slope[d] = 0
		}
	}
	if f.Check >= len(s.q.Problem.Checks) {
		r.check, r.other = s.pairOf(f.Check), true
	}
	return append(rows, r)
}

// weakest is the least slope that counts: less is rounding.
const weakest = 1e-9

// pairOf is the check of an alternative.
func (s *search) pairOf(other int) int {
	for i, k := range s.other {
		if k == other {
			return i
		}
	}
	return -1
}
