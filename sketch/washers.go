package sketch

import (
	"slices"

	"barover/sketch/syntax"
)

// washers gathers the thicknesses at hand.
func (l *loader) washers() {
	for _, st := range l.sketch.statements {
		s, ok := st.s.(*syntax.Washers)
		if !ok {
			continue
		}
		for _, v := range s.Thick {
			if mm := l.figure(v); mm > 0 {
				l.sketch.Washers = append(l.sketch.Washers, mm)
			}
		}
	}
	slices.Sort(l.sketch.Washers)
	l.sketch.Washers = slices.Compact(l.sketch.Washers)
}
