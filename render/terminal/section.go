package terminal

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// Section is a part of an answer to read, before it is a table on a terminal or in Markdown.
type Section struct {
	Title string
	Under int      // the column that has the title for its head on a terminal
	Heads []string // of the columns
	Right []bool   // which columns are set to the right
	Words []bool   // which columns have words of the sketch, set as code in Markdown
	Wide  int      // how wide a cell of the column `under` may be to stand in one line with the others; 0 for any width
	Rows  []SectionRow
	After string // a last word
}

// SectionRow is a row of a section, with further lines about it.
type SectionRow struct {
	Cells []string
	Mood  mood
	Below []string
	Typed string // a command to be typed as it stands, in one line however long
}

// mood is how a row is painted where colour is wanted.
type mood uint8

const (
	plain mood = iota
	Bad
	Good
	Pale
)

func (m mood) paint(c Ink) func(string) string {
	colour := map[mood]string{Bad: Red, Good: Green, Pale: Faint}[m]
	return func(s string) string { return c.In(colour, s) }
}

// Warning paints what is bad as a bad row of a section is, and nothing else.
func (i Ink) Warning(bad bool) func(string) string {
	if bad {
		return Bad.paint(i)
	}
	return plain.paint(i)
}

// Text is the section on a terminal; nothing where it has no rows.
func (s *Section) Text(c Ink) string {
	if len(s.Rows) == 0 {
		return ""
	}
	g, margin := Grid{Right: s.Right}, s.margin()
	heads := slices.Clone(s.Heads)
	heads[s.Under] = s.Title
	g.Row(nil, heads...)
	for _, r := range s.Rows {
		cells, paint := slices.Clone(r.Cells), r.Mood.paint(c)
		if s.Wide > 0 && utf8.RuneCountInString(cells[s.Under]) > s.Wide {
			g.Line(paint(cells[0]) + margin[min(len(margin), utf8.RuneCountInString(cells[0])):] + cells[s.Under])
			cells[0], cells[s.Under] = "", ""
		}
		g.Row(paint, cells...)
		for _, text := range r.Below {
			g.Note(text, margin)
		}
		if r.Typed != "" {
			g.Line(margin + r.Typed)
		}
	}
	g.Note(s.After, margin)
	return "\n" + g.Text()
}

// margin is the indent of the further lines about a row: under the second column, where the first has a word for the row.
func (s *Section) margin() string {
	wide := 5 // as "holds", so that one table of an answer is set as the next
	for _, r := range s.Rows {
		if s.Under > 0 {
			wide = max(wide, utf8.RuneCountInString(r.Cells[0]))
		}
	}
	return strings.Repeat(" ", wide+2)
}

// Markdown is the section as a table of Markdown with its title above it.
func (s *Section) Markdown() string {
	if len(s.Rows) == 0 {
		return ""
	}
	noted := slices.ContainsFunc(s.Rows, func(r SectionRow) bool { return len(r.Below) > 0 })
	var b strings.Builder
	b.WriteString("\n## " + Escaped(s.Title) + "\n\n")
	row := func(cells []string, note string) {
		if noted {
			cells = append(slices.Clone(cells), note)
		}
		b.WriteString("| " + strings.Join(cells, " | ") + " |\n")
	}
	heads, rule := make([]string, len(s.Heads)), make([]string, len(s.Heads))
	for i, h := range s.Heads {
		heads[i], rule[i] = Escaped(h), "---"
		if i < len(s.Right) && s.Right[i] {
			rule[i] = "---:"
		}
	}
	row(heads, "notes")
	row(rule, "---")
	for _, r := range s.Rows {
		cells := make([]string, len(r.Cells))
		for i, c := range r.Cells {
			if cells[i] = Escaped(c); i < len(s.Words) && s.Words[i] {
				cells[i] = Coded(c)
			}
			if i == 0 && r.Mood == Bad {
				cells[i] = "**" + cells[i] + "**"
			}
		}
		note := Escaped(strings.Join(r.Below, "; "))
		if r.Typed != "" {
			note += " " + Coded(r.Typed)
		}
		row(cells, note)
	}
	if s.After != "" {
		b.WriteString("\n" + Escaped(upperFirst(s.After)) + ".\n")
	}
	return b.String()
}

// special are the signs that mean something in Markdown, alone or in a table.
const special = "\\`*_{}[]<>#|~&$!"

// Escaped is a text as Markdown shows it: on one line, and no sign of it means anything.
func Escaped(text string) string {
	var b strings.Builder
	for _, r := range OneLine(text) {
		if strings.ContainsRune(special, r) {
			b.WriteByte('\\')
		}
		b.WriteRune(r)
	}
	return b.String()
}

// Coded is words of the sketch as code. The bar would end the cell, and a backtick the code: sums and names have neither,
// and what has is escaped as text.
func Coded(text string) string {
	switch {
	case text == "" || text == "–":
		return text
	case strings.ContainsAny(text, "`|"):
		return Escaped(text)
	}
	return "`" + OneLine(text) + "`"
}

func upperFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// OneLine puts one blank where the text has any white space.
func OneLine(text string) string { return strings.Join(strings.Fields(text), " ") }
