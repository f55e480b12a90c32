package outline

import (
	"math"

	"barover/solver/plane"
)

// polygonal is the corners of polygons.
type polygonal []plane.Vec

// left is twice the area to the left of the line from corner i by j to k.
func (at polygonal) left(i, j, k int) float64 {
	return at[j].Sub(at[i]).Cross(at[k].Sub(at[j]))
}

// Convex reports whether a polygon, anticlockwise, is convex. It is given by the numbers of its corners.
func Convex(at []plane.Vec, polygon []int) bool { return polygonal(at).convex(polygon) }

func (at polygonal) convex(polygon []int) bool {
	n := len(polygon)
	turned := 0.0
	for i := range polygon {
		a, b, c := polygon[i], polygon[(i+1)%n], polygon[(i+2)%n]
		if at.left(a, b, c) < 0 {
			return false
		}
		u, v := at[b].Sub(at[a]), at[c].Sub(at[b])
		turned += math.Atan2(u.Cross(v), u.Dot(v))
	}
	return turned < 2*math.Pi+1e-6
}

// ConvexParts cuts a polygon, anticlockwise, into triangles by its ears, and joins those again that make a convex one. The polygon and
// its parts are given by the numbers of their corners. It reports false where the polygon crosses itself.
func ConvexParts(at []plane.Vec, polygon []int) (out [][]int, ok bool) {
	p := polygonal(at)
	left := append([]int(nil), polygon...)
	for len(left) > 3 {
		i := p.ear(left)
		if i < 0 {
			return nil, false
		}
		n := len(left)
		out = append(out, []int{left[(i+n-1)%n], left[i], left[(i+1)%n]})
		left = append(left[:i:i], left[i+1:]...)
	}
	if len(left) == 3 {
		out = append(out, left)
	}
	for again := true; again; {
		again = false
		for i := range out {
			for j := i + 1; j < len(out) && !again; j++ {
				if both, fits := p.joined(out[i], out[j]); fits {
					out[i] = both
					out = append(out[:j], out[j+1:]...)
					again = true
				}
			}
			if again {
				break
			}
		}
	}
	return out, true
}

// ear finds a corner that a cut removes without any other in it.
func (at polygonal) ear(left []int) int {
	n := len(left)
	for i := range left {
		a, b, c := left[(i+n-1)%n], left[i], left[(i+1)%n]
		if at.left(a, b, c) < 0 {
			continue
		}
		free := true
		for _, k := range left {
			if k != a && k != b && k != c && at.left(a, b, k) >= 0 && at.left(b, c, k) >= 0 && at.left(c, a, k) >= 0 {
				free = false
				break
			}
		}
		if free {
			return i
		}
	}
	return -1
}

// joined joins two polygons along an edge that both have, if that makes a convex one.
func (at polygonal) joined(a, b []int) ([]int, bool) {
	for i := range a {
		for j := range b {
			if a[i] != b[(j+1)%len(b)] || a[(i+1)%len(a)] != b[j] {
				continue
			}
			var both []int
			for k := range len(a) - 1 {
				both = append(both, a[(i+1+k)%len(a)])
			}
			for k := range len(b) - 1 {
				both = append(both, b[(j+1+k)%len(b)])
			}
			return both, at.convex(both)
		}
	}
	return nil, false
}
