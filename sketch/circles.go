package sketch

import "barover/solver/schedule"

// partCircles reports parts that are placed by points fixed on the parts themselves. Nothing would say where any of them
// is.
func (l *loader) partCircles() {
	m := l.sketch.Problem.Linkage
	on := func(list []int, points ...int) []int {
		for _, p := range points {
			if p >= 0 && m.Points[p].Kind == schedule.OnPart && m.Points[p].Part >= 0 {
				list = append(list, m.Points[p].Part)
			}
		}
		return list
	}
	_, circles := ordered(len(m.Parts), func(i int) []int {
		p := m.Parts[i]
		list := on(nil, p.P, p.Q)
		if p.Kind == schedule.AlongLine && p.Line >= 0 {
			list = on(list, m.Lines[p.Line].P, m.Lines[p.Line].Q)
		}
		return list
	})
	for _, c := range circles {
		names := make([]string, len(c))
		for i, part := range c {
			names[i] = m.Parts[part].Name
		}
		pt := l.model.parts[c[0]]
		at := l.at(pt.stmt, pt.s.Name.Span)
		if len(c) == 1 {
			l.tell(at, names[0]+" is placed by a point that is fixed on "+names[0]+" itself", "place the points from and to (at) of a part by other statements: length P Q = V, say")
			continue
		}
		l.tell(at, "these parts are placed by points of one another in a circle: "+chain(names), "place one of them by points that are not fixed on these parts")
	}
}
