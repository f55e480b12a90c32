package report

import (
	"path/filepath"
	"strings"

	"barover/render/report/figures"
	"barover/render/terminal"
	"barover/sketch/assembled"
	"barover/sketch/quantity"
	"barover/solver"
	"barover/solver/change"
)

// EngineOf is a sketch as packages that solve it again and again want it.
func EngineOf(e *assembled.Engine) *change.Engine {
	out := &change.Engine{Problem: e.Problem, Values: e.Values, Vary: assembled.Vary(e.Sketch)}
	w := NewReporter(e)
	for i := range e.Problem.Checks {
		n := w.Name(i)
		a, b := n.A, n.B
		if n.Kind != "keep" {
			a, b = min(a, b), max(a, b)
		}
		file, s := e.Statement(e.Problem.Checks[i].Stmt)
		out.About = append(out.About, strings.Join([]string{n.Kind, a, b}, "\x00"))
		out.Line = append(out.Line, terminal.OneLine(file.SpanText(s.Where())))
	}
	return out
}

// CheckName says which check is meant.
type CheckName struct {
	File  string `json:"file,omitempty"` // where the line stands, unless in the sketch itself
	Line  int    `json:"line"`
	Kind  string `json:"kind"`
	A     string `json:"a"`
	B     string `json:"b"`
	Note  string `json:"note"`
	Named string `json:"named"` // what it is called in words

	Subject solver.Subject `json:"-"`
	Place   string         `json:"-"` // where the line stands, for reading
	under   string         // the name under which its file is taken in
	kept    string         // the note of the measure that it keeps
}

func (w Reporter) Name(check int) CheckName {
	c := &w.Engine.Problem.Checks[check]
	n := CheckName{Kind: c.Kind.String(), Note: c.Note, Subject: w.Engine.Problem.Subject(check), Place: w.place(c.Stmt),
		under: w.Engine.Under(c.Stmt)}
	n.File, n.Line = w.line(c.Stmt)
	if m := w.Engine.Problem.Kept(check); m != nil {
		n.kept = m.Note
	}
	n.A, n.B = w.names(c)
	switch n.Named = w.Engine.Problem.Called(check); {
	case n.Named == "":
		n.Named = n.about()
	case c.Note != "" && w.Engine.Noted()[c.Note] > 1:
		n.Named += " (" + n.about() + ")"
	}
	return n
}

// about is what a check is about, in one line.
func (n *CheckName) about() string {
	switch n.Kind {
	case "clear":
		return n.A + " – " + n.B
	case "gap", "loose":
		return n.Kind + " " + n.A + " – " + n.B
	}
	if n.under != "" { // the names in the sum are those of its own file
		return n.under + ": " + n.Kind + " " + n.A
	}
	return n.Kind + " " + n.A
}

// Called is what a check is called for reading, where several lines may ask the same.
type Called struct {
	named string // in a sentence
	Title string `json:"-"` // over its figures
	Also  string `json:"-"` // and below them
	Of    string `json:"-"` // where the line stands that has the name, if that is another than the line reported
}

// Call finds what a check is called by its own line, and by others about the same pair. A note that is its alone tells most, then
// one that several checks have, which says less than what each is about.
func Call(own CheckName, others ...CheckName) Called {
	best, of := own, ""
	for _, n := range others {
		if n.telling() > best.telling() {
			best, of = n, n.Place
		}
	}
	c := Called{named: best.Named, Title: best.Named, Also: best.kept, Of: of}
	switch best.telling() {
	case 2:
		c.Also = own.about()
	case 1:
		c.Title, c.Also = own.about(), best.Note
	}
	return c
}

// telling is how much the note of a check tells.
func (n *CheckName) telling() int {
	switch {
	case n.Note == "":
		return 0
	case n.Named == n.Note:
		return 2
	}
	return 1
}

// Once are checks with one for each pair that several lines ask about.
func Once(list []CheckName) (some []CheckName) {
	seen := map[solver.Subject]bool{}
	for _, n := range list {
		if !seen[n.Subject] {
			seen[n.Subject] = true
			some = append(some, n)
		}
	}
	return some
}

// NamedOnce returns the names of checks, with one name for a pair that several lines ask about.
func NamedOnce(list []CheckName) []string {
	return figures.Each(Once(list), func(n *CheckName) string { return n.Named })
}

// WithPlaces are the names of the first few checks, each with the place of its line.
func WithPlaces(list []CheckName) string {
	return Few(figures.Each(list, func(n *CheckName) string { return n.Named + ", " + n.Place }), "; ")
}

// Names returns the names of several checks, given by number.
func (w Reporter) Names(checks []int) []CheckName {
	return figures.Each(checks, func(i *int) CheckName { return w.Name(*i) })
}

// KindOfCheck is the kind of a check's figure.
func (w Reporter) KindOfCheck(check int) quantity.Kind {
	c := &w.Engine.Problem.Checks[check]
	return quantity.KindOf(c.Angle, c.Number)
}

// Size writes a dimension for reading: in inches as a fraction where it is one, as drawings have it.
func Size(u quantity.Units, v float64, k quantity.Kind) string {
	if text, ok := u.AsFraction(v, k); ok {
		return text
	}
	return figures.Of(u, v, k).Read(u, k)
}

// signed writes by how much something changes, with its sign.
func signed(text string) string {
	if text == "–" || strings.HasPrefix(text, "-") || strings.Trim(text, "0.") == "" {
		return text
	}
	return "+" + text
}

// Title is the head of a table: the sketch's title, and which values count.
func Title(e *assembled.Engine, more string) string {
	return headed(e.Title, filepath.ToSlash(e.Path)+" "+figures.InWords(e.Sketch)+more, e.Units)
}

// headed returns words about a sketch, below its title if it has one.
func headed(title, words string, u quantity.Units) string {
	unit := "mm"
	if u.Inches {
		unit = "inches"
	}
	if title != "" {
		title += "\n"
	}
	return title + terminal.Paragraph(words+"; "+unit+" and degrees", "")
}
