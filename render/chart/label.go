package chart

import (
	"math"

	"barover/render/drawing"
	"barover/solver/plane"
)

// lookedAt is at how many places of a curve it is tried how much room a label has there.
const lookedAt = 90

// labels writes each curve's label on its line, where the other lines, their labels and the signs are farthest off.
func (f field) labels(l *drawing.Layer, curves []Curve, signs []Sign) {
	var taken []plane.Vec
	for _, g := range signs {
		taken = append(taken, f.on(g.At)...)
	}
	runs := make([][]plane.Vec, len(curves))
	for i, c := range curves {
		runs[i] = f.spread(c.Points)
	}
	for i, c := range curves {
		best, most := plane.Vec{}, 0.0
		room := f.box.Grown(-halo.Height)
		half := plane.Vec{X: halo.Width(c.Label) / 2, Y: halo.Height / 2}
		for _, p := range runs[i] {
			if !room.Holds(p.Sub(half)) || !room.Holds(p.Add(half)) {
				continue
			}
			clear := nearest(p, taken)
			for k, other := range runs {
				if k != i {
					clear = min(clear, nearest(p, other))
				}
			}
			if clear > most {
				best, most = p, clear
			}
		}
		if c.Label != "" && most > halo.Height {
			l.Write(best.Sub(plane.Vec{Y: half.Y}), drawing.Middle, halo, c.Label)
			taken = append(taken, best, best.Sub(plane.Vec{X: half.X}), best.Add(plane.Vec{X: half.X}))
		}
		if c.Arrows {
			f.arrows(l, c, append(taken, best))
		}
	}
}

// spread puts about lookedAt of a curve's points on the paper, evenly among them.
func (f field) spread(points []plane.Vec) (run []plane.Vec) {
	for i := 0; i < len(points); i += max(1, len(points)/lookedAt) {
		if p := f.at(points[i]); math.Abs(p.X)+math.Abs(p.Y) < 1e6 {
			run = append(run, p)
		}
	}
	return run
}

// nearest is how far the nearest of some places is from p, mm; far off where there is none.
func nearest(p plane.Vec, places []plane.Vec) float64 {
	least := 1e3
	for _, q := range places {
		least = min(least, q.Sub(p).Len())
	}
	return least
}

// arrows draws two heads along a curve that show which way it goes, at a quarter of its points and at three quarters, or
// farther on where a label or a sign stands.
func (f field) arrows(l *drawing.Layer, c Curve, taken []plane.Vec) {
	n := len(c.Points)
	for _, from := range []int{n / 4, 3 * n / 4} {
		for k := from; k+1 < min(n, from+n/8); k++ {
			a, b := f.at(c.Points[k]), f.at(c.Points[k+1])
			u := b.Sub(a).Unit()
			if !(b.Sub(a).Len() > 0.05) || !f.box.Grown(-2).Holds(b) || nearest(b, taken) < 4+halo.Width(c.Label)/2 {
				continue
			}
			back, side := b.Sub(u.Scale(2.8)), u.Turned().Scale(0.8)
			l.Draw(drawing.Polyline([]plane.Vec{b, back.Add(side), back.Sub(side)}, true), dot, "")
			break
		}
	}
}
