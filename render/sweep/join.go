package sweep

import (
	"math"

	"barover/solver/plane"
)

// near is how far apart two ends may lie that are the same place, in steps of the grid: where an edge is cut is known to
// about 2⁻⁵³ of its length, some 10⁻⁸ steps.
const near = 1.0 / 64

// spot is a square in which ends that lie together are found.
type spot struct{ x, y int64 }

func spotOf(v plane.Vec) spot { return spot{int64(math.Floor(v.X)), int64(math.Floor(v.Y))} }

// join makes runs of pieces, each to one that begins where it ends. Pieces shorter than near are dropped: their
// neighbours meet without them.
func join(pieces []piece) [][]plane.Vec {
	begins := make(map[spot][]int32, len(pieces))
	kept := pieces[:0]
	for _, p := range pieces {
		if p.b.Sub(p.a).Len() > near {
			begins[spotOf(p.a)] = append(begins[spotOf(p.a)], int32(len(kept)))
			kept = append(kept, p)
		}
	}
	used := make([]bool, len(kept))
	var runs [][]plane.Vec
	for i := range kept {
		if used[i] {
			continue
		}
		var run []plane.Vec
		for k := i; k >= 0; k = next(kept, used, begins, kept[k]) {
			used[k] = true
			run = append(run, kept[k].a)
		}
		if len(run) > 2 {
			runs = append(runs, run)
		}
	}
	return runs
}

// next finds the unused piece that begins where p ends; -1 if there is none. Of several it takes the one that turns most
// to the left, so that areas that touch at a corner stay apart.
func next(kept []piece, used []bool, begins map[spot][]int32, p piece) int {
	best, turn := -1, math.Inf(-1)
	in := p.b.Sub(p.a)
	look := func(s spot) {
		for _, k := range begins[s] {
			if used[k] || kept[k].a.Sub(p.b).Len() > 2*near {
				continue
			}
			out := kept[k].b.Sub(kept[k].a)
			if t := math.Atan2(in.Cross(out), in.Dot(out)); t > turn {
				best, turn = int(k), t
			}
		}
	}
	home := spotOf(p.b)
	look(home)
	for _, dx := range [...]float64{-2 * near, 0, 2 * near} {
		for _, dy := range [...]float64{-2 * near, 0, 2 * near} {
			if s := spotOf(plane.Vec{X: p.b.X + dx, Y: p.b.Y + dy}); s != home {
				look(s)
			}
		}
	}
	return best
}
