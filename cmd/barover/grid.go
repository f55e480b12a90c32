package main

import (
	"strings"
	"unicode/utf8"
)

// usualPage is how wide a table for reading may be where nobody says, characters; narrower than leastPage none is set, and wider
// than mostPage nobody reads.
const (
	usualPage = 80
	leastPage = 60
	mostPage  = 150
)

// page is how wide a table for reading may be. It is that of the terminal, and set before anything is printed.
var page = usualPage

// widest is how wide the subject of a check may be to stand in one line with its figures; one that is wider has a line to itself.
func widest() int { return page - 45 }

// grid lays rows of cells in columns. The last column is not padded.
type grid struct {
	right []bool // which columns are set to the right
	least []int  // width that a column has at least
	rows  []gridRow
}

// gridRow is cells, or a line of its own where cells is nil.
type gridRow struct {
	cells []string
	paint func(string) string // of the first cell
	line  string
}

func (g *grid) row(paint func(string) string, cells ...string) {
	g.rows = append(g.rows, gridRow{cells: cells, paint: paint})
}

func (g *grid) line(text string) { g.rows = append(g.rows, gridRow{line: text}) }

// widths are those of the widest cell of each column.
func (g *grid) widths() []int {
	w := append([]int(nil), g.least...)
	for _, r := range g.rows {
		for i, c := range r.cells {
			for len(w) <= i {
				w = append(w, 0)
			}
			w[i] = max(w[i], utf8.RuneCountInString(c))
		}
	}
	return w
}

// text is the whole, with two blanks between columns.
func (g *grid) text() string {
	w := g.widths()
	var b strings.Builder
	for _, r := range g.rows {
		if r.cells == nil {
			b.WriteString(r.line + "\n")
			continue
		}
		var l strings.Builder
		for i, c := range r.cells {
			if i > 0 {
				l.WriteString("  ")
			}
			pad := strings.Repeat(" ", max(0, w[i]-utf8.RuneCountInString(c)))
			if i == 0 && r.paint != nil {
				c = r.paint(c)
			}
			if i < len(g.right) && g.right[i] {
				c, pad = pad+c, ""
			}
			l.WriteString(c + pad)
		}
		b.WriteString(strings.TrimRight(l.String(), " ") + "\n")
	}
	return b.String()
}

// words are the words of a text. A mixed number is one word, 3 1/2 is not parted, and so is a name with a figure that has a
// sign.
func words(text string) (list []string) {
	signed := func(w string) bool { return len(w) > 1 && (w[0] == '+' || w[0] == '-') && w[1] >= '0' && w[1] <= '9' }
	for _, w := range strings.Fields(text) {
		n := len(list)
		mixed := n > 0 && w[0] >= '0' && w[0] <= '9' && strings.Contains(w, "/") && strings.Trim(list[n-1], "-0123456789") == ""
		if n > 0 && (mixed || signed(w)) {
			list[n-1] += " " + w
			continue
		}
		list = append(list, w)
	}
	return list
}

// folded breaks text at blanks into lines of at most width characters, each with that margin in front.
func folded(text, margin string, width int) []string {
	var out []string
	line := ""
	for _, word := range words(text) {
		switch {
		case line == "":
			line = word
		case utf8.RuneCountInString(margin+line+" "+word) > width:
			out = append(out, margin+line)
			line = word
		default:
			line += " " + word
		}
	}
	if line != "" {
		out = append(out, margin+line)
	}
	return out
}
