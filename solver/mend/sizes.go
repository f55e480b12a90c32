package mend

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// grades is the number of step sizes: see Dim.Steps.
func (s *search) grades(dims []int) int {
	n := 1
	for _, d := range dims {
		if len(s.q.Dims[d].Stock) == 0 {
			n = max(n, len(s.q.Dims[d].Steps))
		}
	}
	return n
}

// mostSizes bounds how many sizes in stock of one dimension are tried, those nearest to what slopes ask for.
const mostSizes = 16

// sizes are the sizes available near a value of a dimension, at a step size: those of its stock, or the whole steps to
// either side.
func (s *search) sizes(d int, v float64, grade int) (list []float64) {
	q, c := &s.q.Dims[d], &s.cands[d]
	if len(q.Stock) > 0 {
		list = slices.Clone(q.Stock)
		slices.SortFunc(list, func(a, b float64) int { return cmp.Compare(math.Abs(a-v), math.Abs(b-v)) })
		return list[:min(len(list), mostSizes)]
	}
	if len(q.Steps) == 0 {
		return []float64{v}
	}
	step := q.Steps[min(grade, len(q.Steps)-1)]
	for _, k := range []float64{math.Floor(v/step + 1e-7), math.Ceil(v/step - 1e-7)} {
		if w := k * step; w >= c.from && w <= c.to && !slices.Contains(list, w) {
			list = append(list, w)
		}
	}
	return append(list, c.now) // leaving it as it is may serve as well
}

// had finds sizes available for dimensions that meet the rows and were not tried. It takes the smallest of those next to
// the smallest changes that slopes allow, else of those next to the changes that leave most room, else of finer ones. It
// returns nil where there are none.
func (s *search) had(dims []int, rows []row) map[int]float64 {
	p, z := s.easiest(dims, rows, nil)
	if p == nil {
		return nil
	}
	roomy := p.least(s.size)
	for grade := range s.grades(dims) {
		for _, at := range [][]float64{z, roomy} {
			if at == nil {
				continue
			}
			if x := s.round(dims, p, at, grade); x != nil {
				return x
			}
		}
	}
	return nil
}

// round finds the sizes near some changes that meet the rows with the smallest changes.
func (s *search) round(dims []int, p *program, at []float64, grade int) map[int]float64 {
	var best map[int]float64
	least := math.Inf(1)
	z := make([]float64, len(dims))
	var fill func(k int, size float64)
	fill = func(k int, size float64) {
		if size >= least {
			return
		}
		if k == len(dims) {
			if x := s.changes(dims, z); p.misses(z) <= 10*slack && len(x) > 0 && !s.known[fmt.Sprint(x)] {
				best, least = x, size
			}
			return
		}
		c := &s.cands[dims[k]]
		for _, v := range s.sizes(dims[k], c.now+at[k]*c.reach, grade) {
			z[k] = (v - c.now) / c.reach
			fill(k+1, size+math.Abs(z[k]))
		}
	}
	fill(0, 0)
	return best
}

// changes are by how much each dimension changes; those that do not are left out.
func (s *search) changes(dims []int, z []float64) map[int]float64 {
	x := map[int]float64{}
	for k, d := range dims {
		if by := z[k] * s.cands[d].reach; math.Abs(by) > 1e-9*math.Max(1, math.Abs(s.cands[d].now)) {
			x[d] = by
		}
	}
	return x
}
