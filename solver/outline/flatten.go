package outline

import (
	"math"

	"barover/solver/plane"
)

// mostChords bounds how many chords stand in for one arc.
const mostChords = 4096

// Flatten returns the loops as polygons whose corners lie on the boundary and whose sides miss it by tol, mm, at most
// (or as little as 4096 chords an arc allow). They are for pictures: distances are measured on the arcs.
func (r *Region) Flatten(tol float64) [][]plane.Vec {
	out := make([][]plane.Vec, 0, len(r.Loops))
	for _, l := range r.Loops {
		var poly []plane.Vec
		for i := range l {
			poly = l[i].chords(poly, tol)
		}
		out = append(out, poly)
	}
	return out
}

// chords appends the start of the edge and the places between its chords.
func (e *Edge) chords(dst []plane.Vec, tol float64) []plane.Vec {
	n := 1
	if e.R != 0 {
		step := math.Pi / 2
		if s := 1 - tol/e.R; s > 0 {
			step = 2 * math.Acos(s)
		}
		n = mostChords
		if c := math.Ceil(math.Abs(e.Turn) / step); c < mostChords {
			n = max(1, int(c))
		}
		if e.cos == -2 {
			n = max(n, 3)
		}
	}
	for i := range n {
		dst = append(dst, e.At(float64(i)/float64(n)))
	}
	return dst
}
