package drawing

import (
	"math"
	"slices"

	"barover/solver/plane"
)

// mostHatch bounds the lines of one hatch, so that a far too large area does not fill the drawing.
const mostHatch = 2000

// Hatch returns straight lines at a heading, rad, and a spacing, mm, over what lies inside every one of the areas: one
// area is hatched whole, two only where they overlap. An area is a set of closed runs; a place is inside if a ray from it
// crosses them an odd number of times. At least one line is drawn however small the overlap is.
func Hatch(heading, spacing float64, areas ...[][]plane.Vec) Path {
	dir := plane.Polar(-heading)
	box := Box{plane.Vec{X: math.Inf(-1), Y: math.Inf(-1)}, plane.Vec{X: math.Inf(1), Y: math.Inf(1)}}
	turned := make([][][]plane.Vec, len(areas))
	for i, a := range areas {
		b := NoBox()
		for _, run := range a {
			t := make([]plane.Vec, len(run))
			for j, v := range run {
				t[j] = v.Times(dir)
				b = b.With(t[j])
			}
			turned[i] = append(turned[i], t)
		}
		box = box.Common(b)
	}
	if len(areas) == 0 || box.Empty() || !(spacing > 0) {
		return nil
	}
	_, h := box.Size()
	n := int(min(mostHatch, math.Ceil(h/spacing)))
	var p Path
	back := plane.Polar(heading)
	for i := range n {
		y := box.Min.Y + h*(float64(i)+0.5)/float64(n)
		for _, s := range overlap(turned, y) {
			p = append(p, Line(plane.Vec{X: s[0], Y: y}.Times(back), plane.Vec{X: s[1], Y: y}.Times(back))...)
		}
	}
	return p
}

// overlap returns the stretches of the level y that lie inside all areas.
func overlap(areas [][][]plane.Vec, y float64) [][2]float64 {
	var common [][2]float64
	for i, a := range areas {
		in := Stretches(a, y)
		if i == 0 {
			common = in
			continue
		}
		var both [][2]float64
		for _, s := range common {
			for _, t := range in {
				if lo, hi := max(s[0], t[0]), min(s[1], t[1]); lo < hi {
					both = append(both, [2]float64{lo, hi})
				}
			}
		}
		common = both
	}
	return common
}

// Stretches returns where the level y lies inside closed runs.
func Stretches(runs [][]plane.Vec, y float64) [][2]float64 {
	var x []float64
	for _, run := range runs {
		for i, b := range run {
			a := run[(i+len(run)-1)%len(run)]
			if (a.Y <= y) != (b.Y <= y) {
				x = append(x, a.X+(y-a.Y)/(b.Y-a.Y)*(b.X-a.X))
			}
		}
	}
	slices.Sort(x)
	var s [][2]float64
	for i := 0; i+1 < len(x); i += 2 {
		s = append(s, [2]float64{x[i], x[i+1]})
	}
	return s
}

// Inside reports whether v lies inside closed runs.
func Inside(runs [][]plane.Vec, v plane.Vec) bool {
	in := false
	for _, run := range runs {
		for i, b := range run {
			a := run[(i+len(run)-1)%len(run)]
			if (a.Y <= v.Y) != (b.Y <= v.Y) && v.X < a.X+(v.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
				in = !in
			}
		}
	}
	return in
}

// Within returns the pieces of the runs of a that lie inside the runs of b: one half of the edge of their overlap.
func Within(a, b [][]plane.Vec) Path {
	var p Path
	for _, run := range a {
		for i, q := range run {
			from := run[(i+len(run)-1)%len(run)]
			cuts := crossings(from, q, b)
			for k := 0; k+1 < len(cuts); k++ {
				d := q.Sub(from)
				if Inside(b, from.Add(d.Scale((cuts[k]+cuts[k+1])/2))) {
					p = append(p, Line(from.Add(d.Scale(cuts[k])), from.Add(d.Scale(cuts[k+1])))...)
				}
			}
		}
	}
	return p
}

// crossings returns the shares of the way from a to b at which it crosses the runs, with 0 and 1, in order.
func crossings(a, b plane.Vec, runs [][]plane.Vec) []float64 {
	cuts := []float64{0, 1}
	d := b.Sub(a)
	for _, run := range runs {
		for i, q := range run {
			p := run[(i+len(run)-1)%len(run)]
			e := q.Sub(p)
			det := d.Cross(e)
			if det == 0 {
				continue
			}
			t, u := p.Sub(a).Cross(e)/det, p.Sub(a).Cross(d)/det
			if t > 0 && t < 1 && u >= 0 && u <= 1 {
				cuts = append(cuts, t)
			}
		}
	}
	slices.Sort(cuts)
	return cuts
}
