package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"barover/render/report/figures"
	"barover/render/sheet"
	"barover/render/terminal"
	"barover/sketch/syntax"
	"barover/solver"
)

// asideAnswer is what was found of two profiles that no check asks about since their parts are pinned to each other.
type asideAnswer struct {
	Pin string `json:"pin"`
	*checkAnswer

	line string // what to write so that a check asks about them
}

// aside are the answers that stand beside the checks.
func (w Reporter) aside(res *solver.Result) (list []asideAnswer) {
	w.Engine = w.Engine.Asking(res)
	for i := range res.Aside {
		x := &res.Aside[i]
		a := w.check(&x.Finding)
		a.Named = a.about() // its note is not the sketch's
		pin := w.Engine.Problem.Linkage.Points[x.Pins[0]].Name
		list = append(list, asideAnswer{pin, &a, "clear " + a.A + " " + a.B + w.by(x.Check.Stmt)})
	}
	return list
}

// by is what a clear line asks, in its own words.
func (w Reporter) by(stmt int) string {
	file, s := w.Engine.Statement(stmt)
	if c, ok := s.(*syntax.Clear); ok && c.By != nil {
		return " by " + terminal.OneLine(file.SpanText(c.By.Where()))
	}
	return ""
}

// row is the answer as a line of a table.
func (a *asideAnswer) row() *row { return &row{checkAnswer: a.checkAnswer, Called: Call(a.CheckName)} }

// roundPin is two profiles of metal in one band that are taken for a pin and its eye.
type roundPin struct {
	parts, profiles [2]string
	pin             string
}

func (w Reporter) roundPin(p *solver.Pinned) (out roundPin) {
	q := w.Engine.Problem
	for k, i := range [2]int{p.Check.A, p.Check.B} {
		out.parts[k], out.profiles[k] = q.Linkage.Parts[q.Profiles[i].Part].Name, q.Profiles[i].Name
	}
	out.pin = q.Linkage.Points[p.Pins[0]].Name
	return out
}

// met are the pairs left out as pinned that come too near one another away from their pins, the worst first.
func (r *Report) met() (list []*asideAnswer) {
	for i := range r.Pinned {
		if !r.Pinned[i].OK {
			list = append(list, &r.Pinned[i])
		}
	}
	slices.SortStableFunc(list, func(a, b *asideAnswer) int { return a.judged.Compare(&b.judged) })
	return list
}

// asideSection is the table of the pairs tried beside the checks: those that are not clear and, with long, all of them.
func (r *Report) asideSection(long bool) terminal.Section {
	s := r.checksSection("Left out, yet not clear")
	for _, a := range r.met() {
		s.Rows = append(s.Rows, r.checkRow(a.row()))
	}
	if !long {
		return s
	}
	if len(s.Rows) < len(r.Pinned) {
		s.Title = "Left out, but looked at"
	}
	for i := range r.Pinned {
		if a := &r.Pinned[i]; a.OK {
			s.Rows = append(s.Rows, r.checkRow(a.row()))
		}
	}
	return s
}

// asideCounted says in brackets what became of the profiles of parts that are pinned to each other.
func (r *Report) asideCounted() string {
	n, eyes := len(r.Pinned), len(r.round)
	switch {
	case n == 0 && eyes == 0:
		return ""
	case n == 0:
		return fmt.Sprintf(" (%s of their profiles taken for pin and eye)", CountOf(eyes, "pair", "pairs"))
	}
	met, sampled := r.met(), false
	for i := range r.Pinned {
		sampled = sampled || r.Pinned[i].OK && r.Pinned[i].Sure == "sampled"
	}
	var found []string
	switch k := n - len(met); {
	case len(met) == 0:
		found = append(found, "clear")
	case k > 0:
		found = append(found, fmt.Sprintf("%d clear", k))
	}
	if sampled {
		found[0] += " where seen"
	}
	found = append(found, FirstFew(met, MostFaults, "%d more not clear", func(a *asideAnswer) string { return r.meeting(a, "") })...)
	if eyes > 0 {
		found[len(found)-1] += fmt.Sprintf("; %d taken for pin and eye", eyes)
	}
	return fmt.Sprintf(" (%s of their profiles looked at away from the pins: %s)", CountOf(n, "pair", "pairs"), strings.Join(found, ", "))
}

// meeting reports one pair that is not clear. What is in between is said of the two.
func (r *Report) meeting(a *asideAnswer, between string) string {
	two := a.A + " and " + a.B + between
	switch {
	case a.Least.Missing():
		return two + " may touch for all that is known"
	case a.Least < 0:
		depth := figures.Figure(-a.Least)
		return fmt.Sprintf("%s touch by %s%s", two, depth.Read(r.units, a.kind), r.where(a.row()))
	}
	return fmt.Sprintf("%s come within %s", two, r.worstAt(a.row()))
}

// warning reports what is not clear though no check asks about it, and what to write so that one does.
func (r *Report) warning() string {
	return strings.Join(FirstFew(r.met(), MostFaults, "and %d more", func(a *asideAnswer) string {
		return fmt.Sprintf("%s: write `%s`", r.meeting(a, ", left out because they are pinned at "+a.Pin+","), a.line)
	}), "; ")
}

// warned is a sentence with the warning, if there is one.
func (r *Report) warned(words string, holds bool) string {
	w := r.warning()
	switch {
	case w == "":
		return words
	case holds:
		return strings.TrimSuffix(words, ".") + ", but " + w + "."
	case len(r.Checks) == 0:
		return words + " But " + w + "."
	}
	return words + " Besides, " + w + "."
}

// worstAside is the least clear of the pairs tried beside the checks; nil where all are clear, or have no place.
func (r *Report) worstAside(res *solver.Result, drawn sheet.Pick) *solver.Finding {
	var worst *solver.Finding
	margin := math.Inf(1)
	for i := range res.Aside {
		if f := &res.Aside[i].Finding; !f.OK && len(r.Pinned[i].At) > 0 && r.Pinned[i].drawn(drawn) && r.Pinned[i].judged.Margin < margin {
			worst, margin = f, r.Pinned[i].judged.Margin
		}
	}
	return worst
}
