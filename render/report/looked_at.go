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

// A check that was only sampled is never in a sentence that says that all holds.

// lookedRows are those of rows that rest on looking.
func lookedRows(rows []*row) []*row {
	return slices.DeleteFunc(slices.Clone(rows), func(a *row) bool { return a.judged.State != solver.HoldsWhereSeen })
}

// OnlyLooked says of n checks of which nothing falls short that some, by their names, were only sampled.
func OnlyLooked(n int, names []string) string {
	listed := Few(names, ", ")
	switch k := len(names); {
	case n == 1:
		return "Nothing falls short; the one check was only looked at, not proved"
	case k == n && n == 2:
		return "Nothing falls short; both checks were only looked at, not proved"
	case k == n:
		return fmt.Sprintf("Nothing falls short; all %d checks were only looked at, not proved", n)
	default:
		return fmt.Sprintf("Nothing falls short; %d of %d %s only looked at, not proved: %s", k, n, WereOf(k), listed)
	}
}

// subjects are what rows are about.
func subjects(rows []*row) (names []string) {
	for _, a := range rows {
		names = append(names, a.named)
	}
	return names
}

// others reports the checks that do not fall short where some do.
func others(holds []*row) string {
	looked := lookedRows(holds)
	switch n, k := len(holds), len(looked); {
	case n == 0:
		return ""
	case k == 0 && n == 1:
		return "One other check holds"
	case k == 0:
		return fmt.Sprintf("The other %d checks hold", n)
	case n == 1:
		return "One other check was only looked at, not proved"
	case k == n:
		return fmt.Sprintf("The other %d checks were only looked at, not proved", n)
	default:
		return fmt.Sprintf("Of the other %d checks %s, and %d %s only looked at, not proved: %s", n, Counted("%d {holds|hold}", n-k), k, WereOf(k), Few(subjects(looked), ", "))
	}
}

// UnprovedSpan is a stretch of the turn over which nothing is proved, and why.
type UnprovedSpan struct {
	span
	Travel []travelSpan `json:"travel,omitempty"` // the part of the travels for which that goes; all of them without it
	Why    string       `json:"why"`
}

// travelSpan is a part of a travel.
type travelSpan struct {
	Name string `json:"name"`
	span

	text string
}

// Unproved are the stretches of a finding over which nothing is proved. Without a turn each is from 0 to 0.
func (w Reporter) Unproved(f *solver.Finding) []UnprovedSpan {
	return figures.Each(f.Unproved, func(u *solver.Unproved) UnprovedSpan {
		s := UnprovedSpan{Why: u.Why.String()}
		if w.Engine.Problem.Turn.Stmt >= 0 {
			s.span = w.span(u.Interval)
		}
		for k, r := range u.Travel {
			s.Travel = append(s.Travel, w.travelSpan(k, r))
		}
		return s
	})
}

func (w Reporter) travelSpan(k int, r solver.Interval) travelSpan {
	t := &w.Engine.Problem.Travels[k]
	kind := quantity.KindOf(t.Angle, t.Number)
	s := travelSpan{Name: t.Name, span: span{figures.Of(w.Units, r.From, kind), figures.Of(w.Units, r.To, kind)}}
	s.text = t.Name + " " + s.From.Read(w.Units, kind)
	if s.From != s.To {
		s.text += " to " + s.To.Read(w.Units, kind)
	}
	return s
}

// ListTried adds to each check that moves, for a program that reads the answers, where it was only tried to assemble the parts. There
// may be a position that no step met, so the check is not proved. A person reads it once, at the end of the text.
func (r *Report) ListTried() {
	var list []UnprovedSpan
	for _, b := range r.Broken {
		for _, over := range b.tried {
			u := UnprovedSpan{span: over, Why: "no position was found there step by step, and that there is none is not proved"}
			for _, n := range b.Travel {
				u.Travel = append(u.Travel, travelSpan{Name: n.Name, span: span{n.Value, n.Value}})
			}
			list = append(list, u)
		}
	}
	for i := range r.Checks {
		if a := &r.Checks[i]; len(list) > 0 && !a.still() && !a.apart() {
			a.Unproved, a.Sure = slices.Concat(a.Unproved, list), solver.Sampled.String()
		}
	}
}

// notProved says over what answers are not proved, and why. Stretches with the same reason stand together, joined where they meet.
func (r *Report) notProved(unproved []UnprovedSpan) (parts []string) {
	var list []UnprovedSpan
	for _, u := range unproved {
		u.Why = terminal.OneLine(u.Why)
		list = append(list, u)
	}
	slices.SortStableFunc(list, func(a, b UnprovedSpan) int { return cmp.Compare(a.From, b.From) })
	for len(list) > 0 {
		why, of := list[0].Because(), []span(nil)
		var rest []UnprovedSpan
		for _, u := range list {
			switch n := len(of) - 1; {
			case u.Because() != why:
				rest = append(rest, u)
			case n >= 0 && u.From <= of[n].To:
				of[n].To = max(of[n].To, u.To)
			default:
				of = append(of, u.span)
			}
		}
		over := "not proved from " + stretches(r, of)
		if r.fixed {
			over = "not proved"
		}
		parts, list = append(parts, over+why), rest
	}
	return parts
}

// Because is the reason, behind where the travels stand if it goes for a part of them only.
func (u *UnprovedSpan) Because() string {
	if words := figures.Each(u.Travel, func(t *travelSpan) string { return t.text }); len(words) > 0 {
		return " at " + strings.Join(words, ", ") + ": " + u.Why
	}
	return ": " + u.Why
}
