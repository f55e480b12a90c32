package main

import (
	"fmt"
	"strings"

	"barover/sketch"
)

// holds reports whether every check holds and the parts assemble all the way round.
func (r *report) holds() bool {
	for i := range r.Checks {
		if !r.Checks[i].OK {
			return false
		}
	}
	return r.Assembled
}

// status is what a verb ends with that judges the checks.
func (r *report) status() int {
	if r.holds() {
		return allHolds
	}
	return fallsShort
}

// caution says what the answers do not claim; nothing where all of them are proved.
func (r *report) caution() string {
	for i := range r.Checks {
		if a := &r.Checks[i]; a.Sure == "sampled" && !a.apart {
			return "sampled: looked at position by position and refined between them. A touch over a narrower stretch of the " +
				"turn than that may have been missed."
		}
	}
	return ""
}

// sentence says how it all came out.
func (r *report) sentence() string {
	short, holds := r.rows()
	n := len(short) + len(holds)
	var words string
	switch {
	case n == 0 && len(r.Checks) == 0:
		words = "Nothing is asked: the sketch has no clear, gap or keep line."
	case n == 0:
		words = "No two of the profiles asked about ever share a band across: nothing can touch."
	case len(short) == 0:
		words = allOf(n, "holds", "hold") + r.nearest(holds[0])
	case n == 1:
		words = "The one check falls short: " + r.faults(short) + "."
	default:
		words = fmt.Sprintf("%d of %d checks %s: %s.", len(short), n, fall(len(short)), r.faults(short))
	}
	if r.Assembled {
		return words
	}
	b := &r.Broken[0]
	told := fmt.Sprintf("Cannot be assembled with %s from %s", r.Turn.Name, b.stretch(r))
	if n := len(r.Broken) - 1; n > 0 {
		told += fmt.Sprintf(", and over %d more", n)
	}
	return told + ". Where it can be: " + strings.ToLower(words[:1]) + words[1:]
}

func fall(n int) string {
	if n == 1 {
		return "falls short"
	}
	return "fall short"
}

func allOf(n int, one, many string) string {
	if n == 1 {
		return "The one check " + one
	}
	return fmt.Sprintf("All %d checks %s", n, many)
}

// nearest tells of the check that holds by least.
func (r *report) nearest(a *row) string {
	if a.apart {
		return "."
	}
	return fmt.Sprintf("; the tightest is %s: %s.", oneLine(a.subject()), r.worstAt(a))
}

// mostFaults is how many faults a sentence names.
const mostFaults = 2

func (r *report) faults(short []*row) string {
	var words []string
	for i, a := range short {
		if i == mostFaults {
			words = append(words, fmt.Sprintf("and %d more", len(short)-i))
			break
		}
		words = append(words, r.fault(a))
	}
	return strings.Join(words, "; ")
}

// fault tells what one check falls short by, and where.
func (r *report) fault(a *row) string {
	switch a.state() {
	case "no value":
		return oneLine(a.subject()) + " has no value over part of the turn"
	case "unknown":
		return "nothing is known of " + oneLine(a.subject())
	case "fouls":
		depth := figure(-a.Least)
		return fmt.Sprintf("%s fouls %s by %s%s", a.A, a.B, depth.read(r.units, a.kind), r.where(a))
	case "binds":
		return fmt.Sprintf("%s binds, %s", oneLine(a.subject()), r.worstAt(a))
	}
	return fmt.Sprintf("%s is %s, %s", oneLine(a.subject()), a.state(), r.worstAt(a))
}

func (r *report) worstAt(a *row) string {
	return a.worst().read(r.units, a.kind) + r.where(a)
}

// where is the position at which a check holds by least.
func (r *report) where(a *row) string {
	if len(a.At) == 0 || a.still() {
		return ""
	}
	words := " at " + a.At[0].value.read(r.units, sketch.Angle) + "°"
	if at := r.travels(a); at != "" {
		words += ", " + at
	}
	return words
}

// oneLine puts one blank where the text has any white space.
func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }
