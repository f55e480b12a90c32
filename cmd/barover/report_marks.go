package main

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"barover/sketch"
)

// Marks are told of in tables: a row for each setting of the travels, and for each mark where the crank is and what the
// mark shows. As many marks stand side by side as a page holds.

// markColumn is a column of figures in a table of marks.
type markColumn struct {
	head  string // "crank", or the measure
	width int
	cells []string // by row
}

// markGroup is a mark, or some of what one shows.
type markGroup struct {
	name    string
	columns []markColumn
}

// markTables are the marks of a report, ready to be set.
type markTables struct {
	labels []markColumn // the travels
	groups []markGroup
	rows   int
}

// markRow is a travel setting, and the times that marks happen there: by mark, in order of the turn.
type markRow struct {
	travel namedFigures
	times  map[string][]*markAnswer
}

// markRows are the settings to show, listed travels slowest and ranges from end to end. Without long, of ranges those at
// rest, and each at its ends with the others at rest.
func (r *report) markRows(long bool) (rows []*markRow) {
	at := map[string]*markRow{}
	for i := range r.Marks {
		m := &r.Marks[i]
		travel := m.At[1:]
		if !long && !r.atEnds(travel) {
			continue
		}
		key := ""
		for _, t := range travel {
			key += t.value.full() + " "
		}
		if at[key] == nil {
			at[key] = &markRow{travel: travel, times: map[string][]*markAnswer{}}
			rows = append(rows, at[key])
		}
		at[key].times[m.Name] = append(at[key].times[m.Name], m)
	}
	order := r.listsFirst()
	slices.SortStableFunc(rows, func(a, b *markRow) int {
		for _, i := range order {
			t := r.moves[i]
			if d := t.place(a.travel[i].value) - t.place(b.travel[i].value); d != 0 {
				return int(math.Copysign(1, d))
			}
		}
		return 0
	})
	return rows
}

// listsFirst are the travels by number, those that are lists before the ranges.
func (r *report) listsFirst() (order []int) {
	for _, ranges := range []bool{false, true} {
		for i, t := range r.moves {
			if t.isRange == ranges {
				order = append(order, i)
			}
		}
	}
	return order
}

// place is where a value stands in the order of a travel: by its value in a range, by its turn in a list.
func (t travelRange) place(v figure) float64 {
	if t.isRange {
		return float64(v)
	}
	return float64(slices.Index(t.settings, v))
}

// atEnds reports whether no more than one range is off its rest, and that one at an end.
func (r *report) atEnds(travel namedFigures) bool {
	off := 0
	for i, t := range r.moves {
		if v := travel[i]; t.isRange && !v.rest {
			const slack = 1e-9
			atEnd := math.Abs(float64(v.value-t.from)) <= slack || math.Abs(float64(v.value-t.to)) <= slack
			if off++; !atEnd {
				return false
			}
		}
	}
	return off <= 1
}

// markGroups are the marks in the order of the sketch, with columns for the crank and for what each shows.
func (r *report) markGroups(shares map[string]bool) (groups []markGroup) {
	for _, m := range r.Marks {
		if slices.ContainsFunc(groups, func(g markGroup) bool { return g.name == m.Name }) {
			continue
		}
		g := markGroup{name: m.Name, columns: []markColumn{{head: r.Turn.Name}}}
		for _, f := range m.Shows {
			head := f.name
			if shares[f.name] {
				head += " %"
			}
			g.columns = append(g.columns, markColumn{head: head})
		}
		groups = append(groups, g)
	}
	return groups
}

// shares are the measures that are shares of something: bare numbers that stay from nought to one. They are told in per
// cent.
func (r *report) shares() map[string]bool {
	shares := map[string]bool{}
	for _, m := range r.Measures {
		const slack = 1e-9
		shares[m.Name] = m.kind.Is(sketch.Plain) && m.Least >= -slack && m.Greatest <= 1+slack
	}
	return shares
}

// shown writes what a mark shows. With long it has a decimal more.
func (r *report) shown(f named, share, long bool) string {
	more := 0
	if long {
		more = 1
	}
	switch {
	case f.value.missing():
		return "–"
	case share:
		return strconv.FormatFloat(halfUp(100*float64(f.value), 1+more), 'f', 1+more, 64)
	case f.kind.Is(sketch.Angle):
		return strconv.FormatFloat(halfUp(float64(f.value), 1+more), 'f', 1+more, 64)
	}
	return f.value.read(r.units, f.kind)
}

// markTables gathers the marks into columns.
func (r *report) markTables(long bool) markTables {
	rows := r.markRows(long)
	if len(rows) == 0 { // they happen at none of the settings that are shown first
		rows = r.markRows(true)
	}
	var t markTables
	for _, i := range r.listsFirst() {
		travel := r.moves[i]
		c := markColumn{head: travel.name}
		for _, row := range rows {
			text := row.travel[i].value.size(r.units, row.travel[i].kind)
			if travel.isRange && row.travel[i].rest {
				text = "rest"
			}
			c.cells = append(c.cells, text)
			for range row.most() - 1 {
				c.cells = append(c.cells, "")
			}
		}
		t.labels = append(t.labels, c)
	}
	shares := r.shares()
	t.groups = r.markGroups(shares)
	for i := range t.groups {
		g := &t.groups[i]
		for _, row := range rows {
			for k := range row.most() {
				r.addTime(g, row.times[g.name], k, shares, long)
			}
		}
	}
	for _, row := range rows {
		t.rows += row.most()
	}
	return t
}

// most is how often the mark that happens most often does at this setting.
func (w *markRow) most() int {
	n := 1
	for _, times := range w.times {
		n = max(n, len(times))
	}
	return n
}

// addTime adds the k-th time that a mark happens to its columns; dashes where it does not happen at all, nothing where it
// happens less often than others.
func (r *report) addTime(g *markGroup, times []*markAnswer, k int, shares map[string]bool, long bool) {
	put := func(i int, text string) { g.columns[i].cells = append(g.columns[i].cells, text) }
	if k >= len(times) {
		text := ""
		if k == 0 {
			text = "–"
		}
		for i := range g.columns {
			put(i, text)
		}
		return
	}
	m := times[k]
	put(0, r.shown(m.At[0], false, long))
	for i, f := range m.Shows {
		put(i+1, r.shown(f, shares[f.name], long))
	}
}

// pieces breaks a head at blanks and behind each _, where it may go on in the next line.
func pieces(head string) (list []string) {
	for _, word := range strings.Fields(head) {
		list = append(list, strings.SplitAfter(word, "_")...)
	}
	return slices.DeleteFunc(list, func(s string) bool { return s == "" })
}

// broken sets the pieces of a head in lines of at most width characters.
func broken(head string, width int) (lines []string) {
	for _, p := range pieces(head) {
		if n := len(lines); n > 0 && strings.HasSuffix(lines[n-1], "_") && utf8.RuneCountInString(lines[n-1]+p) <= width {
			lines[n-1] += p
			continue
		}
		lines = append(lines, p)
	}
	return lines
}

// measured finds how wide the columns are: as their figures and the longest piece of their head.
func measured(columns []markColumn) {
	for i := range columns {
		c := &columns[i]
		for _, s := range append(pieces(c.head), c.cells...) {
			c.width = max(c.width, utf8.RuneCountInString(s))
		}
	}
}

func (g *markGroup) width() int {
	w := 0
	for _, c := range g.columns {
		w += 1 + c.width
	}
	return w - 1
}

// fitted makes tables of the groups, each no wider than a page: a group that is wider is cut, with the crank in each cut.
func (t *markTables) fitted() (tables [][]markGroup) {
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

// marksText is the marks on a terminal. With one setting each time has a line.
func (r *report) marksText(long bool) string {
	switch {
	case len(r.Marks) == 0:
		return ""
	case len(r.moves) == 0:
		s := r.marksSection(long)
		return s.text(&console{})
	}
	t := r.markTables(long)
	var b strings.Builder
	for i, groups := range t.fitted() {
		title := "Marks"
		if i > 0 {
			title = ""
		}
		b.WriteString("\n" + t.set(title, groups))
	}
	return b.String()
}

// marksSection is the marks of a sketch without travels.
func (r *report) marksSection(long bool) section {
	shares := r.shares()
	s := section{title: "Marks", heads: []string{"mark", r.Turn.Name, "shows"}, right: []bool{false, true}, words: []bool{true}}
	for _, m := range r.Marks {
		var shows []string
		for _, f := range m.Shows {
			text := f.name + " " + r.shown(f, shares[f.name], long)
			if shares[f.name] {
				text += " %"
			}
			shows = append(shows, text)
		}
		s.rows = append(s.rows, sectionRow{cells: []string{m.Name, m.At[0].value.read(r.units, sketch.Angle), strings.Join(shows, ", ")}})
	}
	return s
}

// set is one table: the marks' names over their columns, the columns' heads, and the rows.
func (t *markTables) set(title string, groups []markGroup) string {
	over, high := 0, 1
	for _, g := range groups {
		over = max(over, len(broken(g.name, g.width())))
		for _, c := range g.columns {
			high = max(high, len(broken(c.head, c.width)))
		}
	}
	var b strings.Builder
	for k := range over + high + t.rows {
		var cells []string
		for i, c := range t.labels {
			cells = append(cells, left(t.label(i, k, over, high, title), c.width))
		}
		for _, g := range groups {
			if k < over {
				cells = append(cells, left(at(broken(g.name, g.width()), k), g.width()))
				continue
			}
			var figures []string
			for _, c := range g.columns {
				heads := broken(c.head, c.width)
				text := at(heads, k-over-(high-len(heads)))
				if k >= over+high {
					text = c.cells[k-over-high]
				}
				figures = append(figures, right(text, c.width))
			}
			cells = append(cells, strings.Join(figures, " "))
		}
		b.WriteString(strings.TrimRight(strings.Join(cells, "  "), " ") + "\n")
	}
	return b.String()
}

// label is what stands in line k of the i-th column of travels. What stands above it already is not said again, but for
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

func at(list []string, i int) string {
	if i < 0 || i >= len(list) {
		return ""
	}
	return list[i]
}

func left(s string, width int) string {
	return s + strings.Repeat(" ", max(0, width-utf8.RuneCountInString(s)))
}

func right(s string, width int) string {
	return strings.Repeat(" ", max(0, width-utf8.RuneCountInString(s))) + s
}

// marksMarkdown is the marks as tables of Markdown, cut as on a terminal so that they can be read beside the text.
func (r *report) marksMarkdown(long bool) string {
	switch {
	case len(r.Marks) == 0:
		return ""
	case len(r.moves) == 0:
		s := r.marksSection(long)
		return s.markdown()
	}
	t := r.markTables(long)
	var b strings.Builder
	b.WriteString("\n## Marks\n")
	for _, groups := range t.fitted() {
		columns := slices.Clone(t.labels)
		for _, g := range groups {
			for _, c := range g.columns {
				c.head = g.name + " " + c.head
				columns = append(columns, c)
			}
		}
		var heads, rule []string
		for i, c := range columns {
			heads = append(heads, escaped(c.head))
			rule = append(rule, map[bool]string{true: "---", false: "---:"}[i < len(t.labels)])
		}
		fmt.Fprintf(&b, "\n| %s |\n| %s |\n", strings.Join(heads, " | "), strings.Join(rule, " | "))
		for k := range t.rows {
			var cells []string
			for _, c := range columns {
				cells = append(cells, escaped(c.cells[k]))
			}
			fmt.Fprintf(&b, "| %s |\n", strings.Join(cells, " | "))
		}
	}
	return b.String()
}
