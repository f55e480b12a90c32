package outline

import (
	"math"

	"barover/solver/plane"
)

// corners numbers places, so that places within tol of one another are one corner, at the first of them.
type corners struct {
	tol  float64
	at   []plane.Vec
	cell map[[2]int64][]int32
}

func newCorners(tol float64) *corners {
	return &corners{tol: tol, cell: make(map[[2]int64][]int32)}
}

// put returns the number of the corner at p.
func (c *corners) put(p plane.Vec) int32 {
	w := 2 * c.tol
	x, y := int64(math.Floor(p.X/w)), int64(math.Floor(p.Y/w))
	best, least := int32(-1), c.tol*c.tol
	for i := x - 1; i <= x+1; i++ {
		for j := y - 1; j <= y+1; j++ {
			for _, k := range c.cell[[2]int64{i, j}] {
				if d := sq(c.at[k].Sub(p)); d <= least {
					best, least = k, d
				}
			}
		}
	}
	if best < 0 {
		best = int32(len(c.at))
		c.at = append(c.at, p)
		c.cell[[2]int64{x, y}] = append(c.cell[[2]int64{x, y}], best)
	}
	return best
}
