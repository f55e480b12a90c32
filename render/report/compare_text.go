package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"barover/render/report/figures"
	"barover/render/terminal"
	"barover/sketch/quantity"
	"barover/solver"
)

// Text is the comparison as tables to read, with one sentence in the end that says it all.
func (r *CompareReport) Text(c terminal.Ink) string {
	checks := r.checksSection()
	return r.heading() + r.dimsText() + checks.Text(c) + r.othersText() + r.measuresText() + r.marksText() +
		"\n" + c.Verdict(r.Status() == AllHolds, r.sentence())
}

func (r *CompareReport) heading() string {
	words := fmt.Sprintf("%s %s against %s", r.After.Sketch, r.Before.words, r.After.words)
	if r.two {
		words = fmt.Sprintf("%s against %s, %s", r.Before.Sketch, r.After.Sketch, r.After.words)
	}
	return headed(r.title, words, r.units)
}

// columns are the names of the two sides.
func (r *CompareReport) columns() (before, after string) {
	if r.two {
		return "before", "after"
	}
	return "drawn", "now"
}

func (r *CompareReport) dimsText() string {
	if len(r.Dims)+len(r.DimsCame)+len(r.DimsWent) == 0 {
		return ""
	}
	before, after := r.columns()
	g := terminal.Grid{Right: []bool{false, true, true, true}}
	for i := range r.Dims {
		d := &r.Dims[i]
		switch {
		case i == 0:
			g.Row(nil, "Dimensions changed", before, after, "by", "")
		case !d.Cause && r.Dims[i-1].Cause:
			g.Row(nil, "Follow others", before, after, "by", "")
		}
		was, is, by, from := r.dimFigures(d)
		g.Row(nil, d.Name, was, is, by, from)
		r.usersText(&g, d)
	}
	g.Note(Led("There only after: ", strings.Join(r.DimsCame, ", ")), "")
	g.Note(Led("There only before: ", strings.Join(r.DimsWent, ", ")), "")
	return "\n" + g.Text()
}

// dimFigures are what a dimension was and is, by how much it was changed, and where its new value comes from.
func (r *CompareReport) dimFigures(d *dimChange) (was, is, by, from string) {
	by = signed(Size(r.units, d.is-d.was, d.kind))
	if d.was == d.is {
		by = "stays" // while what it follows from goes on
	}
	if !r.two {
		from = d.stands
	}
	return Size(r.units, d.was, d.kind), Size(r.units, d.is, d.kind), by, from
}

// rows are the checks that came out otherwise, what matters most first, a pair once that several lines ask about: `clear all`
// asks again what a line of its own asks. A pair that falls short still by one line has not come to fall short by another.
func (r *CompareReport) rows() (rows []*checkChange) {
	told := map[solver.Subject]*checkChange{}
	others := map[solver.Subject][]CheckName{}
	for i := range r.Checks {
		d := &r.Checks[i]
		others[d.Subject] = append(others[d.Subject], d.CheckName)
		if o := told[d.Subject]; o == nil || d.became == solver.StillShort && o.became != solver.StillShort {
			told[d.Subject] = d
		}
	}
	for i := range r.Checks {
		if d := &r.Checks[i]; told[d.Subject] == d {
			d.Called = Call(d.CheckName, others[d.Subject]...)
			rows = append(rows, d)
		}
	}
	return rows
}

// checksSection is the table of what came out otherwise.
func (r *CompareReport) checksSection() terminal.Section {
	before, after := r.columns()
	s := terminal.Section{Title: "What moved", Under: 1, Wide: terminal.Widest(), Heads: []string{"", "", before, after, "by"},
		Right: []bool{false, false, true, true, true}}
	rows, more := r.told()
	for _, d := range rows {
		was, is, by := r.figures(d)
		row := terminal.SectionRow{Cells: []string{d.word, d.Title, was, is, by}}
		switch {
		case !d.OKAfter:
			row.Mood = terminal.Bad
		case !d.OKBefore:
			row.Mood = terminal.Good
		}
		if text := r.because(d); text != "" {
			row.Below = []string{text}
		}
		s.Rows = append(s.Rows, row)
	}
	if more > 0 {
		s.After = moreMoved(more)
	}
	return s
}

// figures are what a check was and is, and by how much it moved.
func (r *CompareReport) figures(d *checkChange) (was, is, by string) {
	read := func(f figures.Figure, apart bool) string {
		if apart {
			return "apart"
		}
		return f.Read(r.units, d.kind)
	}
	return read(d.Before, d.wasApart), read(d.After, d.nowApart), signed((d.After - d.Before).Read(r.units, d.kind))
}

// because tells where a change comes from.
func (r *CompareReport) because(d *checkChange) string {
	parts := []string{d.Also}
	if !d.holdsStill() {
		parts = append(parts, d.Place, Led("named by ", d.Of))
	}
	if d.Together.Missing() {
		return Joined("; ", parts...)
	}
	shares := figures.Each(d.Because, func(s *share) string { return s.Dim + " " + signed(s.Share.Read(r.units, d.kind)) })
	if rest := d.Together.Read(r.units, d.kind); strings.Trim(rest, "-0.") != "" || len(shares) == 0 {
		name := "together "
		switch {
		case len(shares) == 0 && d.Lines:
			name = "by other lines "
		case d.Lines:
			name = "together and by other lines "
		}
		shares = append(shares, name+signed(rest))
	}
	return Joined("; ", append(parts, strings.Join(shares, ", "))...)
}

// othersText names the checks that only one side asks.
func (r *CompareReport) othersText() string {
	return outcomesText("Asked only after the change", r.Came) + outcomesText("Taken out: asked only before", r.Went)
}

func outcomesText(head string, checks []checkOutcome) string {
	if len(checks) == 0 {
		return ""
	}
	g := terminal.Grid{}
	g.Row(nil, head, "")
	for _, o := range checks {
		g.Row(nil, o.Named, o.Place+", "+o.words)
	}
	return "\n" + g.Text()
}

func (r *CompareReport) measuresText() string {
	if len(r.Measures) == 0 {
		return ""
	}
	g := terminal.Grid{Right: []bool{false, true, true, true, true}}
	before, after := r.columns()
	g.Row(nil, "Measures", "least "+before, after, "greatest "+before, after)
	for _, m := range r.Measures {
		g.Row(nil, m.Name, m.LeastBefore.Read(r.units, m.kind), m.LeastAfter.Read(r.units, m.kind),
			m.GreatestBefore.Read(r.units, m.kind), m.GreatestAfter.Read(r.units, m.kind))
	}
	return "\n" + g.Text()
}

func (r *CompareReport) marksText() string {
	if len(r.Marks) == 0 {
		return ""
	}
	g := terminal.Grid{Right: []bool{false, true, true}}
	before, after := r.columns()
	g.Row(nil, "Marks", before, after, "")
	words := Report{units: r.units}
	at := func(m *markAnswer) string {
		if m == nil {
			return "–"
		}
		return m.At[0].Value.Read(r.units, quantity.Angle)
	}
	list, more := r.toldMarks()
	texts, wide := make([]string, len(list)), 0
	for i, m := range list {
		texts[i] = Joined(", ", words.listed(cmp.Or(m.After, m.Before).At[1:]), strings.Join(r.shows(m), ", "))
		wide = max(wide, utf8.RuneCountInString(m.Name+"  000.00  000.00  "+texts[i]))
	}
	for i, m := range list {
		if wide <= terminal.Width {
			g.Row(nil, m.Name, at(m.Before), at(m.After), texts[i])
			continue
		}
		g.Row(nil, m.Name, at(m.Before), at(m.After), "")
		g.Note(texts[i], "   ")
	}
	if more > 0 {
		g.Line(fmt.Sprintf("   and %s at other places of the ranges; --long lists them", CountOf(more, "more", "more")))
	}
	return "\n" + g.Text()
}

// shows are what a mark shows, as check tells it: before and after where that reads otherwise.
func (r *CompareReport) shows(m *markChange) (told []string) {
	words := Report{units: r.units}
	read := func(a *markAnswer) (names []string, text map[string]string) {
		text = map[string]string{}
		if a == nil {
			return nil, text
		}
		for _, f := range a.Shows {
			names, text[f.Name] = append(names, f.Name), words.shown(f, r.shares[f.Name], false)
			if r.shares[f.Name] && !f.Value.Missing() {
				text[f.Name] += " %"
			}
		}
		return names, text
	}
	old, was := read(m.Before)
	now, is := read(m.After)
	for _, name := range append(now, slices.DeleteFunc(old, func(name string) bool { return is[name] != "" })...) {
		text := cmp.Or(is[name], was[name])
		if was[name] != "" && is[name] != "" && was[name] != is[name] {
			text = was[name] + " → " + is[name]
		}
		told = append(told, name+" "+text)
	}
	return told
}

// sentence says how it all came out.
func (r *CompareReport) sentence() string {
	count := map[solver.Became]int{}
	rows := r.rows()
	for _, d := range rows {
		count[d.became]++
	}
	words := "Nothing moved"
	if n := len(rows); n > 0 {
		words = fmt.Sprintf("%s came out otherwise", CountOf(n, "check", "checks"))
	}
	if n := outcomesOnce(r.Came) + outcomesOnce(r.Went); n > 0 {
		words += fmt.Sprintf("; %s asked on one side only", CountOf(n, "check is", "checks are"))
	}
	words += "."
	if n := count[solver.FallsShortNow]; n > 0 {
		words += " " + InWords(n, "check falls", "checks fall") + " short that held before."
	}
	as := ", as before"
	if slices.ContainsFunc(r.Came, func(o checkOutcome) bool { return !o.OK }) {
		as = ""
	}
	if n := r.short - count[solver.FallsShortNow]; n > 0 && count[solver.FallsShortNow] == 0 {
		words += " " + InWords(n, "check falls", "checks fall") + " short" + as + "."
	} else if n > 0 {
		words += " " + InWords(n, "more falls", "more fall") + " short" + as + "."
	}
	if n := count[solver.Mended]; n > 0 {
		words += " " + InWords(n, "is", "are") + " mended."
	}
	taken := r.takenOut()
	words += taken
	if r.After.Assembled && !r.Before.Assembled {
		words += " It can be assembled all the way round" + Looked(len(r.moves)) + ", which it could not before."
	}
	switch {
	case !r.After.Assembled && r.Before.Assembled:
		words += " It cannot be assembled all the way round, which it could before."
	case !r.After.Assembled:
		words += " It cannot be assembled all the way round, as before."
	case r.short > 0:
	case len(r.looked) > 0:
		words += " " + OnlyLooked(r.total, r.looked) + "."
	case r.total > 0 && taken != "":
		words += " What is still asked holds."
	case r.total > 0:
		words += " Everything holds."
	}
	return words
}

// Looked limits what is said of the whole turn to what was seen of so many travels.
func Looked(travels int) string {
	if travels == 0 {
		return ""
	}
	return " at every travel looked at"
}

// takenOut names the checks that did not hold and are no longer asked: to take a check out mends nothing.
func (r *CompareReport) takenOut() string {
	list := slices.DeleteFunc(slices.Clone(r.Went), func(o checkOutcome) bool { return o.OK })
	n := outcomesOnce(list)
	if n == 0 {
		return ""
	}
	told := figures.Each(list, func(o *checkOutcome) string { return o.Named + " " + o.words })
	return " " + InWords(n, "check was", "checks were") + " taken out that did not hold: " + Few(told, "; ") + "."
}

// outcomesOnce counts checks, a pair once.
func outcomesOnce(list []checkOutcome) int {
	return len(Once(figures.Each(list, func(o *checkOutcome) CheckName { return o.CheckName })))
}
