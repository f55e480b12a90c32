package engine

import (
	"barover/solver"
	"barover/solver/expr"
)

// Asked names the checks, measures and marks that a survey looks at, by number.
type Asked struct {
	Checks, Measures, Marks []int
	Bars                    []Bar // of each check: its figures matter only beyond its bar; nil where exact figures are needed
}

// Bar returns the bar of the check at place k, or nil.
func (a *Asked) Bar(k int) *Bar {
	if a.Bars == nil {
		return nil
	}
	return &a.Bars[k]
}

// Everything asks for all checks, measures and marks of a Problem.
func Everything(p *solver.Problem) Asked {
	return Asked{Checks: solver.Numbers(len(p.Checks)), Measures: solver.Numbers(len(p.Measures)), Marks: solver.Numbers(len(p.Marks))}
}

// Sums lists every sum that is needed to answer a.
func (a Asked) Sums(p *solver.Problem) (out []expr.ID) {
	for _, i := range a.Checks {
		c := &p.Checks[i]
		switch c.Kind {
		case solver.Keep:
			out = append(out, c.Sum, c.AtLeast, c.AtMost)
		case solver.Loose:
			out = append(out, p.Linkage.Equations[c.Equation].V)
		}
	}
	for _, i := range a.Measures {
		out = append(out, p.Measures[i].Sum)
	}
	for _, i := range a.Marks {
		out = append(out, p.Marks[i].Sum, p.Marks[i].Past)
		for _, k := range p.Marks[i].Shows {
			out = append(out, p.Measures[k].Sum)
		}
	}
	return out
}

// Bar holds the least and the greatest of the figures that a check was already found to have elsewhere. They are -Inf and
// +Inf on a side that does not count.
type Bar struct{ Least, Greatest float64 }

// Passed reports whether a figure that may reach v goes beyond a bar: below its least (sign 1), or above its greatest
// (−1).
func (b *Bar) Passed(v, sign float64) bool {
	switch {
	case b == nil:
		return true
	case sign > 0:
		return !(v >= b.Least)
	}
	return !(v <= b.Greatest)
}
