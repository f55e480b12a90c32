package engine

import (
	"barover/solver"
	"barover/solver/expr"
	"barover/solver/schedule"
)

// AskedAbout lists the parts and the points that checks, measures and marks are about: parts with an outline, and the
// points of sums.
func AskedAbout(p *solver.Problem) (parts, points []int) {
	part, point := make([]bool, len(p.Linkage.Parts)), make([]bool, len(p.Linkage.Points))
	for i := range p.Profiles {
		part[p.Profiles[i].Part] = true
	}
	for _, id := range Everything(p).Sums(p) {
		if id != expr.None {
			for _, k := range p.Graph.Points(id) {
				point[k] = true
			}
		}
	}
	return marked(part), marked(point)
}

// watched lists the points that decide how finely a turn is sampled: those that are asked about, those of parts with an
// outline, and those that are solved for.
func (m *Engine) watched() []int {
	m.watching.Do(func() { m.watch = watched(m.Problem) })
	return m.watch
}

func watched(p *solver.Problem) []int {
	parts, points := AskedAbout(p)
	watch := make([]bool, len(p.Linkage.Points))
	for _, i := range points {
		watch[i] = true
	}
	outlined := make([]bool, len(p.Linkage.Parts))
	for _, i := range parts {
		part := &p.Linkage.Parts[i]
		if outlined[i] = part.Kind != schedule.Frame; outlined[i] {
			watch[part.P] = true
		}
		if part.Kind == schedule.FromTo {
			watch[part.Q] = true
		}
	}
	for i := range p.Linkage.Points {
		q := &p.Linkage.Points[i]
		watch[i] = watch[i] || q.Kind == schedule.Found || q.Kind == schedule.OnPart && outlined[q.Part]
	}
	return marked(watch)
}

func marked(list []bool) (out []int) {
	for i, m := range list {
		if m {
			out = append(out, i)
		}
	}
	return out
}
