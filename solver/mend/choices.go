package mend

import (
	"math"
	"slices"
)

// choice says which of the pairs that do not hold are to hold by their alternative.
type choice map[int]bool

// mostChoices bounds how many are tried.
const mostChoices = 32

// choices are the choices that some dimensions leave. If only one side of a check can be moved, that side is moved.
func (s *search) choices(dims []int, rows []row) []choice {
	list := []choice{{}}
	for _, i := range s.failing(rows) {
		can := map[bool]bool{} // by the check itself, and by its alternative
		for k := range rows {
			r := &rows[k]
			if r.check == i && slices.ContainsFunc(dims, func(d int) bool { return s.gain(r, d) > 1e-6 }) {
				can[r.other] = true
			}
		}
		if !can[true] {
			continue
		}
		n := len(list)
		for _, c := range list[:n] {
			if can[false] && len(list) < mostChoices {
				other := choice{i: true}
				for k := range c {
					other[k] = true
				}
				list = append(list, other)
			} else if !can[false] {
				c[i] = true
			}
		}
	}
	return list
}

// failing lists the checks that do not hold, here or in an engine that was tried: those whose alternative has rows, and
// those that fail as they are.
func (s *search) failing(rows []row) (list []int) {
	list = slices.Clone(s.short)
	for i := range rows {
		if r := &rows[i]; r.other && !slices.Contains(list, r.check) {
			list = append(list, r.check)
		}
	}
	return list
}

// program is the rows in some dimensions, with a choice, and the rows that it was made from.
func (s *search) program(dims []int, rows []row, by choice) (*program, []*row) {
	p := &program{}
	for _, d := range dims {
		c := &s.cands[d]
		p.lo, p.hi = append(p.lo, (c.from-c.now)/c.reach), append(p.hi, (c.to-c.now)/c.reach)
	}
	var used []*row
	for i := range rows {
		r := &rows[i]
		if r.other != by[r.check] {
			continue
		}
		gain := make([]float64, len(dims))
		for k, d := range dims {
			gain[k] = r.slope[d] * s.cands[d].reach
		}
		n := len(p.need)
		if p.add(gain, -r.reads(nil)); len(p.need) > n {
			used = append(used, r)
		}
	}
	return p, used
}

// easiest is the choice with which the smallest changes meet the rows, each change as a share of its reach, and these
// changes; nil where no choice meets them. The programme may be altered first.
func (s *search) easiest(dims []int, rows []row, alter func(*program)) (best *program, z []float64) {
	least := math.Inf(1)
	for _, by := range s.choices(dims, rows) {
		p, _ := s.program(dims, rows, by)
		if alter != nil {
			alter(p)
		}
		x := p.least(0)
		if x == nil || !p.holds(x) {
			continue
		}
		size := 0.0
		for _, v := range x {
			size += math.Abs(v)
		}
		if size < least {
			best, z, least = p, x, size
		}
	}
	return best, z
}
