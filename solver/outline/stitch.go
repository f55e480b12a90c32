package outline

import (
	"math"

	"barover/solver/plane"
)

// stitch joins directed pieces to closed loops. Where more than two meet at a corner it turns as far left as it can, so
// that parts of the set that only touch at a corner become loops of their own. Loops without width are dropped.
func stitch(bounds []pieceEdge, tol float64) ([][]Edge, error) {
	out := make(map[int32][]int)
	for i := range bounds {
		out[bounds[i].from] = append(out[bounds[i].from], i)
	}
	used := make([]bool, len(bounds))
	var loops [][]Edge
	for i := range bounds {
		if used[i] {
			continue
		}
		var loop []Edge
		for at := i; ; {
			used[at] = true
			loop = append(loop, bounds[at].Edge)
			if bounds[at].to == bounds[i].from && !better(bounds, out, used, at, i) {
				break
			}
			next := leftmost(bounds, out[bounds[at].to], used, at)
			if next < 0 {
				return nil, errOpen
			}
			at = next
		}
		loop = tidied(loop, tol)
		if wide(loop, tol) {
			loops = append(loops, loop)
		}
	}
	return loops, nil
}

// better reports whether an unused piece is farther left at the end of piece at than the first piece of its loop, so that
// the loop continues through this corner.
func better(bounds []pieceEdge, out map[int32][]int, used []bool, at, first int) bool {
	next := leftmost(bounds, out[bounds[at].to], used, at)
	if next < 0 {
		return false
	}
	d := reachOf(bounds, []int{at, first, next})
	return turnAt(&bounds[at].Edge, &bounds[next].Edge, d) > turnAt(&bounds[at].Edge, &bounds[first].Edge, d)
}

// leftmost returns which of the unused pieces turns farthest left after piece at; -1 if there is none.
func leftmost(bounds []pieceEdge, ways []int, used []bool, at int) int {
	best, most := -1, math.Inf(-1)
	var d float64
	if len(ways) > 1 {
		d = reachOf(bounds, append([]int{at}, ways...))
	}
	for _, w := range ways {
		if used[w] {
			continue
		}
		if len(ways) == 1 {
			return w
		}
		if t := turnAt(&bounds[at].Edge, &bounds[w].Edge, d); t > most {
			best, most = w, t
		}
	}
	return best
}

// reachOf returns how far from a corner the directions of pieces that meet there are compared: half of the shortest, so
// that pieces that leave the corner in the same direction but bend apart can be told apart.
func reachOf(bounds []pieceEdge, which []int) float64 {
	d := math.Inf(1)
	for _, w := range which {
		d = math.Min(d, bounds[w].Length()/2)
	}
	return d
}

// turnAt returns the angle, rad, by which the boundary turns left from the end of e into f.
func turnAt(e, f *Edge, d float64) float64 {
	in := e.B.Sub(e.At(1 - d/e.Length()))
	on := f.At(d / f.Length()).Sub(f.A)
	return math.Atan2(in.Cross(on), in.Dot(on))
}

// wide reports whether a loop encloses more than a sliver.
func wide(loop []Edge, tol float64) bool {
	length := 0.0
	for i := range loop {
		length += loop[i].Length()
	}
	return math.Abs(area(loop)) > tol*length
}

// tidied joins edges of one line that follow one another.
func tidied(loop []Edge, tol float64) []Edge {
	start := 0
	for i := range loop {
		if !continues(&loop[(i+len(loop)-1)%len(loop)], &loop[i], tol) {
			start = i
			break
		}
	}
	var out []Edge
	for i := range loop {
		e := loop[(start+i)%len(loop)]
		if n := len(out); n > 0 && continues(&out[n-1], &e, tol) {
			out[n-1] = joinedUp(&out[n-1], &e)
			continue
		}
		out = append(out, e)
	}
	if len(out) == 1 && out[0].R != 0 && math.Abs(out[0].Turn) > math.Pi {
		e := &out[0]
		a := e.C.Add(plane.Vec{X: e.R})
		out[0] = arc(a, a, e.C, e.R, math.Copysign(2*math.Pi, e.Turn), e.Line)
	}
	return out
}

// continues reports whether f continues e on the same line or circle.
func continues(e, f *Edge, tol float64) bool {
	if e.Line != f.Line || e.R != f.R || sq(e.B.Sub(f.A)) > tol*tol {
		return false
	}
	if e.R == 0 {
		d, g := e.B.Sub(e.A), f.B.Sub(f.A)
		return d.Dot(g) > 0 && math.Abs(d.Cross(g)) <= 4*tol*math.Max(d.Len(), g.Len())
	}
	return e.C == f.C && (e.Turn > 0) == (f.Turn > 0)
}

// joinedUp returns e and f, which continues it, as one edge.
func joinedUp(e, f *Edge) Edge {
	if e.R == 0 {
		return straight(e.A, f.B, e.Line)
	}
	turn := e.Turn + f.Turn
	g := arc(e.A, f.B, e.C, e.R, turn, e.Line)
	g.mid = e.mid.Times(plane.Polar(f.Turn / 2))
	return g
}
