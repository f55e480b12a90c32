// Package terminal sets words for reading: columns that line up, lines folded to a width, colours, and a stream that lets
// no control character of a sketch through. It knows nothing of engines.
//
// A newcomer may change all of it: scripts of the command pin its output.
package terminal

import (
	"strings"
	"unicode/utf8"
)

// UsualWidth is how wide a table for reading may be where nobody says, characters; narrower than LeastWidth none is set, and
// wider than MostWidth nobody reads.
const (
	UsualWidth = 80
	LeastWidth = 60
	MostWidth  = 150
)

// Width is how wide a table for reading may be. It is that of the terminal, and set before anything is printed.
var Width = UsualWidth

// Widest is how wide the subject of a check may be to stand in one line with its figures; one that is wider has a line to itself.
func Widest() int { return Width - 45 }

// Grid lays rows of cells in columns. The last column is not padded.
type Grid struct {
	Right []bool // which columns are set to the right
	Least []int  // width that a column has at least
	Rows  []gridRow
}

// gridRow is cells, or a line of its own where cells is nil.
type gridRow struct {
	Cells []string
	paint func(string) string // of the first cell
	line  string
}

func (g *Grid) Row(paint func(string) string, cells ...string) {
	g.Rows = append(g.Rows, gridRow{Cells: cells, paint: paint})
}

func (g *Grid) Line(text string) { g.Rows = append(g.Rows, gridRow{line: text}) }

// Note adds a paragraph across the columns. Each of its lines begins with margin.
func (g *Grid) Note(text, margin string) {
	for _, l := range Folded(text, margin, Width) {
		g.Line(l)
	}
}

// widths are those of the widest cell of each column.
func (g *Grid) widths() []int {
	w := append([]int(nil), g.Least...)
	for _, r := range g.Rows {
		for i, c := range r.Cells {
			for len(w) <= i {
				w = append(w, 0)
			}
			w[i] = max(w[i], utf8.RuneCountInString(c))
		}
	}
	return w
}

// Text is the whole, with two blanks between columns.
func (g *Grid) Text() string {
	w := g.widths()
	var b strings.Builder
	for _, r := range g.Rows {
		if r.Cells == nil {
			b.WriteString(r.line + "\n")
			continue
		}
		var l strings.Builder
		for i, c := range r.Cells {
			if i > 0 {
				l.WriteString("  ")
			}
			pad := strings.Repeat(" ", max(0, w[i]-utf8.RuneCountInString(c)))
			if i == 0 && r.paint != nil {
				c = r.paint(c)
			}
			if i < len(g.Right) && g.Right[i] {
				c, pad = pad+c, ""
			}
			l.WriteString(c + pad)
		}
		b.WriteString(strings.TrimRight(l.String(), " ") + "\n")
	}
	return b.String()
}

// Paragraph folds text to the width of an answer. Each line begins with margin.
func Paragraph(text, margin string) string {
	var b strings.Builder
	for _, l := range Folded(text, margin, Width) {
		b.WriteString(l + "\n")
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

// Folded breaks text at blanks into lines of at most width characters, each with that margin in front.
func Folded(text, margin string, width int) []string {
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
