package report

import (
	"context"
	"fmt"
	"strings"

	screen "barover/render/page"
	"barover/sketch/assembled"
	"barover/solver"
)

// AnswersOf are the rows of a report as a page has them: what falls short, then what is left out and yet not clear, then
// what holds. Pairs that never pass one another are none.
func AnswersOf(r *Report, e *assembled.Engine, res *solver.Result) []screen.Answer {
	short, holds := r.rows()
	aside := map[*checkAnswer]*solver.Finding{}
	for i := range r.Pinned {
		aside[r.Pinned[i].checkAnswer] = &res.Aside[i].Finding
	}
	checks := res.Asked(e.Problem).Checks
	list, seen := []screen.Answer{}, map[string]int{}
	add := func(w *row, f *solver.Finding, more ...string) {
		a := r.pageAnswer(w)
		a.More = append(append([]string{}, more...), a.More...)
		a.Placed(&checks[f.Check], f, w.Kind != "gap" && (w.still() || w.stays))
		if n := seen[a.Key]; n > 0 {
			a.Key += fmt.Sprint(" ", n+1)
		}
		seen[a.Key]++
		list = append(list, a)
	}
	for _, w := range short {
		add(w, w.judged.Finding)
	}
	for _, a := range r.met() {
		add(a.row(), aside[a.checkAnswer], "left out because they are pinned at "+a.Pin+": write "+a.line)
	}
	for _, w := range holds {
		add(w, w.judged.Finding)
	}
	return list
}

// AnswersSoFar are the rows of the findings that are there while others are still being proved.
func AnswersSoFar(e *assembled.Engine, have []solver.Finding) []screen.Answer {
	res := &solver.Result{Findings: make([]solver.Finding, len(e.Problem.Checks))}
	for i := range res.Findings {
		res.Findings[i] = solver.Finding{Check: i, OK: true, Apart: true}
	}
	for _, f := range have {
		res.Findings[f.Check] = f
	}
	r := New(e, res)
	r.told = e.Problem.Once(have)
	return AnswersOf(r, e, res)
}

// BelowSentence is what a page says below the sentence: how sure the answers are, what they do not claim, and what it warns of. It
// leaves out parts that stretch where ctx ends.
func BelowSentence(ctx context.Context, r *Report, e *assembled.Engine) string {
	words := []string{r.Surety(), r.Caution()}
	warnings, _ := Warnings(ctx, e)
	for _, m := range warnings {
		line, _ := m.File.Place(m.Span.Start)
		words = append(words, "Warning, "+NewReporter(e).placeIn(m.File.Path, line)+": "+strings.TrimPrefix(m.Text, "warning: ")+".")
	}
	return Joined(" ", words...)
}

// pageAnswer is a row in words.
func (r *Report) pageAnswer(w *row) screen.Answer {
	worst := w.worst(r.units)
	a := screen.Answer{State: w.judged.State.String(), OK: w.OK, Sure: w.Sure, Kind: w.Kind, Subject: w.Title,
		Worst: worst.Read(r.units, w.kind), Asked: w.asked(r.units), More: []string{}, Place: strings.TrimPrefix(r.where(w), " at ")}
	if w.Also != "" {
		a.Note, a.Subject = w.Title, w.Also
	}
	a.Subject = strings.ReplaceAll(a.Subject, "  ", " – ")
	switch {
	case w.judged.OfPair():
		a.Key = w.Kind + " " + min(w.A, w.B) + " " + max(w.A, w.B)
	case w.Named != "":
		a.Key = w.Kind + " " + w.Named
	default:
		a.Key = w.Kind + " " + w.A + " " + w.B
	}
	if near := worst.Near(r.units, w.kind); near != "" && !w.apart() {
		a.Worst += "  " + near
	}
	if w.OK {
		a.More = append(a.More, w.Place)
	}
	a.More = append(a.More, r.particulars(w)...)
	if w.NoValue != nil {
		a.More = append(a.More, w.NoValue.text(r))
	}
	if words, command := r.remedies(w); words != "" {
		a.More = append(a.More, Joined(" ", words, command))
	}
	return a
}
