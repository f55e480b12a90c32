package drawing

import "barover/solver/plane"

// Simplify returns the run without the corners that lie within tol, mm, of the lines drawn without them (Douglas and
// Peucker 1973). The first corner is kept, and of an open run the last.
func Simplify(run []plane.Vec, closed bool, tol float64) []plane.Vec {
	if len(run) < 4 {
		return run
	}
	if closed {
		run = append(run[:len(run):len(run)], run[0])
	}
	keep := make([]bool, len(run))
	keep[0], keep[len(run)-1] = true, true
	todo := [][2]int{{0, len(run) - 1}}
	for len(todo) > 0 {
		a, b := todo[len(todo)-1][0], todo[len(todo)-1][1]
		todo = todo[:len(todo)-1]
		far, most := -1, tol
		for i := a + 1; i < b; i++ {
			if d := offSegment(run[i], run[a], run[b]); d > most {
				far, most = i, d
			}
		}
		if far > 0 {
			keep[far] = true
			todo = append(todo, [2]int{a, far}, [2]int{far, b})
		}
	}
	var out []plane.Vec
	for i, v := range run {
		if keep[i] && !(closed && i == len(run)-1) {
			out = append(out, v)
		}
	}
	return out
}

// offSegment is the distance of v from the straight piece from a to b.
func offSegment(v, a, b plane.Vec) float64 {
	d := b.Sub(a)
	t := 0.0
	if q := d.Dot(d); q > 0 {
		t = max(0, min(1, v.Sub(a).Dot(d)/q))
	}
	return v.Sub(a.Add(d.Scale(t))).Len()
}
