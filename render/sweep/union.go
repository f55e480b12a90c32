package sweep

import (
	"cmp"
	"math"
	"slices"

	"barover/solver/plane"
)

// A Convex is a convex polygon, anticlockwise, mm.
type Convex []plane.Vec

// Union returns the edge of the area that the hulls of the sets of points cover together: closed runs, anticlockwise round the area,
// clockwise round what it leaves empty. It is for the picture: verdicts never come from it.
//
// Each edge of each polygon is cut at every other polygon that covers some of it; what none covers is edge of the whole,
// and the pieces are joined end to end. Covering a straight edge by a convex polygon is one clipping, with no general
// intersection of outlines. Corners are first put on a grid of 2²⁴ steps over the whole, so that on which side of an edge
// a corner lies is decided exactly by float64 (a product of two differences needs 50 bits): with rounding there, edges that
// lie nearly in line would each take the other to cover it, or neither. The grid moves an edge by at most
// a sixteen-millionth of the whole.
func Union(sets [][]plane.Vec) [][]plane.Vec {
	u := &union{}
	u.lay(sets)
	u.index()
	var pieces []piece
	for i := range u.polys {
		pieces = u.edges(i, pieces)
	}
	runs := join(pieces)
	for _, run := range runs {
		for i := range run {
			run[i] = run[i].Scale(u.step).Add(u.low)
		}
	}
	return runs
}

type piece struct{ a, b plane.Vec }

// reach is how far from the origin a corner may lie, mm; a polygon that reaches farther, or whose corners are no numbers,
// is left out.
const reach = 1e7

// gridSteps is how many steps of the grid the longer side of the whole has; cellSide how many of them a cell has.
const (
	gridSteps = 1 << 24
	cellSide  = gridSteps / 32
	cells     = gridSteps/cellSide + 1
)

// union holds polygons, corners on the grid and counted in its steps, and in cells, so that an edge meets only those
// near it.
type union struct {
	low   plane.Vec // mm
	step  float64   // mm
	polys []Convex
	box   [][4]float64           // least x, least y, greatest x, greatest y
	first [cells*cells + 1]int32 // where each cell's polygons begin in in
	in    []int32
	seen  []int32 // the last edge that examined each polygon
	apart []int32 // which edge of each polygon last had all of an edge outside, by the corner at its end
	edge  int32
	last  int // the polygon that last covered an edge to its end
}

// lay puts the points on the grid and takes their hulls there.
func (u *union) lay(sets [][]plane.Vec) {
	lo, hi := plane.Vec{X: reach, Y: reach}, plane.Vec{X: -reach, Y: -reach}
	kept := make([][]plane.Vec, 0, len(sets))
	for _, set := range sets {
		a, b := lo, hi
		for _, v := range set {
			a.X, a.Y, b.X, b.Y = min(a.X, v.X), min(a.Y, v.Y), max(b.X, v.X), max(b.Y, v.Y)
		}
		// min and max of a number that is none are none.
		if a.X >= -reach && a.Y >= -reach && b.X <= reach && b.Y <= reach && len(set) > 2 {
			kept, lo, hi = append(kept, set), a, b
		}
	}
	u.low, u.step = lo, max(hi.X-lo.X, hi.Y-lo.Y)/gridSteps
	if !(u.step > 0) {
		return
	}
	known := make(map[uint64]bool, len(kept))
	var points []plane.Vec
	for _, set := range kept {
		points = points[:0]
		for _, v := range set {
			d := v.Sub(lo).Scale(1 / u.step)
			points = append(points, plane.Vec{X: math.Round(d.X), Y: math.Round(d.Y)})
		}
		h := Hull(points)
		if k := key(h); len(h) > 2 && !known[k] {
			known[k] = true
			u.polys = append(u.polys, h)
		}
	}
}

// key tells polygons on the grid apart, by a hash of their corners (FNV-1a, 64 bits): what turns about its own centre
// comes again and again.
func key(p Convex) uint64 {
	h := uint64(14695981039346656037)
	for _, v := range p {
		h = (h ^ uint64(int64(v.X))) * 1099511628211
		h = (h ^ uint64(int64(v.Y))) * 1099511628211
	}
	return h
}

// index notes for every cell which polygons reach into it.
func (u *union) index() {
	u.box = make([][4]float64, len(u.polys))
	u.seen, u.apart = make([]int32, len(u.polys)), make([]int32, len(u.polys))
	var count [cells*cells + 1]int32
	each := func(b [4]float64, f func(cell int)) {
		x0, x1, y0, y1 := span(b)
		for y := y0; y <= y1; y++ {
			for x := x0; x <= x1; x++ {
				f(y*cells + x)
			}
		}
	}
	for i, p := range u.polys {
		b := [4]float64{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
		for _, v := range p {
			b = [4]float64{min(b[0], v.X), min(b[1], v.Y), max(b[2], v.X), max(b[3], v.Y)}
		}
		u.box[i] = b
		each(b, func(c int) { count[c+1]++ })
	}
	for c := range cells * cells {
		count[c+1] += count[c]
	}
	u.first = count
	u.in = make([]int32, count[cells*cells])
	for i := range u.polys {
		each(u.box[i], func(c int) {
			u.in[count[c]] = int32(i)
			count[c]++
		})
	}
}

// span returns the columns and rows of the cells that a box reaches into.
func span(b [4]float64) (x0, x1, y0, y1 int) {
	return int(b[0] / cellSide), int(b[2] / cellSide), int(b[1] / cellSide), int(b[3] / cellSide)
}

// edges adds the pieces of polygon i's edges that no other polygon covers.
func (u *union) edges(i int, pieces []piece) []piece {
	p := u.polys[i]
	var cover [][2]float64
	for k, b := range p {
		a := p[(k+len(p)-1)%len(p)]
		if a == b {
			continue
		}
		var whole bool
		if cover, whole = u.covered(i, a, b, cover[:0]); whole {
			continue
		}
		pieces = uncovered(a, b, cover, pieces)
	}
	return pieces
}

// covered lists the shares of the way from a to b that other polygons cover, and reports whether they cover all of it.
// What covered the edge before is tried first, then the neighbours in the list: in a sweep they cover most edges.
func (u *union) covered(i int, a, b plane.Vec, cover [][2]float64) ([][2]float64, bool) {
	u.edge++
	u.seen[i] = u.edge
	lo, hi := 0.0, 1.0 // what lies between is not yet known to be covered
	try := func(j int) bool {
		if u.seen[j] == u.edge {
			return false
		}
		u.seen[j] = u.edge
		t, ok := u.clip(j, a, b, lo, hi, j < i)
		if !ok {
			return false
		}
		if t[0] <= lo {
			lo = max(lo, t[1])
		}
		if t[1] >= hi {
			hi = min(hi, t[0])
		}
		cover = append(cover, t)
		if lo < hi {
			return false
		}
		u.last = j
		return true
	}
	for _, j := range [...]int{u.last, i - 1, i + 1, i - 2, i + 2} {
		if j >= 0 && j < len(u.polys) && try(j) {
			return cover, true
		}
	}
	x0, x1, y0, y1 := span([4]float64{min(a.X, b.X), min(a.Y, b.Y), max(a.X, b.X), max(a.Y, b.Y)})
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			c := y*cells + x
			for _, j := range u.in[u.first[c]:u.first[c+1]] {
				if try(int(j)) {
					return cover, true
				}
			}
		}
	}
	return cover, false
}

// clip returns the share of the way from a to b inside polygon j, where it reaches into that between lo and hi. An edge
// that runs along one of j's in the same direction is covered only by the earlier polygon of the two, so that just one of
// them is kept; in the opposite direction the two areas lie on either side and both are covered. The edges of j are gone through from
// the one that had the last edge outside, since the next edge mostly lies beside that. The share does not depend on where it begins.
func (u *union) clip(j int, a, b plane.Vec, lo, hi float64, earlier bool) (t [2]float64, ok bool) {
	box := &u.box[j]
	if max(a.X, b.X) < box[0] || min(a.X, b.X) > box[2] || max(a.Y, b.Y) < box[1] || min(a.Y, b.Y) > box[3] {
		return t, false
	}
	t = [2]float64{0, 1}
	q := u.polys[j]
	if on, k := q.place(a); on != beyond {
		if other, _ := q.place(b); other != beyond { // as of most edges of a sweep
			along := on == onEdge && other == onEdge && q.along(k, a, b)
			return t, earlier || !along
		}
	}
	n, k := len(q), int(u.apart[j])
	e := q[(k+n-1)%n]
	for range q {
		f := q[k]
		side := f.Sub(e)
		from, to := side.Cross(a.Sub(e)), side.Cross(b.Sub(e)) // exact; left of the edge is inside
		switch {
		case from > 0 && to >= 0, from == 0 && to > 0:
		case from == 0 && to == 0:
			if !earlier && b.Sub(a).Dot(side) > 0 {
				return t, false
			}
		case from <= 0 && to <= 0:
			u.apart[j] = int32(k)
			return t, false
		case from < 0:
			t[0] = max(t[0], from/(from-to))
		default:
			t[1] = min(t[1], from/(from-to))
		}
		if t[0] >= t[1] || t[0] >= hi || t[1] <= lo {
			return t, false
		}
		e = f
		if k++; k == n {
			k = 0
		}
	}
	return t, true
}

// Where a corner lies to a polygon.
const (
	beyond = iota
	onEdge
	within
)

// place tells where a corner on the grid lies, and on which edge if it is on one, by the corner at its end. It takes as many steps as
// the number of corners has bits: in the wedge of two diagonals from the first corner, the edge between them decides.
func (q Convex) place(v plane.Vec) (where, edge int) {
	d, lo, hi := v.Sub(q[0]), 1, len(q)-1
	first, last := q[lo].Sub(q[0]).Cross(d), d.Cross(q[hi].Sub(q[0]))
	if first < 0 || last < 0 {
		return beyond, 0
	}
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; q[mid].Sub(q[0]).Cross(d) >= 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	switch third := q[hi].Sub(q[lo]).Cross(v.Sub(q[lo])); {
	case third < 0:
		return beyond, 0
	case third == 0:
		return onEdge, hi
	case first == 0:
		return onEdge, 1
	case last == 0:
		return onEdge, 0
	}
	return within, 0
}

// along reports whether the way from a to b runs along an edge of the polygon in its direction; a is on the edge that ends at corner k.
func (q Convex) along(k int, a, b plane.Vec) bool {
	n := len(q)
	for i := k + n - 1; i <= k+n+1; i++ { // a may be a corner
		e, side := q[(i-1)%n], q[i%n].Sub(q[(i-1)%n])
		if side.Cross(a.Sub(e)) == 0 && side.Cross(b.Sub(e)) == 0 {
			return b.Sub(a).Dot(side) > 0
		}
	}
	return false
}

// uncovered adds what is left of the way from a to b.
func uncovered(a, b plane.Vec, cover [][2]float64, pieces []piece) []piece {
	slices.SortFunc(cover, func(s, t [2]float64) int { return cmp.Compare(s[0], t[0]) })
	d := b.Sub(a)
	at := 0.0
	add := func(to float64) {
		if to > at {
			p, q := a.Add(d.Scale(at)), a.Add(d.Scale(to))
			if at == 0 {
				p = a
			}
			if to == 1 {
				q = b
			}
			pieces = append(pieces, piece{p, q})
		}
	}
	for _, c := range cover {
		add(min(c[0], 1))
		at = max(at, c[1])
	}
	add(1)
	return pieces
}
