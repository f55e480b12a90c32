package variants

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"barover/render/report"
	"barover/render/report/figures"
	"barover/render/terminal"
	"barover/sketch/quantity"
	"barover/solver"
)

// Text is the answers as a table to read: what may fall short first, then the tightest.
func (r *Spread) Text(c terminal.Ink) string {
	short, holds, still := r.rows()
	proved := slices.DeleteFunc(slices.Clone(holds), func(s *spreadCheck) bool { return !s.holds })
	found := slices.DeleteFunc(holds, func(s *spreadCheck) bool { return s.holds })
	return report.Title(r.e, "") + r.tolerancesText() + r.checksText(c, "May fall short", short) +
		r.checksText(c, "Holds in every engine", proved) + r.checksText(c, "Holds in the worst found", found) +
		"\n" + c.Verdict(r.Status() == report.AllHolds, r.sentence(len(short), still))
}

// tolerancesText lists what is carried through.
func (r *Spread) tolerancesText() string {
	if len(r.Tolerances) == 0 {
		return ""
	}
	g := terminal.Grid{Right: []bool{false, true, true}}
	g.Row(nil, "Tolerances", "from", "to", "")
	for _, t := range r.Tolerances {
		d, _, _ := r.e.Dim(t.Dim)
		words := t.Fit
		if t.Made {
			words = "measured"
		}
		if others := r.ownFigure(t.Dim); others != "" && !t.Made {
			words = strings.TrimPrefix(words+", made to its own figure: it does not follow "+others, ", ")
		}
		tol := d.Counts()
		g.Row(nil, t.Dim, report.Size(r.e.Units, d.Value+tol.Lower, d.Kind), report.Size(r.e.Units, d.Value+tol.Upper, d.Kind), words)
	}
	return "\n" + g.Text()
}

// ownFigure names the dimensions with a tolerance that the sum of another is made of. That one has a tolerance of its own, and
// so is made to its own figure.
func (r *Spread) ownFigure(dim string) string {
	_, of, _ := r.e.Dim(dim)
	var names []string
	for _, d := range r.e.Problem.MadeOf(of) {
		if name := r.e.Problem.Dims[d].Name; slices.ContainsFunc(r.Tolerances, func(t toleranceUsed) bool { return t.Dim == name }) {
			names = append(names, name)
		}
	}
	return strings.Join(names, ", ")
}

// rows parts the checks into those that may fall short, those that hold, and the number of those that no tolerance moves by
// as much as can be read. Clear lines that ask about the same pair are one row.
func (r *Spread) rows() (short, holds []*spreadCheck, still int) {
	for _, s := range r.pairsOnce() {
		switch {
		case s.leftOut():
		case !s.OK:
			short = append(short, s)
		case s.Drawn == 0 || s.Worst.Read(r.e.Units, s.kind) == s.figure.Read(r.e.Units, s.kind):
			still++
		case !s.apart:
			holds = append(holds, s)
		}
	}
	order := func(a, b *spreadCheck) int { return a.judged.Compare(&b.judged) }
	slices.SortStableFunc(short, order)
	slices.SortStableFunc(holds, order)
	return short, holds, still
}

// leftOut reports whether a clear line is of a pair whose bands never overlap, in no engine that was tried: it asks nothing.
func (s *spreadCheck) leftOut() bool {
	return s.Kind == "clear" && s.apart && s.OK && s.Worst.Missing()
}

// pairsOnce is the checks with one clear line for each pair, the one that leaves least room: `clear all` asks again what a
// line of its own asks for.
func (r *Spread) pairsOnce() (list []*spreadCheck) {
	at := map[solver.Subject]int{}
	others := map[*spreadCheck][]report.CheckName{}
	for i := range r.Checks {
		s := &r.Checks[i]
		k, known := at[s.Subject]
		if !known {
			at[s.Subject] = len(list)
			list = append(list, s)
			continue
		}
		tighter, other := list[k], s
		if s.judged.Margin < tighter.judged.Margin {
			tighter, other = s, tighter
		}
		list[k], others[tighter] = tighter, append(others[other], other.CheckName)
	}
	for _, s := range list {
		s.Called = report.Call(s.CheckName, others[s]...)
	}
	return list
}

func (r *Spread) checksText(c terminal.Ink, head string, rows []*spreadCheck) string {
	if len(rows) == 0 {
		return ""
	}
	g := terminal.Grid{Right: []bool{false, true, true, true, true, true, true}}
	g.Row(nil, head, "drawn", "worst", "proved", "rss", "asked", "short")
	if r.Values != "drawn" {
		g.Rows[0].Cells[1] = "now"
	}
	for i, s := range rows {
		if i >= report.MostRows && s.OK {
			g.Line(fmt.Sprintf("and %d more with more room", len(rows)-i))
			break
		}
		r.checkRow(c, &g, s)
	}
	return "\n" + g.Text()
}

func (r *Spread) checkRow(c terminal.Ink, g *terminal.Grid, s *spreadCheck) {
	paint := c.Warning(!s.OK)
	subject := s.Title
	if utf8.RuneCountInString(subject) > terminal.Widest() {
		g.Line(paint(subject))
		subject = ""
	}
	u := r.e.Units
	read := func(f figures.Figure) string { return s.shown(f).Read(u, s.kind) }
	g.Row(paint, subject, read(s.figure), read(s.Worst), s.provedText(u), read(s.RSS), s.asked(u), s.share())
	g.Note(r.details(s), "   ")
}

// provedText is what no engine is worse than, as it is read.
func (s *spreadCheck) provedText(u quantity.Units) string {
	if s.WorstProved.Missing() {
		return "–"
	}
	return s.shown(s.WorstProved).Read(u, s.kind)
}

// shown is a figure as it is read: how far a loose length misses, without the end at which it does, as check has it.
func (s *spreadCheck) shown(f figures.Figure) figures.Figure {
	if s.Kind == "loose" {
		return figures.Figure(math.Abs(float64(f)))
	}
	return f
}

// asked is the limit that the worst case is weighed against.
func (s *spreadCheck) asked(u quantity.Units) string {
	switch {
	case s.Kind == "loose":
		return "± " + s.AtMost.Read(u, s.kind)
	case s.Side == "greatest":
		return "≤ " + s.AtMost.Read(u, s.kind)
	case s.AtLeast.Missing():
		return "≥ 0"
	}
	return "≥ " + s.AtLeast.Read(u, s.kind)
}

// share is in how many of a hundred engines the check falls short.
func (s *spreadCheck) share() string {
	if s.Drawn == 0 {
		return "–"
	}
	if s.short == 0 {
		return "none"
	}
	return s.percent(s.FallsShort)
}

// percent is a share of the engines drawn in hundredths, as closely as so many tell it.
func (s *spreadCheck) percent(share figures.Figure) string {
	digits := 1
	for n := 10_000; n <= s.Drawn; n *= 100 {
		digits++
	}
	return fmt.Sprintf("%.*f%%", digits, 100*float64(share))
}

// details are the words about a check below its figures.
func (r *Spread) details(s *spreadCheck) string {
	parts := []string{s.Also}
	if !s.OK {
		parts = append(parts, s.Place, report.Led("named by ", s.Of))
	}
	if s.Drawn > 0 && s.short > 0 {
		parts = append(parts, report.Counted("%d of "+report.CountOf(s.Drawn, "engine", "engines")+" {falls|fall} short", s.short)+", "+s.percent(s.Between[0])+" to "+s.percent(s.Between[1]))
	}
	if s.Surely[1] > s.Surely[0] && s.Surely != [2]figures.Figure{0, 1} {
		parts = append(parts, fmt.Sprintf("of those drawn surely %s to %s", s.percent(s.Surely[0]), s.percent(s.Surely[1])))
	}
	if s.Drawn > 0 && s.short == 0 && !s.OK {
		parts = append(parts, "none of "+report.CountOf(s.Drawn, "engine", "engines"))
	}
	if s.Unmade {
		parts = append(parts, "an engine within the limits cannot be assembled")
	}
	switch s.WorstFrom {
	case "drawn":
		parts = append(parts, "an engine drawn was worse than all that was sought")
	case "between":
		parts = append(parts, "worst between the limits, with "+r.sizes(s.inside))
	}
	parts = append(parts, r.matters(s))
	parts = append(parts, figures.Each(s.NotProved, r.unprovedText)...)
	return report.Joined("; ", append(parts, s.cut())...)
}

// cut says to what share every tolerance must be cut for a check to hold; "" where the check holds or no cut would help.
func (s *spreadCheck) cut() string {
	switch v := float64(s.Scale); {
	case s.OK || !(v < 1):
		return ""
	case !s.OKNow:
		return "" // no tolerance mends what falls short at the values themselves
	case v < leastCut:
		return "no cutting of the tolerances still open is enough"
	default:
		return fmt.Sprintf("would hold in the worst found if every tolerance still open were cut to %.2f of itself", v)
	}
}

// leastCut is the least share that is suggested: no tolerance is cut to less than this share of itself.
const leastCut = 0.01

// unprovedText says why nothing is proved of every size.
func (r *Spread) unprovedText(u *report.UnprovedSpan) string {
	turn := quantity.KindOf(true, false)
	if u.From == figures.Of(r.e.Units, r.e.Problem.Turn.From, turn) {
		return "not proved for every size" + u.Because()
	}
	return "not proved for every size from " + u.From.Read(r.e.Units, turn) + u.Because()
}

// sizes lists dimensions with their values.
func (r *Spread) sizes(list figures.List) string {
	return strings.Join(report.FirstFew(list, mostMatters, "%d more", func(n figures.Named) string { return n.Name + " " + n.Value.Read(r.e.Units, n.Kind) }), ", ")
}

// mostMatters is how many tolerances are named for reading.
const mostMatters = 3

// matters tells which tolerances move the check most.
func (r *Spread) matters(s *spreadCheck) string {
	var words []string
	for i, m := range s.Matters {
		by := m.Either.Read(r.e.Units, s.kind)
		if strings.Trim(by, "0.") == "" {
			break // it is too little to be read
		}
		if i == mostMatters {
			words = append(words, fmt.Sprintf("%d more", len(s.Matters)-i))
			break
		}
		words = append(words, fmt.Sprintf("%s ± %s (%.0f%%)", m.Dim, by, 100*float64(m.Share)))
	}
	return strings.Join(words, ", ")
}

// sentence says how it all came out.
func (r *Spread) sentence(short, still int) string {
	if len(r.Tolerances) == 0 {
		return "No dimension has a tolerance: write one as dim NAME = V ± V, or with tol or fit." + r.nowShort() + r.nowBroken()
	}
	var words string
	switch {
	case short == 0 && r.allProved():
		words = fmt.Sprintf("Everything holds in every engine that %s: proved.%s", r.allowing(), r.tightPins())
	case short == 0:
		words = fmt.Sprintf("%s in the worst found with %s%s.", r.allHold(), report.CountOf(len(r.Tolerances), "tolerance", "tolerances"), r.open())
	default:
		words = fmt.Sprintf("%s may fall short with these tolerances.", report.CountOf(short, "check", "checks"))
	}
	if worst := r.likeliest(); worst != nil {
		words += fmt.Sprintf(" %s of engines have %s short.", worst.percent(worst.FallsShort), worst.Named)
	}
	words += r.nowBroken()
	if r.Unmade > 0 {
		words += fmt.Sprintf(" %d of %s cannot be assembled.", r.Unmade, report.CountOf(r.Drawn, "engine", "engines"))
	}
	if still > 0 {
		words += fmt.Sprintf(" No tolerance moves %s.", map[bool]string{true: "the one other", false: fmt.Sprintf("the %d others", still)}[still == 1])
	}
	if r.Stopped {
		return words + " It was stopped before all was tried."
	}
	return words + r.leversText() + r.told() + r.fewer()
}

// told tells how many of the engines drawn were solved, and that no more were.
func (r *Spread) told() string {
	if r.Cut {
		return fmt.Sprintf(" Of %d engines %d were drawn: so many as %d of these were in doubt, and no more are solved.", r.Samples, r.Drawn, r.Solved)
	}
	switch {
	case r.Drawn == 0 || r.Solved == r.Drawn:
		return ""
	case r.glanced:
		return fmt.Sprintf(" Of %d engines drawn %d %s solved.", r.Drawn, r.Solved, report.WereOf(r.Solved))
	case r.Solved == 0:
		return report.Counted(" The proof tells of {the engine|all %[1]d engines} drawn.", r.Drawn)
	}
	return fmt.Sprintf(" Of %d engines drawn %d %s in doubt and solved; the proof tells of the others.", r.Drawn, r.Solved, report.WereOf(r.Solved))
}

// tightPins says what play has nothing to do with.
func (r *Spread) tightPins() string {
	if len(r.e.Problem.Plays) > 0 && slices.ContainsFunc(r.Checks, func(c spreadCheck) bool { return c.Kind == "keep" }) {
		return " A keep line is judged with tight pins."
	}
	return ""
}

// allowing names tolerances and plays, and what they do.
func (r *Spread) allowing() string {
	words, plays := report.CountOf(len(r.Tolerances), "tolerance", "tolerances"), len(r.e.Problem.Plays)
	switch {
	case plays > 0:
		return words + " and " + report.CountOf(plays, "play", "plays") + " allow"
	case len(r.Tolerances) == 1:
		return words + " allows"
	}
	return words + " allow"
}

// allProved reports whether every check is proved to hold in every engine.
func (r *Spread) allProved() bool {
	return !slices.ContainsFunc(r.Checks, func(s spreadCheck) bool { return !s.holds && !s.leftOut() })
}

// open reports the checks that are not proved for every size.
func (r *Spread) open() string {
	var names []string
	all := r.pairsOnce()
	for _, s := range all {
		if !s.holds && !s.leftOut() {
			names = append(names, s.Named)
		}
	}
	return fmt.Sprintf("; %d of %d %s not proved for every size between: %s", len(names), len(all), report.WereOf(len(names)), report.Few(names, ", "))
}

// allHold says that everything holds, or how much of it was only sampled.
func (r *Spread) allHold() string {
	n, names := 0, []string(nil)
	for _, s := range r.pairsOnce() {
		if s.leftOut() {
			continue
		}
		if n++; s.Sure != solver.Proved.String() && !s.apart {
			names = append(names, s.Named)
		}
	}
	if len(names) == 0 {
		return "Everything holds"
	}
	return report.OnlyLooked(n, names)
}

// fewer reports checks that were not tried in every engine drawn.
func (r *Spread) fewer() string {
	n := 0
	for i := range r.Checks {
		if k := r.Checks[i].Drawn; k > 0 && k < r.Drawn {
			n = k
		}
	}
	if n == 0 {
		return ""
	}
	return fmt.Sprintf(" Checks that keep more than half of their room were tried on %d engines.", n)
}

// nowShort reports checks that fall short as it is.
func (r *Spread) nowShort() string {
	n := 0
	for i := range r.Checks {
		if !r.Checks[i].OKNow {
			n++
		}
	}
	if n == 0 {
		return ""
	}
	return fmt.Sprintf(" %s short as it is.", report.CountOf(n, "check falls", "checks fall"))
}

// nowBroken tells that the engine does not go round as it is.
func (r *Spread) nowBroken() string {
	if r.Assembled {
		return ""
	}
	return " As it is it cannot be assembled all the way round: check tells where."
}

// likeliest is the check that falls short most often.
func (r *Spread) likeliest() *spreadCheck {
	var best *spreadCheck
	most := 0.0
	for i := range r.Checks {
		if s := &r.Checks[i]; s.Drawn > 0 && float64(s.FallsShort) > most && !math.IsNaN(float64(s.FallsShort)) {
			best, most = s, float64(s.FallsShort)
		}
	}
	return best
}
