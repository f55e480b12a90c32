package field

import "math"

// findBest finds the place that is farthest from where something may fall short and from the ends of the range searched,
// each dimension as a share of that range. It is the middle of the largest square of cells that hold.
func (a *Answer) findBest(q *Query) {
	n := 1 << q.Depth
	holds := make([][]bool, n)
	for i := range holds {
		holds[i] = make([]bool, n)
	}
	at := func(v float64, k int) int {
		return int(math.Round((v - q.From[k]) / (q.To[k] - q.From[k]) * float64(n)))
	}
	for _, c := range a.Cells {
		if c.State != Holds {
			continue
		}
		for i := at(c.From[0], 0); i < at(c.To[0], 0); i++ {
			for k := at(c.From[1], 1); k < at(c.To[1], 1); k++ {
				holds[i][k] = true
			}
		}
	}
	// side is the largest square of cells that hold with its last corner at each.
	side, best := make([][]int, n+1), [3]int{}
	for i := range side {
		side[i] = make([]int, n+1)
	}
	for i := range n {
		for k := range n {
			if !holds[i][k] {
				continue
			}
			side[i+1][k+1] = 1 + min(side[i][k], side[i][k+1], side[i+1][k])
			if side[i+1][k+1] > best[0] {
				best = [3]int{side[i+1][k+1], i + 1, k + 1}
			}
		}
	}
	if best[0] == 0 {
		return
	}
	a.Room = float64(best[0]) / float64(2*n)
	lo, hi := [2]int{best[1] - best[0], best[2] - best[0]}, [2]int{best[1], best[2]}
	grow(holds, &lo, &hi)
	for k := range 2 {
		mid := (float64(best[1+k]) - float64(best[0])/2) / float64(n)
		a.Best[k] = q.From[k] + mid*(q.To[k]-q.From[k])
		a.Block[k] = [2]float64{q.From[k] + float64(lo[k])/float64(n)*(q.To[k]-q.From[k]), q.From[k] + float64(hi[k])/float64(n)*(q.To[k]-q.From[k])}
	}
}

// grow makes a block of cells that hold as large as possible without any that do not.
func grow(holds [][]bool, lo, hi *[2]int) {
	all := func(i0, i1, k0, k1 int) bool {
		for i := i0; i < i1; i++ {
			for k := k0; k < k1; k++ {
				if i < 0 || k < 0 || i >= len(holds) || k >= len(holds) || !holds[i][k] {
					return false
				}
			}
		}
		return true
	}
	for again := true; again; {
		again = false
		for k := range 2 {
			for _, by := range [2]int{-1, 1} {
				strip := [2][2]int{{lo[0], hi[0]}, {lo[1], hi[1]}} // the row of cells beside the block
				if by < 0 {
					strip[k] = [2]int{lo[k] - 1, lo[k]}
				} else {
					strip[k] = [2]int{hi[k], hi[k] + 1}
				}
				if !all(strip[0][0], strip[0][1], strip[1][0], strip[1][1]) {
					continue
				}
				if again = true; by < 0 {
					lo[k]--
				} else {
					hi[k]++
				}
			}
		}
	}
}
