package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"barover/render/report/figures"
	"barover/sketch/quantity"
	"barover/solver"
	"barover/solver/machine"
)

// This file reports the effect of the dimensions on a check: which change of one would mend it, and with --levers how much each
// moves it.

// mostRemedies is how many changes are offered for reading.
const mostRemedies = 3

// remedies are the changes of one dimension with which a check was proved to hold, those first that mend more than they spoil,
// or where to look for one, with the command to do it.
func (r *Report) remedies(a *row) (words, command string) {
	if a.OK {
		return "", ""
	}
	offered := slices.DeleteFunc(slices.Clone(a.Levers), func(l lever) bool { return l.ToHold.Missing() })
	if len(offered) == 0 {
		return r.strongest(a)
	}
	slices.SortStableFunc(offered, func(a, b lever) int { return b.balance() - a.balance() })
	list := figures.Each(offered[:min(len(offered), mostRemedies)], func(l *lever) string { return r.remedy(a, l) })
	return "would hold with " + strings.Join(list, "; or with "), ""
}

// balance is how many checks more a change mends than it spoils.
func (l *lever) balance() int { return len(l.mends) - len(l.breaks) - len(l.worsens) }

// remedy is one change: the value and which way from it there is more room, the next size available, and what it does to the
// other checks.
func (r *Report) remedy(a *row, l *lever) string {
	value, beyond := l.ToHold, false
	if !l.next.Missing() && !l.stocked { // a size that falls short of the value by a hair holds as well
		beyond = r.units.Inches && (l.next > l.ToHold) == (l.ToHold > l.now) && l.next != l.ToHold
		if !beyond {
			value = l.next
		}
	}
	w := fmt.Sprintf("%s %s %s (now %s", l.Dim, l.bound(), value.Size(r.units, l.kind), l.now.Size(r.units, l.kind))
	if l.Made {
		w += ", made already"
	}
	switch w += ")"; {
	case beyond:
		w += ", next 64th " + l.next.Size(r.units, l.kind)
	case l.stocked && l.next.Missing():
		w += ", but no stock size serves"
	case l.stocked:
		w += fmt.Sprintf(", next stock size %s: holds, %s to spare", l.next.Size(r.units, l.kind), l.spare.Read(r.units, a.kind))
	}
	if k, of := r.mended(a, l); k > 1 {
		w += ", which mends " + manyOf(k, of)
	}
	return w + r.harm(l)
}

// bound says on which side of a value there is more room.
func (l *lever) bound() string {
	if l.ToHold < l.now {
		return "at most"
	}
	return "at least"
}

// harm is what a change breaks or makes worse.
func (r *Report) harm(l *lever) string {
	var words []string
	if broken := Once(r.namesOf(l.breaks)); len(broken) > 0 {
		text := broken[0].Named + " falls short"
		if n := len(broken) - 1; n > 0 {
			text += fmt.Sprintf(", and %d more", n)
		}
		words = append(words, text)
	}
	told := map[solver.Subject]bool{}
	for _, x := range l.worsens {
		a := &r.Checks[x.check]
		if told[a.Subject] {
			continue
		}
		if told[a.Subject] = true; len(told) <= MostFaults {
			words = append(words, fmt.Sprintf("%s goes from %s to %s", a.Named, a.worst(r.units).Read(r.units, a.kind), x.is.Read(r.units, a.kind)))
		}
	}
	if n := len(told) - MostFaults; n > 0 {
		words = append(words, Counted("%d more {falls|fall} short by more", n))
	}
	if len(words) == 0 {
		return ""
	}
	return ", but then " + strings.Join(words, ", and ")
}

// mended is how many of what falls short a change mends, a pair once, and of how many.
func (r *Report) mended(a *row, l *lever) (mended, of int) {
	open := map[solver.Subject]bool{}
	short, _ := r.rows()
	for i := range r.Checks {
		if c := &r.Checks[i]; !c.OK && c.Subject != a.Subject && !slices.Contains(l.mends, i) {
			open[c.Subject] = true
		}
	}
	return len(short) - len(open), len(short)
}

func manyOf(k, of int) string {
	switch {
	case k == of && of == 2:
		return "both"
	case k == of:
		return fmt.Sprintf("all %d", of)
	}
	return fmt.Sprintf("%d of %d", k, of)
}

// mostSummed is how many dimensions are summed up.
const mostSummed = 3

// summary says of each dimension that mends several of what falls short how many it mends, the most first.
func (r *Report) summary(short []*row) string {
	type mending struct {
		lever
		k, of int
	}
	best := map[string]*mending{}
	var list []*mending
	for _, a := range short {
		for _, l := range a.Levers {
			if l.ToHold.Missing() {
				continue
			}
			k, of := r.mended(a, &l)
			known := best[l.Dim]
			if k < 2 || known != nil && known.k >= k {
				continue
			}
			if known == nil {
				known = new(mending)
				best[l.Dim] = known
				list = append(list, known)
			}
			*known = mending{lever: l, k: k, of: of}
		}
	}
	slices.SortStableFunc(list, func(a, b *mending) int { return cmp.Or(b.k-a.k, b.balance()-a.balance()) })
	var words []string
	for _, m := range list[:min(len(list), mostSummed)] {
		value, more := m.ToHold, "more"
		if !m.next.Missing() {
			value = m.next
		}
		if m.ToHold < m.now {
			more = "less"
		}
		words = append(words, fmt.Sprintf("%s %s or %s mends %s%s", m.Dim, value.Size(r.units, m.kind), more, manyOf(m.k, m.of), r.harm(&m.lever)))
	}
	return strings.Join(words, "; ")
}

// toTry leads to the command with which to look further.
const toTry = ": try"

// mostStrongest is how many dimensions are named where none was found that mends a check.
const mostStrongest = 3

// namesOf are the names of checks of the report.
func (r *Report) namesOf(checks []int) []CheckName {
	return figures.Each(checks, func(i *int) CheckName { return r.Checks[*i].CheckName })
}

// leastEffect is what a dimension must move a figure by to count, for one more of its unit: less is felt nowhere.
const leastEffect = 1e-3

// strongest says of a check that falls short that no change of one dimension was found, and which to look at further, with the
// command as it is typed.
func (r *Report) strongest(a *row) (words, command string) {
	if len(a.Levers) == 0 && !(a.lap > 0) || math.IsInf(a.judged.Margin, 0) {
		return "", ""
	}
	names, made := r.worthSeeking(a)
	switch {
	case len(names) == 0 && len(made) > 0:
		return "what would mend it is made already: " + Listing(made), ""
	case len(names) == 0 && a.lap > 0:
		return "no one dimension moves it enough in the side view; across, the two overlap by " + r.length(a.lap) + ", sideplay counted", ""
	case len(names) == 0:
		return "no one dimension moves it enough to mend it", ""
	}
	words = fmt.Sprintf("no change of one dimension by up to %.0f %% is proved to mend it", 100*machine.LeverReach)
	if a.Sure != "proved" {
		words = "which change would mend it cannot be proved"
	}
	moves := "move it most"
	if len(names) == 1 {
		moves = "moves it most"
	}
	return fmt.Sprintf("%s; %s %s", words, Listing(names), moves) + toTry,
		"barover seek " + Typed(r.Sketch) + " " + names[0] + r.flags + r.alone(a)
}

// worthSeeking are the dimensions that move a check by as much as it is short, with no more than their own size: those that are not
// made yet, and those that are.
func (r *Report) worthSeeking(a *row) (names, made []string) {
	short := figures.Of(r.units, a.judged.Margin, a.kind)
	list := slices.DeleteFunc(r.byEffect(a), func(l lever) bool { return !(math.Abs(float64(short/l.PerUnit)) <= math.Abs(float64(l.now))) })
	free := slices.DeleteFunc(slices.Clone(list), func(l lever) bool { return l.Made })
	if len(free) == 0 {
		return nil, dimsOfLevers(list)
	}
	return dimsOfLevers(free), nil
}

// alone is the flag with which seek looks at a check and no other: for all at once it finds nothing where another falls
// short that the dimension has nothing to do with. A line that asks about several pairs, or that is of a file that is used,
// is written as one of its own.
func (r *Report) alone(a *row) string {
	n := 0
	for i := range r.Checks {
		if o := &r.Checks[i]; o.File == a.File && o.Line == a.Line {
			n++
		}
	}
	if a.File == "" && n == 1 {
		return " --for " + Typed(fmt.Sprintf("line %d", a.Line))
	}
	return " --for " + Typed(strings.Join(strings.Fields(a.Kind+" "+a.A+" "+a.B), " "))
}

// dimsOfLevers are the names of the first few.
func dimsOfLevers(list []lever) []string {
	return figures.Each(list[:min(len(list), mostStrongest)], func(l *lever) string { return l.Dim })
}

// byEffect are the levers of a check that are felt, those first that move it most for one of their own unit.
func (r *Report) byEffect(a *row) []lever {
	list := slices.DeleteFunc(slices.Clone(a.Levers), func(l lever) bool { return !(math.Abs(float64(l.PerUnit)) >= leastEffect) })
	slices.SortStableFunc(list, func(a, b lever) int {
		return cmp.Compare(math.Abs(float64(b.PerUnit)), math.Abs(float64(a.PerUnit)))
	})
	return list
}

// leastLever is the share of the strongest lever's effect below which others are counted, not named.
const leastLever = 0.01

// levers tell by how much each dimension moves the figure of a check, for one more of its unit.
func (r *Report) levers(a *row) string {
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
		case !l.ToHold.Missing() && !a.OK:
			w += " (holds at " + l.ToHold.Size(r.units, l.kind) + ")"
		}
		words = append(words, w)
	}
	return "moved by " + strings.Join(words, ", ")
}

// slope writes a figure with its sign and three digits.
func slope(f figures.Figure) string {
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
func perUnit(u quantity.Units, of, by quantity.Kind) string {
	top, bottom := figures.Unit(u, of), figures.Unit(u, by)
	switch {
	case top == bottom:
		return ""
	case bottom == "":
		return " " + top
	}
	return " " + top + "/" + bottom
}
