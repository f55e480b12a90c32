package main

import (
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"strings"

	"barover/sketch"
	"barover/sketch/syntax"
	"barover/solver"
	"barover/solver/change"
	"barover/solver/expr"
)

// unmakeable is why nothing can be made of a sketch with other values of its dimensions.
type unmakeable []syntax.Message

func (u unmakeable) Error() string { return u[0].Text }

// vary gives the solver the sketch with other values of its dimensions.
func vary(sk *sketch.Sketch) solver.Vary {
	return func(change map[int]float64) (*solver.Problem, *expr.Values, error) {
		p, v, messages := sk.With(change)
		if len(messages) > 0 {
			return nil, nil, unmakeable(messages)
		}
		return p, v, nil
	}
}

// inAnyMessages takes the faults of a sketch, or its messages with other values, out of an error.
func inAnyMessages(sk *sketch.Sketch, err error) ([]syntax.Message, error) {
	var u unmakeable
	if errors.As(err, &u) {
		return u, nil
	}
	return inMessages(sk, err)
}

// engineOf is a sketch as packages that solve it again and again want it.
func engineOf(e *engine) *change.Engine {
	out := &change.Engine{Problem: e.Problem, Values: e.Values, Vary: vary(e.Sketch)}
	w := reporter{e, e.Units}
	for i := range e.Problem.Checks {
		n := w.name(i)
		a, b := n.A, n.B
		if n.Kind != "keep" {
			a, b = min(a, b), max(a, b)
		}
		file, s := e.Statement(e.Problem.Checks[i].Stmt)
		out.About = append(out.About, strings.Join([]string{n.Kind, a, b}, "\x00"))
		out.Line = append(out.Line, oneLine(file.SpanText(s.Where())))
	}
	return out
}

// checkName says which check is meant.
type checkName struct {
	File string `json:"file,omitempty"` // where the line stands, unless in the sketch itself
	Line int    `json:"line"`
	Kind string `json:"kind"`
	A    string `json:"a"`
	B    string `json:"b"`
	Note string `json:"note,omitempty"`
}

func (w reporter) name(check int) checkName {
	c := &w.e.Problem.Checks[check]
	n := checkName{Kind: c.Kind.String(), Note: c.Note}
	n.File, n.Line = w.line(c.Stmt)
	n.A, n.B = w.names(c)
	return n
}

// key is the same for checks that are one to whoever reads: clear lines that ask about the same pair.
func (n checkName) key() string {
	if n.Kind == "clear" {
		return "clear " + min(n.A, n.B) + " " + max(n.A, n.B)
	}
	return fmt.Sprint(n.Kind, " ", n.File, " ", n.Line, " ", n.A, " ", n.B)
}

// once are checks with one for each pair that several lines ask about.
func once(list []checkName) (some []checkName) {
	seen := map[string]bool{}
	for _, n := range list {
		if !seen[n.key()] {
			seen[n.key()] = true
			some = append(some, n)
		}
	}
	return some
}

// subject is what the check is about, as the table of check has it.
func (n checkName) subject() string {
	return (&checkAnswer{Kind: n.Kind, A: n.A, B: n.B}).subject()
}

// where is the line of the check.
func (n checkName) where() string {
	return (&checkAnswer{File: n.File, Line: n.Line}).line()
}

// kindOfCheck is the kind of a check's figure.
func (w reporter) kindOfCheck(check int) sketch.Kind {
	c := &w.e.Problem.Checks[check]
	return kindOf(c.Angle, c.Number)
}

// size writes a dimension for reading: in inches as a fraction where it is one, as drawings have it.
func size(u sketch.Units, v float64, k sketch.Kind) string {
	if math.IsNaN(v) {
		return "–"
	}
	if u.Inches && k.Is(sketch.Length) {
		if text, exact := sketch.Fraction(v); exact {
			return text
		}
	}
	return out(u, v, k).read(u, k)
}

// signed writes by how much something changes, with its sign.
func signed(text string) string {
	if text == "–" || strings.HasPrefix(text, "-") || strings.Trim(text, "0.") == "" {
		return text
	}
	return "+" + text
}

// title is the head of a table: the sketch's title, and which values count.
func title(e *engine, more string) string {
	unit := "mm"
	if e.Units.Inches {
		unit = "inches"
	}
	lines := folded(filepath.ToSlash(e.Path)+" "+valuesInWords(e.Sketch)+more+"; "+unit+" and degrees", "", page)
	if e.Title != "" {
		lines = append([]string{e.Title}, lines...)
	}
	return strings.Join(lines, "\n") + "\n"
}
