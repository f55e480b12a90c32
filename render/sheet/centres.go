package sheet

import (
	"math"

	"barover/render/drawing"
	"barover/solver/plane"
)

// centreOver is by how much a centre line stands out beyond what it goes through, mm of paper.
const centreOver = 5.0

// reach is from where to where the centre line of a line without end is drawn within a room: over all that it goes
// through, and a little beyond; right across where it goes through nothing.
func (v *view) reach(p plane.Placement, room drawing.Box) (a, b plane.Vec, ok bool) {
	a, b, ok = across(p, room)
	lo, hi := math.Inf(1), math.Inf(-1)
	take := func(runs [][]plane.Vec) {
		for _, run := range runs {
			for i, q := range run {
				from := run[(i+len(run)-1)%len(run)]
				f, t := p.Dir.Cross(from.Sub(p.Origin)), p.Dir.Cross(q.Sub(p.Origin))
				if (f < 0) != (t < 0) {
					s := from.Add(q.Sub(from).Scale(f / (f - t))).Sub(p.Origin).Dot(p.Dir)
					lo, hi = min(lo, s), max(hi, s)
				}
			}
		}
	}
	for i := range v.bodies {
		take(v.flat(&v.bodies[i], v.chosen))
	}
	for _, w := range v.swept {
		for _, run := range w.runs {
			take([][]plane.Vec{v.runOn(run)})
		}
	}
	if !ok || !(lo < hi) {
		return a, b, ok
	}
	from, to := a.Sub(p.Origin).Dot(p.Dir), b.Sub(p.Origin).Dot(p.Dir)
	from, to = max(from, lo-centreOver), min(to, hi+centreOver)
	return p.Origin.Add(p.Dir.Scale(from)), p.Origin.Add(p.Dir.Scale(to)), from < to
}
