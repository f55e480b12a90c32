package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"barover/sketch"
)

// row is one line of the table for reading: a check, or all clear lines that ask about the same pair, of which it shows
// the one that holds by least.
type row struct {
	*checkAnswer
	note  string
	lines []string // where the others of them stand

	beside *checkAnswer // the first of the others that has a note
}

// rows parts what falls short from what holds, the tightest first in both. Pairs of a clear line whose bands across never
// overlap are in neither: they stand under what was left out.
func (r *report) rows() (short, holds []*row) {
	pairs := map[[2]string]*row{}
	var all []*row
	for i := range r.Checks {
		a := &r.Checks[i]
		if a.apart && a.Kind == "clear" {
			continue
		}
		pair := [2]string{min(a.A, a.B), max(a.A, a.B)}
		if w := pairs[pair]; w != nil && a.Kind == "clear" {
			w.add(a)
			continue
		}
		w := &row{checkAnswer: a, note: a.Note}
		all = append(all, w)
		if a.Kind == "clear" {
			pairs[pair] = w
		}
	}
	for _, w := range all {
		if w.OK {
			holds = append(holds, w)
		} else {
			short = append(short, w)
		}
	}
	slices.SortStableFunc(short, compareRows)
	slices.SortStableFunc(holds, compareRows)
	return short, holds
}

// add takes in another line about the same pair.
func (w *row) add(a *checkAnswer) {
	if a.weight() < w.weight() {
		a, w.checkAnswer = w.checkAnswer, a
	}
	if w.note = w.Note; w.note == "" {
		w.note = noteBeside(w.OK, w.beside, a)
	}
	if w.beside == nil && a.Note != "" {
		w.beside = a
	}
	if !a.OK {
		w.lines = append(w.lines, a.line())
	}
}

// noteBeside is the note of the first of the other lines about a pair that has one. With the line of what falls short
// beside it, it says of which line it is.
func noteBeside(ok bool, others ...*checkAnswer) string {
	for _, a := range others {
		switch {
		case a == nil || a.Note == "":
		case ok:
			return a.Note
		default:
			return a.Note + " (" + a.line() + ")"
		}
	}
	return ""
}

// compareRows puts fouls first, and then the tighter one. A length cannot be weighed against an angle or a bare number:
// lengths come first.
func compareRows(a, b *row) int {
	clear := func(r *row) int {
		if r.state() == "fouls" {
			return 0
		}
		return 1
	}
	other := func(r *row) int {
		if r.kind.Is(sketch.Length) || r.apart {
			return 0
		}
		return 1
	}
	return cmp.Or(clear(a)-clear(b), other(a)-other(b), cmp.Compare(a.weight(), b.weight()))
}

// weight is the margin by which a check holds, for sorting: those without a number stand last, and first among those
// that fall short.
func (a *checkAnswer) weight() float64 {
	if !math.IsNaN(a.margin) {
		return a.margin
	}
	if a.OK {
		return math.Inf(1)
	}
	return math.Inf(-1)
}

// line is where the statement of a check stands.
func (a *checkAnswer) line() string {
	if a.place != "" {
		return a.place
	}
	if a.File != "" {
		return fmt.Sprintf("%s line %d", a.File, a.Line)
	}
	return fmt.Sprintf("line %d", a.Line)
}

// where is the line of a row, and the others that ask the same and fall short too.
func (w *row) where() string {
	if len(w.lines) == 0 {
		return w.line()
	}
	return w.line() + " and " + strings.Join(w.lines, ", ")
}

// state is how a check came out, in a word.
func (a *checkAnswer) state() string {
	switch {
	case a.apart:
		return "apart"
	case a.OK:
		return "holds"
	case a.Kind == "keep" && !(a.margin < 0): // it is within its limits wherever it has a value
		return "no value"
	case a.Least.missing():
		return "unknown"
	case a.Kind == "loose":
		return "binds"
	case a.Kind == "gap" && a.Least > a.AtMost:
		return "wide"
	case a.Kind == "keep" && a.high():
		return "high"
	case a.Kind == "keep":
		return "low"
	case a.Least < 0:
		return "fouls"
	}
	return "short"
}

// high reports whether a keep line is nearer to its upper limit, or farther beyond it, than to its lower one.
func (a *checkAnswer) high() bool {
	return !a.AtMost.missing() && (a.AtLeast.missing() || a.AtMost-a.Greatest < a.Least-a.AtLeast)
}

// worst is the figure where the check holds by least.
func (a *checkAnswer) worst() figure {
	if a.Kind == "keep" && a.high() || a.Kind == "loose" && a.Greatest > -a.Least {
		return a.Greatest
	}
	return a.Least
}

// still reports whether the figure is the same at every position, and so has no place where it is worst: it lies across
// the engine, or reads the same where it is least and where it is greatest.
func (a *checkAnswer) still() bool { return a.Kind == "gap" || a.level }

// asked is what the check asks.
func (a *checkAnswer) asked(u sketch.Units) string {
	least, most := a.AtLeast.size(u, a.kind), a.AtMost.size(u, a.kind)
	switch {
	case a.Kind == "loose":
		return "± " + most
	case a.AtLeast.missing() && a.AtMost.missing():
		return "≥ 0"
	case a.AtMost.missing():
		return "≥ " + least
	case a.AtLeast.missing():
		return "≤ " + most
	}
	return least + "…" + most
}

// subject is what the check is about.
func (a *checkAnswer) subject() string {
	switch a.Kind {
	case "clear":
		return a.A + "  " + a.B
	case "gap":
		return "gap " + a.A + "  " + a.B
	case "loose":
		return "loose " + a.A + " " + a.B
	}
	return "keep " + a.A
}
