package mend

import (
	"math"
	"slices"

	"barover/solver"
)

// Fight is a smallest set of checks that do not hold together, with any values of the dimensions within the search.
type Fight struct {
	Checks []int
	Takes  []Take // what each would need, as far as slopes tell
	Proved bool   // proved; else only by slopes
}

// Take is how far a dimension would have to go for a check to hold, or could go while it holds, all others as they are.
type Take struct {
	Check, Dim int
	Value      float64
	AtLeast    bool // it must be at least so much, else at most
	Now        bool // the check holds now
}

// fight finds checks that pull against one another: one that no dimension moves, else one that none moves far enough,
// else two, else those that the whole programme gives, less any that are not needed.
func (s *search) fight() *Fight {
	dims := s.searched.dims
	touched := s.touchedByAny(dims)
	for _, i := range s.short {
		if !slices.Contains(touched, i) {
			return &Fight{Checks: []int{i}, Proved: true}
		}
	}
	checks := s.smallestFight(dims)
	if checks == nil {
		return nil
	}
	f := &Fight{Checks: checks, Proved: true}
	for _, i := range checks {
		f.Proved = f.Proved && s.exact(i, dims)
		f.Takes = append(f.Takes, s.takes(i, checks, dims)...)
	}
	return f
}

// touchedByAny lists the checks that may depend on some dimensions.
func (s *search) touchedByAny(dims []int) []int {
	if len(s.touchedByRanges(dims)) > 0 {
		return solver.Numbers(len(s.q.Problem.Checks))
	}
	return s.q.Problem.Touched(s.base.Values, dims...)
}

func (s *search) smallestFight(dims []int) []int {
	apart := func(checks ...int) bool { return s.apart(checks, dims) }
	for _, i := range s.short {
		if apart(i) {
			return []int{i}
		}
	}
	var all []int // checks with rows
	for i := range s.rows {
		if r := &s.rows[i]; !slices.Contains(all, r.check) {
			all = append(all, r.check)
		}
	}
	for _, i := range s.short {
		for _, j := range all {
			if j != i && apart(i, j) {
				return []int{i, j}
			}
		}
	}
	if !apart(all...) {
		return nil
	}
	for _, i := range slices.Clone(all) { // until none can be left out
		if rest := slices.DeleteFunc(slices.Clone(all), func(j int) bool { return j == i }); apart(rest...) {
			all = rest
		}
	}
	return all
}

// apart reports whether, by slopes, no changes meet some checks together, with any choice for pairs. A check without rows
// asks for nothing.
func (s *search) apart(checks, dims []int) bool {
	var rows []row
	for i := range s.rows {
		if slices.Contains(checks, s.rows[i].check) {
			rows = append(rows, s.rows[i])
		}
	}
	for _, by := range s.choices(dims, rows) {
		p, _ := s.program(dims, rows, by)
		least, y := p.bound()
		if y == nil || !(p.shows(y) > s.meets()) || !(least > 0) {
			return false
		}
	}
	return true
}

// shows is by how much some row is missed whatever the changes, as weights prove: computed from them alone.
func (p *program) shows(y []float64) float64 {
	sum, total := 0.0, 0.0
	for i, w := range y {
		sum += math.Max(w, 0) * p.need[i]
		total += math.Max(w, 0)
	}
	for d := range p.lo {
		g := 0.0
		for i, w := range y {
			g += math.Max(w, 0) * p.gain[i][d]
		}
		sum -= math.Max(g*p.lo[d], g*p.hi[d])
	}
	return sum / total
}

// meets is by how much a check that holds may miss a row, mm.
func (s *search) meets() float64 { return 1.01 * math.Max(solver.MeetsLength, 1e-5*s.size) }

// takes says what a check needs of the dimensions that others of a fight depend on as well.
func (s *search) takes(check int, checks, dims []int) (list []Take) {
	for i := range s.rows {
		r := &s.rows[i]
		if r.check != check || r.other {
			continue
		}
		for _, d := range dims {
			if r.slope[d] == 0 || len(list) == mostTakes || len(checks) > 1 && !s.shared(d, check, checks) {
				continue
			}
			v := s.cands[d].now - r.room/r.slope[d]
			if c := &s.cands[d]; v < c.from || v > c.to {
				continue
			}
			list = append(list, Take{Check: check, Dim: d, Value: v, AtLeast: r.slope[d] > 0, Now: r.room >= 0})
		}
	}
	return list
}

// mostTakes is the number of dimensions named for one check.
const mostTakes = 2

// shared reports whether another check of a fight also depends on a dimension.
func (s *search) shared(d, check int, checks []int) bool {
	return slices.ContainsFunc(s.rows, func(r row) bool { return r.check != check && slices.Contains(checks, r.check) && r.slope[d] != 0 })
}
