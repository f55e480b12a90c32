package variants

import (
	"cmp"
	"fmt"
	"path"
	"slices"
	"strings"

	"barover/render/report"
	"barover/render/report/figures"
	"barover/render/terminal"
	"barover/sketch/quantity"
	"barover/solver"
	"barover/solver/linkage"
	"barover/solver/mend"
)

// Text is the ways to read, the best first.
func (r *Mending) Text(c terminal.Ink) string {
	var b strings.Builder
	b.WriteString(report.Title(r.e, "") + "\n")
	b.WriteString(terminal.Paragraph(r.now(), ""))
	for i := range r.Ways {
		w := &r.Ways[i]
		b.WriteString("\n")
		for k, l := range terminal.Folded(r.sentenceOf(w), "   ", terminal.Width) {
			if k == 0 {
				l = fmt.Sprintf("%-3d", i+1) + strings.TrimPrefix(l, "   ")
			}
			b.WriteString(c.In(terminal.Green, l) + "\n")
		}
		for _, text := range r.details(w) {
			b.WriteString(terminal.Paragraph(text, "   "))
		}
		for _, l := range r.lines(w) {
			b.WriteString("       " + l + "\n")
		}
	}
	b.WriteString("\n")
	for _, text := range r.fightText() {
		b.WriteString(terminal.Paragraph(text, "   "))
	}
	b.WriteString(c.Verdict(r.Status() == report.AllHolds, r.sentence()))
	return b.String()
}

// Markdown is the same, to be kept beside the sketch.
func (r *Mending) Markdown() string {
	var b strings.Builder
	esc := terminal.Escaped
	b.WriteString("# " + esc(cmp.Or(r.e.Title, path.Base(r.Sketch))) + "\n\n" + esc(r.now()) + "\n")
	for i := range r.Ways {
		w := &r.Ways[i]
		fmt.Fprintf(&b, "\n## Way %d\n\n%s\n", i+1, esc(r.sentenceOf(w)))
		for _, text := range r.details(w) {
			b.WriteString("\n" + esc(text) + "\n")
		}
		b.WriteString("\n" + "```" + "\n" + strings.Join(r.lines(w), "\n") + "\n" + "```" + "\n")
	}
	for _, text := range r.fightText() {
		b.WriteString("\n" + esc(text) + "\n")
	}
	b.WriteString("\n**" + esc(r.sentence()) + "**\n")
	return b.String()
}

// now says what falls short.
func (r *Mending) now() string {
	if r.Holds {
		if len(r.looking) > 0 {
			return report.OnlyLooked(len(r.e.Problem.Once(r.a.Before.Findings)), r.looking) + "."
		}
		return report.AllOf(len(r.e.Problem.Once(r.a.Before.Findings)), "holds.", "hold.")
	}
	var words []string
	if r.short > 0 {
		words = append(words, report.InWords(r.short, "check falls", "checks fall")+" short: "+report.WithPlaces(report.Once(r.Short))+".")
	}
	if b := r.a.Before.Broken; len(b) > 0 {
		words = append(words, "It cannot be assembled all the way round: "+brokenInWords(report.NewReporter(r.e), &b[0])+".")
	}
	return strings.Join(words, " ")
}

// sentenceOf says what a way is: "Two changes mend all five: bar_rear 7 7/8 for 7 5/8, …; nothing finished is touched."
func (r *Mending) sentenceOf(w *mendWay) string {
	var changes []string
	for _, c := range w.Changes {
		text := c.Dim + " " + c.To.Size(r.e.Units, c.kind) + " for " + c.From.Size(r.e.Units, c.kind)
		if c.made {
			text += " (made)"
		}
		changes = append(changes, text)
	}
	mends := report.InWords(len(w.Changes), "change mends", "changes mend") + " " + r.all()
	if !w.Proved {
		mends = "With " + strings.ToLower(report.InWords(len(w.Changes), "change", "changes")) + " nothing falls short, which is not all proved"
	}
	finished := "nothing finished is touched"
	if len(w.Remade) > 0 {
		finished = strings.Join(w.Remade, ", ") + " must be made again"
	}
	return mends + ": " + strings.Join(changes, ", ") + "; " + finished + "."
}

// all is how many checks fall short, all of which a way mends.
func (r *Mending) all() string {
	switch {
	case r.short <= 1:
		return "it"
	case r.short == 2:
		return "both"
	}
	return "all " + strings.ToLower(strings.TrimSuffix(report.InWords(r.short, "", ""), " "))
}

// details say what parts a way touches, how tight it leaves them, what it mends, and what it does to room elsewhere.
func (r *Mending) details(w *mendWay) (list []string) {
	if len(w.Parts) > 0 {
		list = append(list, "written with it: "+strings.Join(report.FewOf(w.Parts, report.MostUsers, "and %d more"), ", "))
	}
	if t := w.Tightest; t != nil {
		list = append(list, fmt.Sprintf("tightest then: %s, %s to spare", t.Named, t.Room.Read(r.e.Units, report.NewReporter(r.e).KindOfCheck(w.way.Tightest))))
	}
	if len(r.a.Before.Broken) > 0 {
		list = append(list, "it can then be assembled all the way round"+report.Looked(len(r.e.Problem.Travels))+", which it cannot now")
	}
	if p := w.way.Passes; len(p) > 0 && len(r.a.Before.Passes) == 0 {
		list = append(list, r.passing(&p[0]))
	}
	if text := r.mended(w.way); text != "" {
		list = append(list, "mended: "+text)
	}
	if text := r.elsewhere(w.way); text != "" {
		list = append(list, "less room elsewhere: "+text)
	}
	return list
}

// passing says which change point a way passes, or misses by little.
func (r *Mending) passing(p *solver.Pass) string {
	at := r.e.Problem.Turn.Name + " " + figures.Of(r.e.Units, p.Turn, quantity.Angle).Read(r.e.Units, quantity.Angle) + "°"
	if p.Way != linkage.Straight {
		return "it then misses a change point by little, at " + at + ": check tells more"
	}
	return "it then passes a change point at " + at + ", where it can go either way"
}

const (
	mostElsewhere = 3    // number of checks reported to lose room
	lossTold      = 0.05 // the share of its room that a check must lose to be reported
)

// moved is a check of a way: its margin before, how it comes out then, and how much what it loses matters.
type moved struct {
	was    float64
	is     solver.Judgement
	weight float64
}

// mended says which checks a way mends, and the room of each before and then; "" for one that is named as the tightest.
func (r *Mending) mended(m *mend.Way) string {
	var list []moved
	for i := range m.Findings {
		if was, is := r.e.Problem.Judge(&r.a.Before.Findings[i]), r.e.Problem.Judge(&m.Findings[i]); solver.Change(&was, &is) == solver.Mended {
			list = append(list, moved{was.Margin, is, 0})
		}
	}
	if len(list) == 1 && list[0].is.Finding.Check == m.Tightest {
		return ""
	}
	return strings.Join(report.FewOf(r.fromTo(list), report.MostUsers, "and %d more"), "; ")
}

// elsewhere says which checks that hold lose much of their room, the most first.
func (r *Mending) elsewhere(m *mend.Way) string {
	var list []moved
	for i := range m.Findings {
		was, is := r.e.Problem.Judge(&r.a.Before.Findings[i]), r.e.Problem.Judge(&m.Findings[i])
		if !was.OK || was.Apart || is.Apart || solver.Change(&was, &is) != solver.Worse {
			continue
		}
		if v := solver.Weight(&was, &is); v >= lossTold && was.Margin-is.Margin > was.Check.Meets() {
			list = append(list, moved{was.Margin, is, v})
		}
	}
	slices.SortStableFunc(list, func(a, b moved) int { return cmp.Compare(b.weight, a.weight) })
	words := r.fromTo(list)
	return strings.Join(words[:min(len(words), mostElsewhere)], "; ")
}

// fromTo names checks with their room before and then, a pair once.
func (r *Mending) fromTo(list []moved) (words []string) {
	w, told := report.NewReporter(r.e), map[solver.Subject]bool{}
	for _, l := range list {
		i := l.is.Finding.Check
		s := r.e.Problem.Subject(i)
		if told[s] {
			continue
		}
		told[s] = true
		k := w.KindOfCheck(i)
		read := func(v float64) string { return figures.Of(w.Units, v, k).Read(w.Units, k) }
		then := read(l.is.Margin)
		if l.is.Apart {
			then = l.is.State.String()
		}
		words = append(words, fmt.Sprintf("%s %s → %s", w.Name(i).Named, read(l.was), then))
	}
	return words
}

// lines are a way as it may be pasted into the sketch.
func (r *Mending) lines(w *mendWay) []string { return append(r.planLines(w), r.caseLine(w)) }

// fightText says which checks pull against one another, and what each takes.
func (r *Mending) fightText() (list []string) {
	f := r.a.Fight
	if f == nil {
		return nil
	}
	for k, i := range f.Checks {
		var takes []string
		for _, t := range f.Takes {
			if t.Check != i {
				continue
			}
			d := &r.e.Dims[t.Dim]
			word, bound := "takes", "at most"
			if t.Now {
				word = "allows"
			}
			if t.AtLeast {
				bound = "at least"
			}
			takes = append(takes, fmt.Sprintf("%s %s %s about %s", word, d.Name, bound, figures.Of(r.e.Units, t.Value, d.Kind).Read(r.e.Units, d.Kind)))
		}
		text := r.Fight[k].Named + ", " + r.Fight[k].Place
		if len(takes) > 0 {
			text += ", " + strings.Join(takes, "; or ")
		}
		list = append(list, text)
	}
	return list
}

// sentence says how it all came out.
func (r *Mending) sentence() string {
	more := ""
	switch {
	case r.a.Stopped:
		more = " It was stopped before all was tried."
	case r.a.Cut && len(r.Ways) == 0:
		more = " Not all was tried that might serve: name dimensions with --with, or leave some out with --without."
	}
	switch n := len(r.Ways); {
	case r.Holds:
		return "There is nothing to mend."
	case n == 1:
		return "One way out." + more + r.written("it", "a case")
	case n > 1:
		return report.InWords(n, "way out", "ways out") + ", the best first." + more + r.written("them", "cases")
	case r.a.Stopped:
		return "No way was found until then." + more
	case r.a.Fight == nil:
		return fmt.Sprintf("No way was found; %s solved%s.", report.CountOf(r.Looked, "engine was", "engines were"), r.unmade()) + more
	}
	return r.fightSentence() + more
}

// unmade says how many of the engines that were solved do not go round; "" where all do.
func (r *Mending) unmade() string {
	if r.Unmade == 0 {
		return ""
	}
	return fmt.Sprintf(", of which %d cannot be assembled all the way round", r.Unmade)
}

// written says that the ways stand in the sketch, or what puts them there.
func (r *Mending) written(them, cases string) string {
	if r.Written {
		return " The sketch has " + them + " as " + cases + " now."
	}
	return " --write puts " + them + " into the sketch as " + cases + "."
}

// fightSentence says that there is no way, as far as that is shown.
func (r *Mending) fightSentence() string {
	n := len(r.Fight)
	switch {
	case n == 1 && r.a.Fight.Proved && len(r.a.Fight.Takes) == 0:
		return "There is no way: none of the dimensions that may change has anything to do with " + r.Fight[0].Named + "."
	case n == 1 && r.a.Fight.Proved:
		return "There is no way: nothing that may change moves " + r.Fight[0].Named + " far enough, however far it was looked."
	case n == 1:
		return "No way was found: as far as slopes tell, nothing that may change moves " + r.Fight[0].Named + " far enough. That is not proved."
	case r.a.Fight.Proved:
		return "There is no way: these cannot hold together, however far it was looked."
	}
	return "No way was found: as far as slopes tell, these do not hold together. That is not proved."
}
