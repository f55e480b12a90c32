package drawing

import "barover/solver/plane"

// BoxOf is the box round a run.
func BoxOf(run []plane.Vec) Box {
	b := NoBox()
	for _, p := range run {
		b = b.With(p)
	}
	return b
}

// Closed draws closed runs.
func Closed(runs [][]plane.Vec) (p Path) {
	for _, run := range runs {
		p = append(p, Polyline(run, true)...)
	}
	return p
}

// Panels cuts a box into columns and rows of equal panels with a gap between, mm, from the upper left on. Of several rows none is higher
// than wide.
func (b Box) Panels(columns, rows int, gap float64) (out []Box) {
	w, h := b.Size()
	w, h = (w-gap*float64(columns-1))/float64(columns), (h-gap*float64(rows-1))/float64(rows)
	if rows > 1 {
		h = min(h, w)
	}
	for r := range rows {
		for c := range columns {
			a := plane.Vec{X: b.Min.X + float64(c)*(w+gap), Y: b.Max.Y - float64(r)*(h+gap) - h}
			out = append(out, Box{Min: a, Max: a.Add(plane.Vec{X: w, Y: h})})
		}
	}
	return out
}
