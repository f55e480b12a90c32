package drawing

import "barover/solver/plane"

// lineStep is how finely a line is sampled for parts beneath another, mm.
const lineStep = 0.5

// lineSlight is how far a corner of what is left may lie off the line through its neighbours, mm.
const lineSlight = 0.015

// mostLine is the longest straight line that is sampled, mm: the largest sheet is a third of that.
const mostLine = 4000.0

// Apart is what of closed lines lies farther than tol, mm, from other closed lines: beneath those it would only blur
// them. Whole says that all of it does.
func Apart(runs, others [][]plane.Vec, tol float64) (p Path, whole bool) {
	whole = true
	for _, run := range runs {
		var piece []plane.Vec
		end := func() {
			if len(piece) > 1 {
				p = append(p, Polyline(Simplify(piece, false, lineSlight), false)...)
			}
			piece = nil
		}
		for i, b := range run {
			a := run[(i+len(run)-1)%len(run)]
			if !(b.Sub(a).Len() < mostLine) { // nothing that could be seen
				end()
				continue
			}
			n := int(b.Sub(a).Len()/lineStep) + 1
			for k := range n {
				from, to := a.Add(b.Sub(a).Scale(float64(k)/float64(n))), a.Add(b.Sub(a).Scale(float64(k+1)/float64(n)))
				if near := nearLines(from.Add(to).Scale(0.5), others, tol); near {
					whole = false
					end()
					continue
				}
				if piece == nil {
					piece = append(piece, from)
				}
				piece = append(piece, to)
			}
		}
		end()
	}
	return p, whole
}

// nearLines reports whether a place lies within tol of any of closed lines.
func nearLines(p plane.Vec, runs [][]plane.Vec, tol float64) bool {
	for _, run := range runs {
		for i, b := range run {
			a := run[(i+len(run)-1)%len(run)]
			if offSegment(p, a, b) <= tol {
				return true
			}
		}
	}
	return false
}
