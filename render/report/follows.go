package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"barover/render/report/figures"
	"barover/render/terminal"
	"barover/sketch"
	"barover/solver"
	"barover/solver/change"
)

// The report of a change includes what follows from it: the dimensions whose sums it moves, and the parts that are written with
// them. That is which parts change.

// Users are the names of the profiles and parts that a dimension is written in, a part not where its profiles stand.
func (w Reporter) Users(u solver.Users) []string {
	p := w.Engine.Problem
	list := []string{}
	told := map[int]bool{}
	for _, i := range u.Profiles {
		list = append(list, p.Profiles[i].Name)
		told[p.Profiles[i].Part] = true
	}
	for _, i := range u.Parts {
		if !told[i] {
			list = append(list, p.Linkage.Parts[i].Name)
		}
	}
	slices.Sort(list) // whatever the order of the statements
	return list
}

// MostUsers is how many profiles and parts are named for reading that a dimension is written in.
const MostUsers = 8

// usedBy says in words where a dimension is used; nothing where that is in other dimensions alone.
func usedBy(names []string) string {
	return Led("used by ", strings.Join(FewOf(names, MostUsers, "and %d more"), ", "))
}

// byItself reports whether something other than its own dim line gives a dimension another value than is drawn.
func byItself(d *sketch.Dim) bool {
	return d.Source != sketch.FromDim && math.Abs(d.Value-d.Drawn) > 1e-12*math.Max(1, math.Abs(d.Value))
}

// follow puts into the ledger which dimensions follow from changed ones, and where those are used that are not as drawn.
func (r *LedgerReport) follow() {
	e := r.e
	w := NewReporter(e)
	drawn, record := map[int]float64{}, map[*sketch.Dim]*dimRecord{}
	for i := range r.Dims {
		record[r.Dims[i].dim] = &r.Dims[i]
	}
	users := e.Problem.Users()
	var changed []int
	for i := range e.Dims {
		d := &e.Dims[i]
		rec := record[d]
		drawn[i], rec.Now = d.Drawn, figures.Of(w.Units, d.Value, d.Kind)
		if byItself(d) {
			changed = append(changed, i)
		}
		if byItself(d) || rec.differing {
			rec.UsedBy = w.Users(users[i])
		}
	}
	for _, f := range change.Followers(EngineOf(e), drawn, changed) {
		rec := record[&e.Dims[f.Dim]]
		rec.follows, rec.UsedBy = true, w.Users(users[f.Dim])
		rec.From = figures.Each(f.From, func(i *int) string { return e.Dims[*i].Name })
	}
}

// followSection is the dimensions that have other values only because what they follow from was changed.
func (r *LedgerReport) followSection(dims []*dimRecord) string {
	if len(dims) == 0 {
		return ""
	}
	u := r.e.Units
	g := terminal.Grid{Right: []bool{false, true, true, true}, Least: []int{18}}
	g.Row(nil, "Follow others", "drawn", "now", "by")
	for _, d := range dims {
		g.Row(nil, d.Name, d.size(u, d.dim.Drawn), d.size(u, d.dim.Value), signed(d.size(u, d.dim.Value-d.dim.Drawn)))
		g.Note(r.followText(d), "   ")
	}
	return "\n" + g.Text()
}

// followSentence says how many there are.
func followSentence(n int) string {
	if n == 0 {
		return ""
	}
	return " " + InWords(n, "follows", "follow") + " from what was changed."
}

// changedFirst puts those first that something else than their dim lines gives another value.
func changedFirst(dims []*dimRecord) {
	rank := map[bool]int{true: 0, false: 1}
	slices.SortStableFunc(dims, func(a, b *dimRecord) int { return rank[byItself(a.dim)] - rank[byItself(b.dim)] })
}

// followText says of a follower what it follows and where it is used.
func (r *LedgerReport) followText(d *dimRecord) string {
	var from []string
	for _, name := range d.From {
		c, _, _ := r.e.Dim(name)
		from = append(from, fmt.Sprintf("%s, %s by %s", name, (&dimRecord{dim: c}).size(r.e.Units, c.Value), sourceWords[c.Source]))
	}
	return Joined("; ", d.Note, Led("follows from ", Listing(from)), usedBy(d.UsedBy))
}

// changedText are the words about a dimension that something else than its dim line gives another value: which, where no
// column has it, and where it is used.
func (r *LedgerReport) changedText(d *dimRecord) string {
	value := ""
	if s := d.dim.Source; byItself(d.dim) && (s == sketch.FromCase || s == sketch.FromSet) {
		value = d.size(r.e.Units, d.dim.Value) + " by " + sourceWords[s]
	}
	return Joined("; ", value, usedBy(d.UsedBy))
}

// sourceWords say which line gives a value that is not as drawn.
var sourceWords = map[sketch.Source]string{sketch.FromPlan: "its plan", sketch.FromMade: "what was made", sketch.FromCase: "the case",
	sketch.FromSet: "--set"}

// dimChanges returns the changed dimensions, followed by those that depend on them, by name.
func (w Reporter) dimChanges(f *change.Comparison) []dimChange {
	list, users := []dimChange{}, w.Engine.Problem.Users()
	changed := func(dim int, was, is float64) dimChange {
		d := &w.Engine.Dims[dim]
		return dimChange{Name: d.Name, Before: figures.Of(w.Units, was, d.Kind), After: figures.Of(w.Units, is, d.Kind), UsedBy: w.Users(users[dim]),
			kind: d.Kind, was: was, is: is}
	}
	for i, d := range f.Dims {
		c := changed(d.Number, d.Before, d.After)
		c.Cause, c.Alone, c.stands = true, f.Alone[i], w.Engine.Dims[d.Number].Source.String()
		list = append(list, c)
	}
	for _, d := range f.Followers {
		c := changed(d.Dim, d.Before, d.After)
		c.Follows = figures.Each(d.From, func(i *int) string { return w.Engine.Dims[*i].Name })
		list = append(list, c)
	}
	return list
}

// usersText says below a dimension what it follows from, where that is one of several, and where it is used.
func (r *CompareReport) usersText(g *terminal.Grid, d *dimChange) {
	causes, from := 0, ""
	for _, o := range r.Dims {
		if o.Cause {
			causes++
		}
	}
	if causes > 1 {
		from = Led("from ", Listing(d.Follows))
	}
	g.Note(Joined("; ", from, usedBy(d.UsedBy)), "   ")
}
