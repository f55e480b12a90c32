package sweep

import (
	"slices"

	"barover/solver/plane"
)

// across sorts points by X and then by Y, and uses the room of v. The points of polygons come in a few runs that only go up
// or only go down, so it merges runs.
func across(v []plane.Vec) []plane.Vec {
	ends := make([]int, 0, 16)
	for i := 0; i < len(v); {
		k := i + 1
		for k < len(v) && before(v[k], v[k-1]) {
			k++
		}
		if k > i+1 {
			slices.Reverse(v[i:k])
		}
		for k < len(v) && !before(v[k], v[k-1]) {
			k++
		}
		ends, i = append(ends, k), k
	}
	for room := make([]plane.Vec, len(v)); len(ends) > 1; v, room = room, v {
		from, kept := 0, ends[:0]
		for i := 0; i < len(ends); i += 2 {
			middle, to := ends[i], ends[min(i+1, len(ends)-1)]
			merge(room[from:to], v[from:middle], v[middle:to])
			from, kept = to, append(kept, to)
		}
		ends = kept
	}
	return v
}

// merge puts two sorted runs together.
func merge(to, a, b []plane.Vec) {
	for len(a) > 0 && len(b) > 0 {
		if before(b[0], a[0]) {
			to[0], b = b[0], b[1:]
		} else {
			to[0], a = a[0], a[1:]
		}
		to = to[1:]
	}
	copy(to[copy(to, a):], b)
}

func before(a, b plane.Vec) bool { return a.X < b.X || a.X == b.X && a.Y < b.Y }
