package report

import (
	"path/filepath"
	"slices"

	"barover/render/report/figures"
	"barover/sketch/assembled"
	"barover/sketch/quantity"
	"barover/solver"
	"barover/solver/change"
)

// CompareReport is what differs between two engines, in the unit of the second and with its names. Its fields are the
// object that `compare --json` prints.
type CompareReport struct {
	Before   compared        `json:"before"`
	After    compared        `json:"after"`
	Units    string          `json:"units"`
	Dims     []dimChange     `json:"dims"`
	DimsCame []string        `json:"dims_came"`
	DimsWent []string        `json:"dims_went"`
	Checks   []checkChange   `json:"checks"`
	Came     []checkOutcome  `json:"came"`
	Went     []checkOutcome  `json:"went"`
	Measures []measureChange `json:"measures"`
	Marks    []markChange    `json:"marks"`

	title  string
	units  quantity.Units
	shares map[string]bool // measures that are shares of something on both sides
	two    bool            // they are two sketches
	moves  []travelRange
	long   bool     // every check is listed that came out otherwise, and marks at every travel setting
	looked []string // those that do not and were only sampled, a pair once
	short  int      // checks that fall short after the change, a pair once
	total  int
}

// compared is one of the two.
type compared struct {
	Sketch    string       `json:"sketch"`
	Values    string       `json:"values"`
	Set       figures.List `json:"set,omitempty"`
	Assembled bool         `json:"assembled"`

	words string
}

// dimChange is a dimension that was changed by itself, or follows from such.
type dimChange struct {
	Name    string         `json:"name"`
	Before  figures.Figure `json:"before"`
	After   figures.Figure `json:"after"`
	Cause   bool           `json:"cause"`             // it was changed by itself
	Alone   bool           `json:"alone"`             // the engine can be solved with it alone changed, so that it has shares
	Follows []string       `json:"follows,omitempty"` // the causes that it follows from
	UsedBy  []string       `json:"used_by"`           // the profiles and parts that are written with it

	kind   quantity.Kind
	was    float64
	is     float64
	stands string // the words for where its new value comes from
}

// checkChange is a check that came out otherwise.
type checkChange struct {
	CheckName
	Before   figures.Figure `json:"before"`
	After    figures.Figure `json:"after"`
	OKBefore bool           `json:"ok_before"`
	OKAfter  bool           `json:"ok_after"`
	Because  []share        `json:"because"`
	Together figures.Figure `json:"together"`
	Lines    bool           `json:"other_lines"` // something other than dimensions has to do with it

	Called
	kind     quantity.Kind
	wasApart bool
	nowApart bool
	became   solver.Became
	word     string
}

// share is what one dimension does alone.
type share struct {
	Dim   string         `json:"dim"`
	Share figures.Figure `json:"share"`
}

// checkOutcome is a check that only one of the two asks.
type checkOutcome struct {
	CheckName
	Least    figures.Figure `json:"least"`
	Greatest figures.Figure `json:"greatest"`
	OK       bool           `json:"ok"`

	words string // how it comes out, with the figure where it does not hold; in the past tense where it is no longer asked
}

// measureChange is a measure that came out otherwise.
type measureChange struct {
	Name           string         `json:"name"`
	LeastBefore    figures.Figure `json:"least_before"`
	LeastAfter     figures.Figure `json:"least_after"`
	GreatestBefore figures.Figure `json:"greatest_before"`
	GreatestAfter  figures.Figure `json:"greatest_after"`

	kind quantity.Kind
}

// markChange is a mark that happens elsewhere or shows something else; null where it does not happen.
type markChange struct {
	Name   string      `json:"name"`
	Before *markAnswer `json:"before"`
	After  *markAnswer `json:"after"`
}

func newCompareReport(before, after *assembled.Engine, f *change.Comparison) *CompareReport {
	old, now := Reporter{before, after.Units}, Reporter{after, after.Units}
	u := after.Units
	r := &CompareReport{
		Before: old.compared(f.Before), After: now.compared(f.After), Units: u.Name(),
		Dims: now.dimChanges(f), DimsCame: append([]string{}, f.DimsCame...), DimsWent: append([]string{}, f.DimsWent...),
		Checks: figures.Each(f.Checks, func(d *change.Check) checkChange { return now.checkChange(old, d, f) }), Came: now.outcomes(f.After, f.Came, false),
		Went: old.outcomes(f.Before, f.Went, true), Measures: []measureChange{}, Marks: []markChange{},
		title: after.Title, units: u, total: len(after.Problem.Once(f.After.Findings)), moves: now.travels(),
	}
	var short, looked []CheckName
	for i := range f.After.Findings {
		switch f := &f.After.Findings[i]; {
		case !f.OK:
			short = append(short, now.Name(f.Check))
		case after.Problem.Judge(f).State == solver.HoldsWhereSeen:
			looked = append(looked, now.Name(f.Check))
		}
	}
	r.short = len(Once(short))
	r.looked = NamedOnce(looked)
	r.tells(old, now, f)
	return r
}

func (w Reporter) compared(res *solver.Result) compared {
	return compared{filepath.ToSlash(w.Engine.Path), w.Engine.Shown, w.set(), len(res.Broken) == 0, figures.InWords(w.Engine.Sketch)}
}

func (w Reporter) checkChange(old Reporter, d *change.Check, f *change.Comparison) checkChange {
	k := w.KindOfCheck(d.After)
	was, is := old.Engine.Problem.Judge(&f.Before.Findings[d.Before]), w.Engine.Problem.Judge(&f.After.Findings[d.After])
	c := checkChange{CheckName: w.Name(d.After), Before: figures.Of(w.Units, d.Was, k), After: figures.Of(w.Units, d.Is, k), OKBefore: d.OKBefore,
		OKAfter: d.OKNow, Together: figures.Of(w.Units, d.Together, k), Lines: d.Lines, kind: k, became: d.Became, word: d.Became.Word(&was, &is),
		wasApart: f.Before.Findings[d.Before].Apart, nowApart: f.After.Findings[d.After].Apart,
		Because: figures.Each(d.Shares, func(s *change.Share) share { return share{f.Dims[s.Dim].Name, figures.Of(w.Units, s.By, k)} })}
	return c
}

// outcomes are the checks of some findings, what does not hold first.
func (w Reporter) outcomes(res *solver.Result, list []int, past bool) []checkOutcome {
	list = slices.Clone(list)
	slices.SortStableFunc(list, func(a, b int) int {
		x, y := w.Engine.Problem.Judge(&res.Findings[a]), w.Engine.Problem.Judge(&res.Findings[b])
		if x.OK && y.OK {
			return 0
		}
		return x.Compare(&y)
	})
	return figures.Each(list, func(i *int) checkOutcome { return w.outcome(&res.Findings[*i], past) })
}

func (w Reporter) outcome(f *solver.Finding, past bool) checkOutcome {
	k, j := w.KindOfCheck(f.Check), w.Engine.Problem.Judge(f)
	words := j.State.String()
	if past && !j.OK {
		words = j.State.Past()
	}
	switch worst := figures.Of(w.Units, j.Worst, k); {
	case j.OK || worst.Missing():
	case j.State == solver.Fouls:
		words += " by " + figures.Of(w.Units, -j.Worst, k).Read(w.Units, k)
	default:
		words += " at " + worst.Read(w.Units, k)
	}
	return checkOutcome{CheckName: w.Name(f.Check), Least: figures.Of(w.Units, f.Least, k), Greatest: figures.Of(w.Units, f.Greatest, k), OK: f.OK, words: words}
}

// tells adds measures and marks.
func (r *CompareReport) tells(old, now Reporter, f *change.Comparison) {
	r.shares = now.shares(f.After.Extremes)
	for name, share := range old.shares(f.Before.Extremes) {
		if is, both := r.shares[name]; both {
			share = share && is
		}
		r.shares[name] = share
	}
	for _, m := range f.Measures {
		was, is := old.measure(&f.Before.Extremes[m.Before]), now.measure(&f.After.Extremes[m.After])
		r.Measures = append(r.Measures, measureChange{is.Name, was.Least, is.Least, was.Greatest, is.Greatest, is.kind})
	}
	for _, m := range f.Marks {
		var c markChange
		if m.Before != nil {
			a := old.mark(m.Before)
			c.Name, c.Before = a.Name, &a
		}
		if m.After != nil {
			a := now.mark(m.After)
			c.Name, c.After = a.Name, &a
		}
		r.Marks = append(r.Marks, c)
	}
}

// Status is 1 where something falls short after the change.
func (r *CompareReport) Status() int { return StatusOf(r.short == 0 && r.After.Assembled) }
