package sheet

import (
	"math"
	"slices"

	"barover/render/drawing"
	"barover/solver/plane"
)

// centreOver is how far a centre line extends beyond what it goes through, mm of paper.
const centreOver = 5.0

// reach is the drawn extent of a line without end within a room: over everything that it goes through, and a little
// beyond. It goes right across where it goes through nothing.
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

// centres draws the sketch's lines and a cross at the axis of every round.
func (v *view) centres(style *drawing.Style) {
	if v.chosen == nil {
		return
	}
	l := v.d.Layer("centres", "Centre lines")
	const words = "centre lines and axes"
	room := v.l.picture.Grown(-4)
	if !v.box.Empty() {
		b := v.box
		room = drawing.Box{Min: v.on(b.Min), Max: v.on(b.Max)}.Grown(5).Common(room)
	}
	for i, line := range v.Problem.Linkage.Lines {
		if i >= len(v.chosen.Line) {
			break
		}
		if a, b, ok := v.reach(v.at(v.chosen.Line[i]), room); ok {
			l.Draw(drawing.Line(a, b), style, line.Name)
			v.legend(style, words)
		}
	}
	var seen []plane.Vec
	for _, b := range v.bodies {
		for _, r := range rounds(&b) {
			c := v.on(v.chosen.Part[b.part].Out(r.C))
			if near(seen, c) {
				continue
			}
			seen = append(seen, c)
			arm := min(12, r.R*v.k+2)
			l.Draw(append(drawing.Line(c.Sub(plane.Vec{X: arm}), c.Add(plane.Vec{X: arm})),
				drawing.Line(c.Sub(plane.Vec{Y: arm}), c.Add(plane.Vec{Y: arm}))...), style, "")
			v.legend(style, words)
		}
	}
}

func near(seen []plane.Vec, c plane.Vec) bool {
	return slices.ContainsFunc(seen, func(s plane.Vec) bool { return s.Sub(c).Len() < 0.2 })
}

// round is the axis of a round: an arc of half a turn or more, with the largest radius about its centre.
type round struct {
	C plane.Vec
	R float64
}

func rounds(b *body) (out []round) {
	for _, loop := range b.region.Loops {
		for _, e := range loop {
			if e.R == 0 || math.Abs(e.Turn) < math.Pi*0.95 {
				continue
			}
			k := slices.IndexFunc(out, func(r round) bool { return r.C.Sub(e.C).Len() < 1e-6 })
			if k < 0 {
				out = append(out, round{C: e.C})
				k = len(out) - 1
			}
			out[k].R = max(out[k].R, e.R)
		}
	}
	return out
}

// across returns where a line without end crosses a box.
func across(p plane.Placement, box drawing.Box) (a, b plane.Vec, ok bool) {
	lo, hi := math.Inf(-1), math.Inf(1)
	cut := func(at, dir, least, most float64) {
		if math.Abs(dir) < 1e-12 {
			if at < least || at > most {
				lo, hi = 1, 0
			}
			return
		}
		s, t := (least-at)/dir, (most-at)/dir
		lo, hi = max(lo, min(s, t)), min(hi, max(s, t))
	}
	cut(p.Origin.X, p.Dir.X, box.Min.X, box.Max.X)
	cut(p.Origin.Y, p.Dir.Y, box.Min.Y, box.Max.Y)
	if !(lo < hi) || math.IsInf(lo, 0) || math.IsInf(hi, 0) {
		return a, b, false
	}
	return p.Origin.Add(p.Dir.Scale(lo)), p.Origin.Add(p.Dir.Scale(hi)), true
}
