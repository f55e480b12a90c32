package sheet

import (
	"slices"

	"barover/render/drawing"
	"barover/solver/plane"
	"barover/solver/schedule"
)

// stickLine is a length of a sketch that has no outline yet, and pinRing one of its points.
var (
	stickLine = &drawing.Style{Name: "stick", Width: 0.5, Line: drawing.Continuous, Stroke: black}
	pinRing   = &drawing.Style{Name: "pin", Width: 0.25, Line: drawing.Continuous, Stroke: black, Fill: white}
)

// pinRadius is that of a point's ring, mm of paper.
const pinRadius = 0.9

// stick is two points that a length or a part holds apart, by their indices.
type stick = [2]int

// findSticks lists what shows the parts without an outline: lengths, and parts from point to point. A sketch begins with
// those, and its motion should be visible before the first outline is written, and after it.
func (s *scene) findSticks() (list []stick) {
	known := map[stick]bool{}
	points := s.Problem.Linkage.Points
	covered := s.outlinedPoints()
	add := func(p, q int, taken bool) {
		k := stick{min(p, q), max(p, q)}
		if k[0] < 0 || k[1] >= len(points) || k[0] == k[1] || known[k] || points[p].Kind == schedule.Driven && points[q].Kind == schedule.Driven {
			return
		}
		known[k] = true
		shown := slices.ContainsFunc(covered, func(on map[int]bool) bool { return on[p] && on[q] })
		if taken && !shown {
			list = append(list, stick{p, q})
		}
	}
	takes := func(part int) bool { return s.Pick.Takes(s.Problem.Linkage.Parts[part].Name) }
	for i, p := range s.Problem.Linkage.Parts {
		if p.Kind == schedule.FromTo {
			add(p.P, p.Q, takes(i))
		}
	}
	for _, q := range s.Problem.Linkage.Equations {
		if q.Kind == schedule.Length {
			add(q.P, q.Q, s.Pick.Takes(s.pointName(q.P)) || s.Pick.Takes(s.pointName(q.Q)))
		}
	}
	for i, p := range points {
		if p.Kind == schedule.OnPart && p.Part >= 0 && p.Part < len(s.Problem.Linkage.Parts) && s.Problem.Linkage.Parts[p.Part].Kind != schedule.Frame {
			add(s.Problem.Linkage.Parts[p.Part].P, i, takes(p.Part))
		}
	}
	return list
}

// outlinedPoints lists, for each part that has an outline, the points that it holds.
func (s *scene) outlinedPoints() (list []map[int]bool) {
	outlined := map[int]map[int]bool{}
	for i, p := range s.Problem.Profiles {
		if i >= len(s.Regions) || s.Regions[i] == nil || outlined[p.Part] != nil || p.Part < 0 || p.Part >= len(s.Problem.Linkage.Parts) {
			continue
		}
		part := &s.Problem.Linkage.Parts[p.Part]
		on := map[int]bool{}
		if part.Kind != schedule.Frame {
			on[part.P] = true
		}
		if part.Kind == schedule.FromTo {
			on[part.Q] = true
		}
		for k, q := range s.Problem.Linkage.Points {
			if q.Kind == schedule.OnPart && q.Part == p.Part {
				on[k] = true
			}
		}
		outlined[p.Part] = on
		list = append(list, on)
	}
	return list
}

// takeSticks adds the ways of the ends of the sticks.
func (s *scene) takeSticks() {
	for _, k := range s.findSticks() {
		for _, p := range append(s.turns, s.chosen) {
			if p != nil {
				s.take([]plane.Vec{p.Point[k[0]], p.Point[k[1]]})
			}
		}
	}
}

// sticks draws the sticks: at every position thin, at the chosen one thick with their points.
func (v *view) sticks() {
	list := v.findSticks()
	if len(list) == 0 {
		return
	}
	thin := v.d.Layer("ghosts", "Other positions")
	for _, p := range v.ghosts {
		for _, k := range list {
			thin.Draw(drawing.Line(v.on(p.Point[k[0]]), v.on(p.Point[k[1]])), ghostLine, v.turned(p.Turn))
		}
	}
	if len(v.ghosts) > 0 {
		v.legend(ghostLine, "positions every "+degrees(v.stride(v.o.Ghosts)))
	}
	v.chosenSticks(list)
}

// chosenSticks draws sticks thick at the chosen position, with their points.
func (v *view) chosenSticks(list []stick) {
	if v.chosen == nil || len(list) == 0 {
		return
	}
	l := v.d.Layer("chosen", "Chosen position")
	ends := map[int]bool{}
	for _, k := range list {
		l.Draw(drawing.Line(v.on(v.chosen.Point[k[0]]), v.on(v.chosen.Point[k[1]])), stickLine, v.pointName(k[0])+" to "+v.pointName(k[1]))
		ends[k[0]], ends[k[1]] = true, true
	}
	for i := range v.Problem.Linkage.Points {
		if ends[i] {
			l.Draw(drawing.Circle(v.on(v.chosen.Point[i]), pinRadius), pinRing, v.pointName(i))
		}
	}
	v.legend(stickLine, "lengths at "+v.chosenAt())
}

// mostNamed is the greatest number of points in a sketch without outlines whose names are written beside them.
const mostNamed = 30

// pinNames writes the names of the sticks' points beside them.
func (v *view) pinNames() {
	if v.chosen == nil {
		return
	}
	list := v.findSticks()
	for _, k := range list {
		v.labels.Line([][]plane.Vec{{v.on(v.chosen.Point[k[0]]), v.on(v.chosen.Point[k[1]])}})
	}
	l := v.d.Layer("labels", "Labels")
	seen := map[int]bool{}
	for _, k := range list {
		for _, i := range k {
			if name := v.pointName(i); name != "" && !seen[i] && len(seen) < mostNamed {
				seen[i] = true
				v.label(l, v.on(v.chosen.Point[i]), pinRadius, []string{name}, label25, thinLine)
			}
		}
	}
}
