package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"barover/render/report/figures"
	"barover/render/terminal"
	"barover/sketch/quantity"
	"barover/solver"
)

// Text is the report as tables to read on a terminal: what falls short first, fouls before all, then the tightest of what
// holds, then the rest, and in the end one sentence that says it all. With long, every check is shown, marks at every
// travel setting, and every pair that was left out.
func (r *Report) Text(c terminal.Ink, long bool) string {
	var b strings.Builder
	if r.title != "" {
		b.WriteString(r.title + "\n")
	}
	b.WriteString(terminal.Paragraph(r.heading(), ""))
	for _, p := range r.parts(long) {
		b.WriteString(p.Text(c))
	}
	colour := terminal.Green
	switch {
	case !r.holds():
		colour = terminal.Red
	case len(r.met()) > 0 || r.looked() > 0 || r.playCaution() != "":
		colour = terminal.Yellow
	}
	return b.String() + "\n" + c.Say(colour, r.Sentence())
}

// heading says which sketch it is and which values counted.
func (r *Report) heading() string {
	unit := "mm"
	if r.units.Inches {
		unit = "inches (~ to the nearest 64th)"
	}
	return fmt.Sprintf("%s %s; %s and degrees", r.Sketch, r.values, unit)
}

// listed writes figures in a row, each after its name. Travels that stand at rest are passed over.
func (r *Report) listed(n figures.List) string {
	var words []string
	for _, f := range n {
		if !f.Rest {
			words = append(words, f.Name+" "+f.Value.Size(r.units, f.Kind))
		}
	}
	return strings.Join(words, ", ")
}

// mostListed is how many stretches of the turn are listed for reading.
const mostListed = 6

// stretch is from where to where it goes. One that runs across the start of a whole turn ends behind it.
func (s span) stretch(r *Report) string {
	to := s.To
	if t := r.Turn; t.To-t.From == 360 && to > t.To && s.From < t.To {
		to -= 360
	}
	return s.From.Read(r.units, quantity.Angle) + " to " + to.Read(r.units, quantity.Angle)
}

// stretch is the stretch with what its ends may be out by, where that shows.
func (s foulSpan) stretch(r *Report) string {
	text := s.span.stretch(r)
	if s.Out != nil && float64(*s.Out) >= 0.005 {
		text += " (give or take " + s.Out.Read(r.units, quantity.Angle) + ")"
	}
	return text
}

// sections report the checks: where the engine cannot be assembled, what falls short, what holds.
func (r *Report) sections(long bool) []terminal.Section {
	short, holds := r.rows()
	tight, rest := holds, []*row(nil)
	if len(holds) > mostTight {
		tight, rest = holds[:mostTight], holds[mostTight:]
	}
	list := []terminal.Section{r.brokenSection(), r.checksSection("Falls short"), r.checksSection("Least margin"), r.checksSection("The rest"), r.asideSection(long)}
	for _, a := range short {
		list[1].Rows = append(list[1].Rows, r.checkRow(a))
	}
	list[1].After = r.summary(short)
	for _, a := range tight {
		list[2].Rows = append(list[2].Rows, r.checkRow(a))
	}
	if len(short) == 0 && len(rest) == 0 {
		list[2].Title = "Holds, least margin first"
		if r.looked() > 0 {
			list[2].Title = "Tightest first"
		}
	}
	more := 0
	seen := map[int]bool{}
	for _, a := range tight {
		seen[a.judged.Check.Stmt] = true
	}
	for _, a := range rest {
		if !long && !r.allLevers && (a.ofAll || seen[a.judged.Check.Stmt]) {
			more++
			continue
		}
		seen[a.judged.Check.Stmt] = true
		list[3].Rows = append(list[3].Rows, r.checkRow(a))
	}
	if more > 0 {
		list[3].After = fmt.Sprintf("and %s with more room; --long lists them", CountOf(more, "pair more", "pairs more"))
		if len(list[3].Rows) == 0 {
			list[2].After = list[3].After
		}
	}
	return list
}

// MostRows is how many checks that hold are listed where others give them in one table.
const MostRows = 16

// mostTight is how many of the checks that hold are reported first.
const mostTight = 8

// checksSection is a table of checks without its rows. In inches it has a column for the nearest 64th.
func (r *Report) checksSection(title string) terminal.Section {
	s := terminal.Section{Title: title, Under: 1, Wide: terminal.Widest(), Heads: []string{"", "what is asked about", "worst", "asked", r.Turn.Name},
		Right: []bool{false, false, true, false, true}, Words: []bool{false, true}}
	if r.units.Inches {
		s.Heads = slices.Insert(s.Heads, 3, "inch")
		s.Right = slices.Insert(s.Right, 3, true)
		s.Wide -= 2
	}
	return s
}

func (r *Report) checkRow(a *row) terminal.SectionRow {
	at := "–"
	if len(a.At) > 0 && !a.still() && !a.stays && !r.fixed {
		at = a.At[0].Value.Read(r.units, quantity.Angle)
	}
	line := terminal.SectionRow{Cells: []string{a.judged.State.String(), a.Title, a.worst(r.units).Read(r.units, a.kind), a.asked(r.units), at}}
	if r.units.Inches {
		line.Cells = slices.Insert(line.Cells, 3, a.worst(r.units).Near(r.units, a.kind))
	}
	switch {
	case !a.OK:
		line.Mood = terminal.Bad
	case a.apart():
		line.Mood = terminal.Pale
	}
	remedies, command := r.remedies(a)
	line.Typed = command
	for _, text := range []string{r.details(a), a.NoValue.text(r), r.levers(a), remedies} {
		if text != "" {
			line.Below = append(line.Below, text)
		}
	}
	return line
}

// travels is the setting at which a check holds by least, where it matters which.
func (r *Report) travels(a *row) string {
	if len(a.At) < 2 || a.still() {
		return ""
	}
	return r.listed(a.At[1:])
}

// details are the words about a check below its figures.
func (r *Report) details(a *row) string {
	return Joined("; ", append([]string{a.Also, Led("at ", r.travels(a))}, r.particulars(a)...)...)
}

// particulars are where the line of a check stands if it falls short, where it is not met, and what else is known of it.
func (r *Report) particulars(a *row) (parts []string) {
	if !a.OK {
		parts = append(parts, a.where(), Led("named by ", a.Of))
		if len(a.Fouls) > 0 && !r.fixed {
			met := "not met from "
			if r.travels(a) != "" { // the stretches are those of the setting that is worst
				met = "not met there from "
			}
			parts = append(parts, met+stretches(r, a.Fouls))
		}
	}
	parts = append(parts, r.turnsOff(a.checkAnswer), r.trialText(a.checkAnswer))
	if a.Fill != nil {
		parts = append(parts, a.Fill.String())
	}
	parts = append(parts, a.tightText(r.units)...)
	parts = append(parts, r.playText(a.checkAnswer)...)
	if !a.apart() && r.most() == "proved" {
		parts = append(parts, r.notProved(a.Unproved)...)
	}
	return slices.DeleteFunc(parts, func(s string) bool { return s == "" })
}

// turnsOff says of an angle that is not met whether it is whole turns off what is asked: -175° is 185°, and a mark that comes after the
// start of the turn is less than one before it.
func (r *Report) turnsOff(a *checkAnswer) string {
	if a.Kind != "keep" || a.OK || a.NoValue != nil || !a.kind.Is(quantity.Angle) || a.Least.Missing() || a.Greatest.Missing() {
		return ""
	}
	holds := func(lo, hi figures.Figure) bool { return !(lo < a.AtLeast) && !(hi > a.AtMost) }
	least, greatest := holds(a.Least, a.Least), holds(a.Greatest, a.Greatest)
	for _, by := range [...]figures.Figure{360, -360, 720, -720} {
		lo, hi := a.Least+by, a.Greatest+by
		least, greatest = least || holds(lo, lo), greatest || holds(hi, hi)
		if holds(lo, hi) {
			comes := lo.Read(r.units, a.kind)
			if high := hi.Read(r.units, a.kind); high != comes {
				comes += " to " + high
			}
			return fmt.Sprintf("whole turns off: with %+g° more, as %s, it would hold", float64(by), comes)
		}
	}
	if a.stays && least && greatest {
		return "whole turns off at some settings: E - round(E - 180°, 360°) is E brought to between 0 and 360°"
	}
	return ""
}

func stretches[S interface{ stretch(*Report) string }](r *Report, of []S) string {
	return strings.Join(FirstFew(of, mostListed, "and in %d more {place|places}", func(s S) string { return s.stretch(r) }), ", ")
}

// figures report the measures and, with long, the pairs that were left out.
func (r *Report) figures(long bool) []terminal.Section {
	m := terminal.Section{Title: "Measures", Heads: []string{"measure", "least", "at " + r.Turn.Name, "greatest", "at " + r.Turn.Name},
		Right: []bool{false, true, true, true, true}, Words: []bool{true}}
	for _, x := range r.Measures {
		at := func(n figures.List) string {
			if len(n) == 0 || x.stays || x.Least == x.Greatest { // one that stands still has no place
				return "–"
			}
			return n[0].Value.Read(r.units, quantity.Angle)
		}
		row := terminal.SectionRow{Cells: []string{x.Name, x.Least.Read(r.units, x.kind), at(x.LeastAt), x.Greatest.Read(r.units, x.kind), at(x.GreatestAt)}}
		if x.Note != "" {
			row.Below = append(row.Below, x.Note)
		}
		if x.Least != x.Greatest && len(x.LeastAt) > 1 && (long || r.listed(x.LeastAt[1:])+r.listed(x.GreatestAt[1:]) != "") {
			row.Below = append(row.Below, "least "+r.setting(x.LeastAt[1:])+"; greatest "+r.setting(x.GreatestAt[1:]))
		}
		if text := x.NoValue.text(r); text != "" {
			row.Below = append(row.Below, text)
		}
		m.Rows = append(m.Rows, row)
	}
	if !long {
		return []terminal.Section{m}
	}
	l := terminal.Section{Title: "Left out", Heads: []string{"pair", "", "why"}, Words: []bool{true, true}}
	l.Rows = figures.Each(r.LeftOut, func(x *leftOut) terminal.SectionRow {
		return terminal.SectionRow{Cells: []string{x.A, x.B, x.Why}, Below: r.roundPins(x)}
	})
	return []terminal.Section{m, l}
}

// roundPins says which profiles of two pinned parts share a band and are taken for a pin and its eye.
func (r *Report) roundPins(x *leftOut) (words []string) {
	for _, p := range r.round {
		if p.parts == [2]string{x.A, x.B} || p.parts == [2]string{x.B, x.A} {
			words = append(words, fmt.Sprintf("%s – %s share a band round %s: taken for a pin and its eye, not looked at",
				p.profiles[0], p.profiles[1], p.pin))
		}
	}
	return words
}

// setting says where the travels stand.
func (r *Report) setting(n figures.List) string {
	return cmp.Or(Led("at ", r.listed(n)), "with travels at rest")
}

// leftOutWords counts pairs that were left out for one reason.
func leftOutWords(n int, why string) string {
	if why == solver.NeverAcross {
		return Counted("%d {pair never meets|pairs never meet} across", n)
	}
	return fmt.Sprintf("%d %s", n, why)
}

const pinnedToEachOther = "pinned to each other"

// omitted counts the pairs that were not tried, by reason, unless they are named.
func (r *Report) omitted(long bool) string {
	if len(r.LeftOut) == 0 || long {
		return ""
	}
	count := map[string]int{}
	var whys []string
	for _, l := range r.LeftOut {
		why, _, _ := strings.Cut(l.Why, ",")
		if strings.HasPrefix(why, "pinned") {
			why = pinnedToEachOther
		}
		if count[why] == 0 {
			whys = append(whys, why)
		}
		count[why]++
	}
	for i, why := range whys {
		whys[i] = leftOutWords(count[why], why)
		if why == pinnedToEachOther {
			whys[i] += r.asideCounted()
		}
	}
	return fmt.Sprintf("Left out: %s; --long names them.", strings.Join(whys, ", "))
}
