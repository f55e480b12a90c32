package report

import (
	"barover/render/terminal"
	"slices"
	"strings"
	"unicode/utf8"
)

// section is a part of an answer to read, before it is a table on a terminal or in Markdown.
type section struct {
	title string
	under int      // the column that has the title for its head on a terminal
	heads []string // of the columns
	right []bool   // which columns are set to the right
	words []bool   // which columns have words of the sketch, set as code in Markdown
	wide  int      // how wide a cell of the column `under` may be to stand in one line with the others; 0 for any width
	rows  []sectionRow
	after string // a last word
}

// sectionRow is a row of a section, and what more is told of it.
type sectionRow struct {
	cells []string
	mood  mood
	below []string
	typed string // a command to be typed as it stands, in one line however long
}

// mood is how a row is painted where colour is wanted.
type mood uint8

const (
	plain mood = iota
	bad
	good
	pale
)

func (m mood) paint(c terminal.Ink) func(string) string {
	colour := map[mood]string{bad: terminal.Red, good: terminal.Green, pale: terminal.Faint}[m]
	if colour == "" {
		return nil
	}
	return func(s string) string { return c.In(colour, s) }
}

// text is the section on a terminal; nothing where it has no rows.
func (s *section) text(c terminal.Ink) string {
	if len(s.rows) == 0 {
		return ""
	}
	g, margin := terminal.Grid{Right: s.right}, s.margin()
	heads := slices.Clone(s.heads)
	heads[s.under] = s.title
	g.Row(nil, heads...)
	for _, r := range s.rows {
		cells, paint := slices.Clone(r.cells), r.mood.paint(c)
		if s.wide > 0 && utf8.RuneCountInString(cells[s.under]) > s.wide {
			first := cells[0]
			if paint != nil {
				first = paint(first)
			}
			g.Line(first + margin[min(len(margin), utf8.RuneCountInString(cells[0])):] + cells[s.under])
			cells[0], cells[s.under] = "", ""
		}
		g.Row(paint, cells...)
		for _, text := range r.below {
			for _, l := range terminal.Folded(text, margin, terminal.Width) {
				g.Line(l)
			}
		}
		if r.typed != "" {
			g.Line(margin + r.typed)
		}
	}
	for _, l := range terminal.Folded(s.after, margin, terminal.Width) {
		g.Line(l)
	}
	return "\n" + g.Text()
}

// margin is how far in stands what more is told of a row: under the second column, where the first has a word for the row.
func (s *section) margin() string {
	wide := 5 // as "holds", so that one table of an answer is set as the next
	for _, r := range s.rows {
		if s.under > 0 {
			wide = max(wide, utf8.RuneCountInString(r.cells[0]))
		}
	}
	return strings.Repeat(" ", wide+2)
}

// markdown is the section as a table of Markdown with its title above it.
func (s *section) markdown() string {
	if len(s.rows) == 0 {
		return ""
	}
	noted := slices.ContainsFunc(s.rows, func(r sectionRow) bool { return len(r.below) > 0 })
	var b strings.Builder
	b.WriteString("\n## " + escaped(s.title) + "\n\n")
	row := func(cells []string, note string) {
		if noted {
			cells = append(slices.Clone(cells), note)
		}
		b.WriteString("| " + strings.Join(cells, " | ") + " |\n")
	}
	heads, rule := make([]string, len(s.heads)), make([]string, len(s.heads))
	for i, h := range s.heads {
		heads[i], rule[i] = escaped(h), "---"
		if i < len(s.right) && s.right[i] {
			rule[i] = "---:"
		}
	}
	row(heads, "notes")
	row(rule, "---")
	for _, r := range s.rows {
		cells := make([]string, len(r.cells))
		for i, c := range r.cells {
			if cells[i] = escaped(c); i < len(s.words) && s.words[i] {
				cells[i] = coded(c)
			}
			if i == 0 && r.mood == bad {
				cells[i] = "**" + cells[i] + "**"
			}
		}
		note := escaped(strings.Join(r.below, "; "))
		if r.typed != "" {
			note += " " + coded(r.typed)
		}
		row(cells, note)
	}
	if s.after != "" {
		b.WriteString("\n" + escaped(upperFirst(s.after)) + ".\n")
	}
	return b.String()
}

// special are the signs that mean something in Markdown, alone or in a table.
const special = "\\`*_{}[]<>#|~&$!"

// escaped is a text as Markdown shows it: on one line, and no sign of it means anything.
func escaped(text string) string {
	var b strings.Builder
	for _, r := range OneLine(text) {
		if strings.ContainsRune(special, r) {
			b.WriteByte('\\')
		}
		b.WriteRune(r)
	}
	return b.String()
}

// coded is words of the sketch as code. The bar would end the cell, and a backtick the code: sums and names have neither,
// and what has is escaped as text.
func coded(text string) string {
	switch {
	case text == "" || text == "–":
		return text
	case strings.ContainsAny(text, "`|"):
		return escaped(text)
	}
	return "`" + OneLine(text) + "`"
}

func upperFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
