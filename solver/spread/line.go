package spread

import (
	"cmp"
	"math"
	"slices"
)

// line is what is known of a side's room with one tolerance at several values, and the others unchanged.
type line []point

type point struct{ x, room, slope float64 }

// add adds a point. An engine that cannot be assembled gives none.
func (l line) add(p point) line {
	if math.IsNaN(p.room) {
		return l
	}
	l = append(l, p)
	slices.SortFunc(l, func(a, b point) int { return cmp.Compare(a.x, b.x) })
	return l
}

// least returns the number of the point with the least room.
func (l line) least() int {
	k := 0
	for i, p := range l {
		if p.room < l[k].room {
			k = i
		}
	}
	return k
}

// within is the smallest distance, as a share of a line's length, between a known point and one worth trying.
const within = 1e-6

// guesses lists places between the points, beside the least known, at which the room may be less still. One is the vertex
// of the parabola through the least point and its neighbours. On the side to which the room falls, one is where the
// tangents at both ends meet (the place of a kink), and one is where the slope is zero if it changes evenly, or half way
// where the far end has no slope.
func (l line) guesses() (list []float64) {
	if len(l) < 2 {
		return nil
	}
	k := l.least()
	if k > 0 && k < len(l)-1 {
		list = append(list, vertex(l[k-1], l[k], l[k+1]))
	}
	for i := max(k-1, 0); i < min(k+1, len(l)-1); i++ {
		a, b := l[i], l[i+1]
		switch {
		case a.slope < 0 && b.slope > 0:
			list = append(list, (b.room-a.room+a.slope*a.x-b.slope*b.x)/(a.slope-b.slope), a.x-a.slope*(b.x-a.x)/(b.slope-a.slope))
		case i == k && a.slope < 0, i != k && b.slope > 0:
			list = append(list, (a.x+b.x)/2)
		}
	}
	return l.fresh(list)
}

// fresh returns those of a list that are within the line and not known yet, each once.
func (l line) fresh(list []float64) (out []float64) {
	near := within * (l[len(l)-1].x - l[0].x)
	for _, x := range list {
		ok := x > l[0].x && x < l[len(l)-1].x
		for _, p := range l {
			ok = ok && math.Abs(x-p.x) > near
		}
		for _, y := range out {
			ok = ok && math.Abs(x-y) > near
		}
		if ok {
			out = append(out, x)
		}
	}
	return out
}

// vertex returns the vertex of the parabola through three points; NaN where they are on a straight line.
func vertex(a, b, c point) float64 {
	p, q := (b.x-a.x)*(b.room-c.room), (b.x-c.x)*(b.room-a.room)
	return b.x - ((b.x-a.x)*p-(b.x-c.x)*q)/(2*(p-q))
}
