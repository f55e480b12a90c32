package drawing

import "barover/solver/plane"

// Clip returns what of an area, given by closed runs, lies in the box: each run cut off at the four sides one after
// another (Sutherland and Hodgman 1974). What is cut off leaves edges along the box's sides, which a fill does not show.
func (b Box) Clip(runs [][]plane.Vec) (out [][]plane.Vec) {
	for _, run := range runs {
		for side := range 4 {
			run = b.clipSide(run, side)
		}
		if len(run) > 2 {
			out = append(out, run)
		}
	}
	return out
}

// inside is how far v lies within one side of the box.
func (b Box) inside(v plane.Vec, side int) float64 {
	switch side {
	case 0:
		return v.X - b.Min.X
	case 1:
		return b.Max.X - v.X
	case 2:
		return v.Y - b.Min.Y
	}
	return b.Max.Y - v.Y
}

func (b Box) clipSide(run []plane.Vec, side int) (out []plane.Vec) {
	for i, q := range run {
		p := run[(i+len(run)-1)%len(run)]
		from, to := b.inside(p, side), b.inside(q, side)
		if (from < 0) != (to < 0) {
			out = append(out, p.Add(q.Sub(p).Scale(from/(from-to))))
		}
		if to >= 0 {
			out = append(out, q)
		}
	}
	return out
}

// Cut returns what of lines lies in the box.
func (b Box) Cut(runs [][]plane.Vec, closed []bool) (p Path) {
	for i, run := range runs {
		last := plane.Vec{}
		open := false
		for k := range run {
			from, to := k-1, k
			if k == 0 {
				if !closed[i] {
					continue
				}
				from = len(run) - 1
			}
			a, c, ok := b.piece(run[from], run[to])
			if !ok {
				open = false
				continue
			}
			if !open || a != last {
				p.MoveTo(a)
			}
			p.LineTo(c)
			last, open = c, true
		}
	}
	return p
}

// piece returns what of the straight line from a to b lies in the box.
func (b Box) piece(from, to plane.Vec) (p, q plane.Vec, ok bool) {
	lo, hi := 0.0, 1.0
	d := to.Sub(from)
	for side := range 4 {
		s, t := b.inside(from, side), b.inside(to, side)
		switch {
		case s < 0 && t < 0:
			return p, q, false
		case s < 0:
			lo = max(lo, s/(s-t))
		case t < 0:
			hi = min(hi, s/(s-t))
		}
	}
	if !(lo < hi) {
		return p, q, false
	}
	p, q = from, to
	if lo > 0 {
		p = from.Add(d.Scale(lo))
	}
	if hi < 1 {
		q = from.Add(d.Scale(hi))
	}
	return p, q, true
}

// Passed reports whether the straight line from p to q has a piece in the box (Liang and Barsky 1984).
func (b Box) Passed(p, q plane.Vec) bool {
	if max(p.X, q.X) < b.Min.X || min(p.X, q.X) > b.Max.X || max(p.Y, q.Y) < b.Min.Y || min(p.Y, q.Y) > b.Max.Y {
		return false // as nearly all are
	}
	from, to := 0.0, 1.0
	clip := func(start, along, low, high float64) {
		if along == 0 { // and it lies between them, or it would have been told above
			return
		}
		s, t := (low-start)/along, (high-start)/along
		from, to = max(from, min(s, t)), min(to, max(s, t))
	}
	clip(p.X, q.X-p.X, b.Min.X, b.Max.X)
	clip(p.Y, q.Y-p.Y, b.Min.Y, b.Max.Y)
	return from <= to
}
