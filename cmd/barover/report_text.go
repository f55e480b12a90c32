package main

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"barover/sketch"
)

// text is the report as a table to read: what falls short first, then the rest with the tightest first, and in the end
// one sentence that says it all. With long, every pair that was left out is named.
func (r *report) text(c *console, long bool) string {
	var b strings.Builder
	b.WriteString(r.heading())
	b.WriteString(r.brokenText(c))
	short, holds := r.rows()
	b.WriteString(r.checksText(c, "Falls short", short, long))
	b.WriteString(r.checksText(c, "Holds, tightest first", holds, long))
	b.WriteString(r.marksText())
	b.WriteString(r.measuresText())
	b.WriteString(r.leftOutText(long))
	b.WriteString("\n")
	for _, l := range folded(r.caution(), "", page) {
		b.WriteString(l + "\n")
	}
	colour := green
	if !r.holds() {
		colour = red
	}
	for _, l := range folded(r.sentence(), "", page) {
		b.WriteString(c.in(colour, l) + "\n")
	}
	return b.String()
}

// heading says which sketch it is and which values counted.
func (r *report) heading() string {
	unit := "mm"
	if r.units.Inches {
		unit = "inches"
	}
	lines := folded(fmt.Sprintf("%s %s; %s and degrees", r.Sketch, r.values, unit), "", page)
	if r.title != "" {
		lines = append([]string{r.title}, lines...)
	}
	return strings.Join(lines, "\n") + "\n"
}

// listed writes figures in a row, each after its name. Travels that stand at rest are passed over.
func (r *report) listed(n namedFigures) string {
	var words []string
	for _, f := range n {
		if !f.rest {
			words = append(words, f.name+" "+f.value.read(r.units, f.kind))
		}
	}
	return strings.Join(words, ", ")
}

func (r *report) brokenText(c *console) string {
	if len(r.Broken) == 0 {
		return ""
	}
	g := grid{right: []bool{true, true}}
	g.row(nil, r.Turn.Name, "misses by", "what cannot be met")
	for i, b := range r.Broken {
		if i == mostListed {
			g.line(fmt.Sprintf("and %d more stretches", len(r.Broken)-i))
			break
		}
		what := fmt.Sprintf("line %d: %s", b.Line, b.text)
		if b.File != "" {
			what = b.File + " " + what
		}
		g.row(func(s string) string { return c.in(red, s) }, b.stretch(r), b.Miss.read(r.units, b.missKind), what)
		if at := r.listed(b.Travel); at != "" {
			g.row(nil, "", "", "at "+at)
		}
	}
	return "\nCannot be assembled\n" + g.text()
}

// mostListed is how many stretches of the turn are listed for reading.
const mostListed = 6

func (s span) stretch(r *report) string {
	return s.From.read(r.units, sketch.Angle) + " to " + s.To.read(r.units, sketch.Angle)
}

// checksText is a table of checks. Of those that hold, what a reader looks for is shown: the tightest ones, and the
// tightest pair of each line that names its pair.
func (r *report) checksText(c *console, title string, rows []*row, long bool) string {
	if len(rows) == 0 {
		return ""
	}
	g := grid{right: []bool{false, false, true, false, true}}
	g.row(nil, "", title, "worst", "asked", r.Turn.Name, "sure")
	rest := 0
	seen := map[int]bool{}
	for i, a := range rows {
		if !long && a.OK && i >= mostRows && (a.ofAll || seen[a.stmt]) {
			rest++
			continue
		}
		seen[a.stmt] = true
		r.checkRow(c, &g, a)
	}
	if rest > 0 {
		g.line(fmt.Sprintf("       and %d more pairs with more room; --long lists them", rest))
	}
	return "\n" + g.text()
}

// mostRows is how many of those that hold are shown in any case.
const mostRows = 16

// widest is how wide the subject of a check may be to stand in one line with its figures; one that is wider has a line
// to itself.
const widest = 35

func (r *report) checkRow(c *console, g *grid, a *row) {
	paint := func(s string) string {
		switch {
		case !a.OK:
			return c.in(red, s)
		case a.apart:
			return c.in(faint, s)
		}
		return s
	}
	at := "–"
	if len(a.At) > 0 && !a.still() {
		at = a.At[0].value.read(r.units, sketch.Angle)
	}
	state, subject := a.state(), a.subject()
	if utf8.RuneCountInString(subject) > widest {
		g.line(paint(state) + strings.Repeat(" ", max(0, 7-len(state))) + subject)
		state, subject = "", ""
	}
	g.row(paint, state, subject, a.worst().read(r.units, a.kind), a.asked(r.units), at, a.Sure)
	for _, text := range []string{r.details(a), r.remedies(a)} {
		for _, l := range folded(text, "       ", page) {
			g.line(l)
		}
	}
}

// travels is the setting at which a check holds by least, where it matters which.
func (r *report) travels(a *row) string {
	if len(a.At) < 2 || a.still() {
		return ""
	}
	return r.listed(a.At[1:])
}

// details is what is told of a check below its figures.
func (r *report) details(a *row) string {
	var parts []string
	if a.note != "" {
		parts = append(parts, a.note)
	}
	if at := r.travels(a); at != "" {
		parts = append(parts, "at "+at)
	}
	if !a.OK {
		parts = append(parts, a.where())
		if len(a.Fouls) > 0 {
			parts = append(parts, "not met from "+stretches(r, a.Fouls))
		}
	}
	if a.Fill != nil {
		parts = append(parts, a.Fill.String())
	}
	parts = append(parts, a.tightText(r.units)...)
	if len(a.Unproved) > 0 {
		parts = append(parts, "not proved from "+stretches(r, a.Unproved))
	}
	return strings.Join(parts, "; ")
}

// mostRemedies is how many changes are offered for reading.
const mostRemedies = 3

// remedies are the changes of one dimension with which a check was proved to hold.
func (r *report) remedies(a *row) string {
	var words []string
	for _, l := range a.Levers {
		if a.OK || l.ToHold.missing() || len(words) == mostRemedies {
			continue
		}
		w := fmt.Sprintf("%s %s for %s", l.Dim, l.ToHold.read(r.units, l.kind), l.now.read(r.units, l.kind))
		if l.Made {
			w += " (made already)"
		}
		if len(l.breaks) > 0 {
			w += " (but then " + oneLine(r.Checks[l.breaks[0]].subject()) + " falls short"
			if n := len(l.breaks) - 1; n > 0 {
				w += fmt.Sprintf(", and %d more", n)
			}
			w += ")"
		}
		words = append(words, w)
	}
	if len(words) == 0 {
		return ""
	}
	return "would hold with " + strings.Join(words, ", or ")
}

func stretches[S interface{ stretch(*report) string }](r *report, of []S) string {
	var words []string
	for i, s := range of {
		if i == mostListed {
			words = append(words, fmt.Sprintf("and in %d more places", len(of)-i))
			break
		}
		words = append(words, s.stretch(r))
	}
	return strings.Join(words, ", ")
}

func (r *report) marksText() string {
	if len(r.Marks) == 0 {
		return ""
	}
	g := grid{right: []bool{false, true}}
	g.row(nil, "Marks", r.Turn.Name, "")
	for _, m := range r.Marks {
		g.row(nil, m.Name, m.At[0].value.read(r.units, sketch.Angle), r.listed(append(m.At[1:], m.Shows...)))
	}
	return "\n" + g.text()
}

func (r *report) measuresText() string {
	if len(r.Measures) == 0 {
		return ""
	}
	g := grid{right: []bool{false, true, true, true, true}}
	g.row(nil, "Measures", "least", "at "+r.Turn.Name, "greatest", "at "+r.Turn.Name)
	for _, m := range r.Measures {
		at := func(n namedFigures) string {
			if len(n) == 0 || m.Least == m.Greatest { // one that stands still has no place
				return "–"
			}
			return n[0].value.read(r.units, sketch.Angle)
		}
		g.row(nil, m.Name, m.Least.read(r.units, m.kind), at(m.LeastAt), m.Greatest.read(r.units, m.kind), at(m.GreatestAt))
	}
	return "\n" + g.text()
}

// leftOutText counts the pairs that were not looked at by why not, or names them all.
func (r *report) leftOutText(long bool) string {
	if len(r.LeftOut) == 0 {
		return ""
	}
	if long {
		g := grid{}
		g.row(nil, "Left out", "", "")
		for _, l := range r.LeftOut {
			g.row(nil, l.A, l.B, l.Why)
		}
		return "\n" + g.text()
	}
	count := map[string]int{}
	var whys []string
	for _, l := range r.LeftOut {
		why, _, _ := strings.Cut(l.Why, ",")
		if strings.HasPrefix(why, "pinned") {
			why = "pinned to each other"
		}
		if count[why] == 0 {
			whys = append(whys, why)
		}
		count[why]++
	}
	for i, why := range whys {
		whys[i] = fmt.Sprintf("%d %s", count[why], why)
	}
	text := fmt.Sprintf("Left out: %s; --long names them.", strings.Join(whys, ", "))
	return "\n" + strings.Join(folded(text, "", page), "\n") + "\n"
}
