package variants

import (
	"fmt"
	"slices"
	"strings"

	"barover/render/report"
	"barover/render/report/figures"
	"barover/render/terminal"
	"barover/sketch"
	"barover/sketch/assembled"
	"barover/sketch/syntax"
)

// NearestDim offers the dimension that somebody may have meant, or says what else has the name.
func NearestDim(sk *sketch.Sketch, name string) string {
	if name == sk.Problem.Turn.Name {
		return ": it is the turn"
	}
	for i := range sk.Problem.Travels {
		if name == sk.Problem.Travels[i].Name {
			return ": it is a travel, which goes through its whole range"
		}
	}
	for i := range sk.Problem.Measures {
		if name == sk.Problem.Measures[i].Name {
			return ": it is a measure, which follows from the dimensions"
		}
	}
	names := figures.Each(sk.Dims, func(d *sketch.Dim) string { return d.Name })
	near := syntax.Nearest(name, names)
	for _, n := range names {
		if near == "" && len(name) > 2 && (strings.Contains(n, name) || strings.Contains(name, n)) {
			near = n
		}
	}
	if near == "" {
		return ""
	}
	return ": did you mean " + near + "?"
}

// ChecksMeant finds the checks that the words of a line stand for: its kind and what it is about, in either order, a part
// for all its profiles; or its number, its note, or what else it is called. No words, "", stand for all checks: nil.
func ChecksMeant(e *assembled.Engine, words string) ([]int, error) {
	if words == "" {
		return nil, nil
	}
	fields := strings.Fields(words)
	var out []int
	w := report.NewReporter(e)
	for i := range e.Problem.Checks {
		n := w.Name(i)
		if isMeant(&n, words) || len(fields) == 2 && fields[0] == "clear" && fields[1] == "all" && ofAll(w, i) {
			out = append(out, i)
		}
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("--for %q: the sketch has no such check; write its note, the line as it stands there, such as --for \"clear conrod frame\", or --for \"line 40\"", words)
	}
	return out, nil
}

// ofAll reports whether a check is of a `clear all` line.
func ofAll(w report.Reporter, check int) bool {
	_, s := w.Engine.Statement(w.Engine.Problem.Checks[check].Stmt)
	k, ok := s.(*syntax.Clear)
	return ok && k.All
}

func isMeant(n *report.CheckName, words string) bool {
	fields := strings.Fields(words)
	if terminal.OneLine(words) == n.Named || n.Note != "" && terminal.OneLine(words) == terminal.OneLine(n.Note) {
		return true
	}
	if len(fields) == 2 && fields[0] == "line" {
		return n.File == "" && fields[1] == fmt.Sprint(n.Line)
	}
	if len(fields) > 2 && fields[len(fields)-2] == "–" { // as answers name a pair
		if fields = slices.Delete(slices.Clone(fields), len(fields)-2, len(fields)-1); len(fields) == 2 {
			fields = append([]string{n.Kind}, fields...)
		}
	}
	if len(fields) < 2 || fields[0] != n.Kind {
		return false
	}
	if n.Kind == "keep" {
		return strings.Join(fields[1:], "") == strings.Join(strings.Fields(n.A), "")
	}
	if len(fields) != 3 {
		return false
	}
	of := func(name, word string) bool { return name == word || strings.HasPrefix(name, word+".") }
	return of(n.A, fields[1]) && of(n.B, fields[2]) || of(n.A, fields[2]) && of(n.B, fields[1])
}
