package solver

import "math"

// OK reports whether every check holds and the parts assemble over the whole turn at every travel looked at.
func (r *Result) OK() bool {
	for i := range r.Findings {
		if !r.Findings[i].OK {
			return false
		}
	}
	return len(r.Broken) == 0
}

// Margin is by how much a finding holds, in the unit of its check; below zero it is by how much it falls short. A clear
// or gap line without a limit must not be below zero. NaN where nothing was measured.
func (p *Problem) Margin(f *Finding) float64 {
	if f.Apart || math.IsNaN(f.Least) {
		return math.NaN()
	}
	margin := math.Inf(1)
	less := func(m float64) {
		if m < margin {
			margin = m
		}
	}
	switch p.Checks[f.Check].Kind {
	case Clear, Gap:
		if math.IsNaN(f.AtLeast) {
			less(f.Least)
		}
		less(f.AtMost - f.Least)
	case Keep:
		less(f.AtMost - f.Greatest)
	case Loose:
		less(f.AtMost - math.Max(math.Abs(f.Least), math.Abs(f.Greatest)))
		return margin
	}
	less(f.Least - f.AtLeast)
	return margin
}
