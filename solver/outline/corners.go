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

// cellSize is how wide a cell of corners is, in tolerances: so wide that most places have one cell near, and so narrow that a cell
// holds few corners.
const cellSize = 16

// put returns the number of the corner at p.
func (c *corners) put(p plane.Vec) int32 {
	best, least := int32(-1), c.tol*c.tol
	x0, y0 := c.cellAt(p.X-2*c.tol, p.Y-2*c.tol)
	x1, y1 := c.cellAt(p.X+2*c.tol, p.Y+2*c.tol)
	for i := x0; i <= x1; i++ {
		for j := y0; j <= y1; j++ {
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
		x, y := c.cellAt(p.X, p.Y)
		c.cell[[2]int64{x, y}] = append(c.cell[[2]int64{x, y}], best)
	}
	return best
}

func (c *corners) cellAt(x, y float64) (int64, int64) {
	w := cellSize * c.tol
	return int64(math.Floor(x / w)), int64(math.Floor(y / w))
}
