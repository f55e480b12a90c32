package sheet

import (
	"slices"
	"strings"

	"barover/solver/schedule"
)

// Pick says of which parts a drawing is made: only those that Only names, where it names any, and none that Without
// names. A name includes all names that begin with it and a dot: a part its profiles, a used file its parts.
type Pick struct{ Only, Without []string }

// All reports whether everything is drawn.
func (p Pick) All() bool { return len(p.Only)+len(p.Without) == 0 }

// Takes reports whether the thing with that name is drawn.
func (p Pick) Takes(name string) bool {
	named := func(n string) bool { return name == n || strings.HasPrefix(name, n+".") }
	return (len(p.Only) == 0 || slices.ContainsFunc(p.Only, named)) && !slices.ContainsFunc(p.Without, named)
}

// Leaves reports whether the path of a point is drawn, where one is asked for: the point must belong to a part that is
// drawn, or be named itself.
func (e *Engine) Leaves(i int) bool {
	p := &e.Problem.Linkage.Points[i]
	if e.Pick.All() || e.Pick.Takes(p.Name) {
		return true
	}
	return slices.ContainsFunc(e.Problem.Linkage.Parts, func(part schedule.Part) bool {
		return part.Kind != schedule.Frame && (part.P == i || part.Q == i && part.Kind == schedule.FromTo) && e.Pick.Takes(part.Name)
	})
}

// takes reports whether an answer is shown: if it is about two profiles, both must be drawn.
func (e *Engine) takes(a *answer) bool {
	return !a.OfPair() || e.Pick.All() || e.Pick.Takes(e.profile(a.Check.A)) && e.Pick.Takes(e.profile(a.Check.B))
}

// picked says what is not drawn, and how many checks that do not hold are left out for that; "" where everything is
// drawn.
func (s *scene) picked() string {
	if s.Pick.All() {
		return ""
	}
	words := "Drawn"
	if len(s.Pick.Only) > 0 {
		words += " of " + strings.Join(s.Pick.Only, ", ") + " alone"
	}
	if len(s.Pick.Without) > 0 {
		words += " without " + strings.Join(s.Pick.Without, ", ")
	}
	short := 0
	for _, a := range s.everyAnswer() {
		if !a.OK && !s.takes(&a) {
			short++
		}
	}
	if short > 0 {
		words += ": " + counted(short, " check of the rest does not hold and is", " checks of the rest do not hold and are") + " not shown"
	}
	return words + "."
}
