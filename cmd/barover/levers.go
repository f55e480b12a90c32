package main

import (
	"cmp"
	"fmt"
	"math"
	"path"
	"slices"
	"strconv"
	"strings"

	"barover/sketch"
	"barover/solver"
)

// What the dimensions do to a check is told here: which change of one would mend it, and with --levers how much each
// moves it.

// mostRemedies is how many changes are offered for reading.
const mostRemedies = 3

// remedies are the changes of one dimension with which a check was proved to hold, or where to look for one.
func (r *report) remedies(a *row) string {
	var words []string
	for _, l := range a.Levers {
		if a.OK || l.ToHold.missing() || len(words) == mostRemedies {
			continue
		}
		w := fmt.Sprintf("%s %s for %s", l.Dim, l.ToHold.size(r.units, l.kind), l.now.size(r.units, l.kind))
		if l.Made {
			w += " (made already)"
		}
		if len(l.breaks) > 0 {
			w += " (but then " + r.Checks[l.breaks[0]].Named + " falls short"
			if n := len(once(r.namesOf(l.breaks))) - 1; n > 0 {
				w += fmt.Sprintf(", and %d more", n)
			}
			w += ")"
		}
		words = append(words, w)
	}
	if len(words) == 0 {
		return r.strongest(a)
	}
	return "would hold with " + strings.Join(words, ", or ")
}

// mostStrongest is how many dimensions are named where none was found that mends a check.
const mostStrongest = 3

// namesOf are the names of checks of the report.
func (r *report) namesOf(checks []int) (names []checkName) {
	for _, i := range checks {
		names = append(names, r.Checks[i].checkName)
	}
	return names
}

// leastEffect is what a dimension must move a figure by to count, for one more of its unit: less is felt nowhere.
const leastEffect = 1e-3

// strongest says of a check that falls short that no change of one dimension was found, and which to look at further.
func (r *report) strongest(a *row) string {
	if a.OK || len(a.Levers) == 0 || math.IsInf(a.judged.Margin, 0) {
		return ""
	}
	list := r.byEffect(a)
	short := out(r.units, a.judged.Margin, a.kind)
	list = slices.DeleteFunc(list, func(l lever) bool { return !(math.Abs(float64(short/l.PerUnit)) <= math.Abs(float64(l.now))) })
	free := slices.DeleteFunc(slices.Clone(list), func(l lever) bool { return l.Made })
	if len(free) == 0 {
		if len(list) > 0 {
			return "what would mend it is made already: " + listing(dimsOfLevers(list))
		}
		return "no one dimension moves it enough to mend it"
	}
	names := dimsOfLevers(free)
	words := fmt.Sprintf("no change of one dimension by up to %.0f %% is proved to mend it", 100*solver.LeverReach)
	if a.Sure != "proved" {
		words = "which change would mend it cannot be proved"
	}
	moves := "move it most"
	if len(names) == 1 {
		moves = "moves it most"
	}
	return fmt.Sprintf("%s; %s %s: try barover seek %s %s%s", words, listing(names), moves, path.Base(r.Sketch), names[0], r.alone(a))
}

// alone is the flag with which seek looks at a check and no other: for all at once it finds nothing where another falls
// short that the dimension has nothing to do with. A line that asks about several pairs, or that is of a file that is used,
// is written as one of its own.
func (r *report) alone(a *row) string {
	n := 0
	for i := range r.Checks {
		if o := &r.Checks[i]; o.File == a.File && o.Line == a.Line {
			n++
		}
	}
	if a.File == "" && n == 1 {
		return fmt.Sprintf(" --for \"line %d\"", a.Line)
	}
	return " --for \"" + strings.Join(strings.Fields(a.Kind+" "+a.A+" "+a.B), " ") + "\""
}

// dimsOfLevers are the names of the first few.
func dimsOfLevers(list []lever) (names []string) {
	for _, l := range list[:min(len(list), mostStrongest)] {
		names = append(names, l.Dim)
	}
	return names
}

// listing is words with commas between them, and "and" before the last.
func listing(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}

// byEffect are the levers of a check that are felt, those first that move it most for one of their own unit.
func (r *report) byEffect(a *row) []lever {
	list := slices.DeleteFunc(slices.Clone(a.Levers), func(l lever) bool { return !(math.Abs(float64(l.PerUnit)) >= leastEffect) })
	slices.SortStableFunc(list, func(a, b lever) int {
		return cmp.Compare(math.Abs(float64(b.PerUnit)), math.Abs(float64(a.PerUnit)))
	})
	return list
}

// leastLever is the share of the strongest lever's effect below which others are counted, not named.
const leastLever = 0.01

// levers tell by how much each dimension moves the figure of a check, for one more of its unit.
func (r *report) levers(a *row) string {
	if !r.allLevers || a.apart() {
		return ""
	}
	list := r.byEffect(a)
	if len(list) == 0 {
		return "no dimension moves it by much"
	}
	var words []string
	for i, l := range list {
		if math.Abs(float64(l.PerUnit)) < leastLever*math.Abs(float64(list[0].PerUnit)) {
			words = append(words, fmt.Sprintf("%d more by less", len(list)-i))
			break
		}
		w := l.Dim + " " + slope(l.PerUnit) + perUnit(r.units, a.kind, l.kind)
		switch {
		case l.Made:
			w += " (made)"
		case !l.ToHold.missing() && !a.OK:
			w += " (holds at " + l.ToHold.size(r.units, l.kind) + ")"
		}
		words = append(words, w)
	}
	return "moved by " + strings.Join(words, ", ")
}

// slope writes a figure with its sign and three digits.
func slope(f figure) string {
	v := float64(f)
	d := 2 - int(math.Floor(math.Log10(math.Abs(v))))
	text := strconv.FormatFloat(math.Abs(v), 'f', min(max(d, 0), 6), 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	if v < 0 {
		return "-" + text
	}
	return "+" + text
}

// perUnit is the unit of a slope: nothing where both are of one kind.
func perUnit(u sketch.Units, of, by sketch.Kind) string {
	unit := func(k sketch.Kind) string {
		switch {
		case k.Is(sketch.Length):
			return u.Name()
		case k.Is(sketch.Angle):
			return "°"
		}
		return ""
	}
	top, bottom := unit(of), unit(by)
	switch {
	case top == bottom:
		return ""
	case bottom == "":
		return " " + top
	}
	return " " + top + "/" + bottom
}
