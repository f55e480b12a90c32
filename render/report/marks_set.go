package report

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"barover/render/terminal"
	"barover/sketch/quantity"
)

// Tables of marks are set here: on a terminal with the names of marks over their columns, as many side by side as a page
// holds, and in Markdown.

// measured finds how wide the columns are: as their figures and their head.
func measured(columns []markColumn) {
	for i := range columns {
		c := &columns[i]
		for _, s := range append([]string{c.head}, c.cells...) {
			c.width = max(c.width, utf8.RuneCountInString(s))
		}
	}
}

// width is that of the columns, or of the name over them.
func (g *markGroup) width() int {
	w := 0
	for _, c := range g.columns {
		w += 1 + c.width
	}
	return max(w-1, utf8.RuneCountInString(g.name))
}

// fitted makes tables of the groups, each no wider than a page: a group that is wider is cut, with the crank in each cut.
func (t *markTables) fitted(page int) (tables [][]markGroup) {
	measured(t.labels)
	room := page
	for _, c := range t.labels {
		room -= c.width + 2
	}
	left := 0
	for _, g := range t.groups {
		measured(g.columns)
		for _, part := range g.cut(room) {
			if len(tables) == 0 || part.width() > left {
				tables, left = append(tables, nil), room
			}
			tables[len(tables)-1] = append(tables[len(tables)-1], part)
			left -= part.width() + 2
		}
	}
	return tables
}

func (g markGroup) cut(room int) (parts []markGroup) {
	for len(g.columns) > 0 {
		part := markGroup{name: g.name, columns: g.columns[:1:1]}
		rest := g.columns[1:]
		for len(rest) > 0 && (len(part.columns) == 1 || part.width()+1+rest[0].width <= room) {
			part.columns = append(part.columns, rest[0])
			rest = rest[1:]
		}
		parts = append(parts, part)
		if len(rest) == 0 {
			return parts
		}
		g.columns = append(g.columns[:1:1], rest...)
	}
	return parts
}

// marks returns the marks of a report. Without travels there is one setting, and each mark has a line.
func (r *Report) marks(long bool) part {
	if len(r.moves) == 0 {
		s := r.marksSection(long)
		return &s
	}
	t := r.markTables(long)
	return &t
}

// Text returns the tables for a terminal, with the columns in groups that fit its width.
func (t *markTables) Text(terminal.Ink) string {
	text, title := "", t.title
	for _, groups := range t.fitted(terminal.Width) {
		text += "\n" + t.set(title, groups)
		title = ""
	}
	return text
}

// marksSection is the marks of a sketch without travels.
func (r *Report) marksSection(long bool) terminal.Section {
	shares := r.shares()
	s := terminal.Section{Title: "Marks", Heads: []string{"mark", r.Turn.Name, "shows"}, Right: []bool{false, true}, Words: []bool{true}}
	for _, m := range r.Marks {
		var shows []string
		for _, f := range m.Shows {
			text := f.Name + " " + r.shown(f, shares[f.Name], long)
			if shares[f.Name] {
				text += " %"
			}
			shows = append(shows, text)
		}
		s.Rows = append(s.Rows, terminal.SectionRow{Cells: []string{m.Name, m.At[0].Value.Read(r.units, quantity.Angle), strings.Join(shows, ", ")}})
	}
	return s
}

// set is one table: the marks' names over their columns, the columns' heads, and the rows.
func (t *markTables) set(title string, groups []markGroup) string {
	const over, high = 1, 1
	var b strings.Builder
	for k := range over + high + t.rows {
		var cells []string
		for i, c := range t.labels {
			cells = append(cells, fmt.Sprintf("%-*s", c.width, t.label(i, k, over, high, title)))
		}
		for _, g := range groups {
			if k < over {
				cells = append(cells, fmt.Sprintf("%-*s", g.width(), g.name))
				continue
			}
			var figures []string
			for _, c := range g.columns {
				text := c.head
				if k >= over+high {
					text = c.cells[k-over-high]
				}
				figures = append(figures, fmt.Sprintf("%*s", c.width, text))
			}
			cells = append(cells, fmt.Sprintf("%-*s", g.width(), strings.Join(figures, " ")))
		}
		b.WriteString(strings.TrimRight(strings.Join(cells, "  "), " ") + "\n")
	}
	return b.String()
}

// label is what stands in line k of the i-th column of travels. What stands above it already is not said again, except for
// the last column.
func (t *markTables) label(i, k, over, high int, title string) string {
	c, row := t.labels[i], k-over-high
	above := row - 1 // the row of the setting before this one
	for above >= 0 && t.labels[len(t.labels)-1].cells[above] == "" {
		above--
	}
	again := above >= 0 && i < len(t.labels)-1
	for _, before := range t.labels[:i+1] {
		again = again && before.cells[row] == before.cells[above]
	}
	switch {
	case k == 0 && i == 0:
		return title
	case k == over+high-1:
		return c.head
	case row < 0 || again:
		return ""
	}
	return c.cells[row]
}

// Markdown returns the tables in Markdown, cut to a width that can be read beside the text.
func (t *markTables) Markdown() string {
	if len(t.groups) == 0 {
		return ""
	}
	var b strings.Builder
	b.WriteString("\n## " + t.title + "\n")
	for _, groups := range t.fitted(terminal.UsualWidth) {
		columns := slices.Clone(t.labels)
		for _, g := range groups {
			for _, c := range g.columns {
				c.head = strings.TrimSpace(g.name + " " + c.head)
				columns = append(columns, c)
			}
		}
		var heads, rule []string
		for i, c := range columns {
			heads = append(heads, terminal.Escaped(c.head))
			rule = append(rule, map[bool]string{true: "---", false: "---:"}[i < len(t.labels)])
		}
		fmt.Fprintf(&b, "\n| %s |\n| %s |\n", strings.Join(heads, " | "), strings.Join(rule, " | "))
		for k := range t.rows {
			var cells []string
			for _, c := range columns {
				cells = append(cells, terminal.Escaped(c.cells[k]))
			}
			fmt.Fprintf(&b, "| %s |\n", strings.Join(cells, " | "))
		}
	}
	return b.String()
}
