package syntax

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// The standard layout. Columns count from 0.
const (
	noteColumn    = 39 // column of notes if the statements before them are no longer than that
	noteLimit     = 72 // a longer statement has its note two blanks after it, and moves no other note
	commentLimit  = 110
	longestPadded = 60 // a longer beginning of a statement moves no other one
	mostPieces    = 4  // of a statement
	indent        = "   "
)

// Tidy is the sketch in the standard layout. It has one blank between words; neighbouring statements of a kind are
// aligned; notes and comments line up; continuation lines are indented by three blanks; lines have no blanks at the end;
// and there is at most one empty line at a time. Line breaks stay as they were, and so does every word, number and
// comment. Lines end with CRLF if the first one does. A sketch with mistakes is returned unchanged, with the messages of
// Parse.
func Tidy(path, text string) (string, []Message) {
	if _, messages := Parse(path, text); len(messages) > 0 {
		return text, messages
	}
	rows := layOut(text)
	alignHeads(rows)
	for start := 0; start < len(rows); {
		end := start
		for end < len(rows) && !rows[end].empty() {
			end++
		}
		alignTails(rows[start:end])
		start = end + 1
	}
	return written(text, rows), nil
}

// row is a line of the sketch in pieces. The pieces of neighbouring statements of a kind line up.
type row struct {
	lead   string // the blanks of a line that begins with some
	pieces []string
	note   string
	noteAt int // column

	comment   string
	commentAt int // column

	first bool // begins a statement
	group group
	kind  string // statements of one kind have the same columns
}

func (r *row) empty() bool { return r.text() == "" && r.comment == "" }

// content is the row up to its note.
func (r *row) content() string {
	if c := strings.Join(r.pieces, " "); c != "" {
		return r.lead + c
	}
	return ""
}

// text is the row up to its comment.
func (r *row) text() string {
	c := r.content()
	switch {
	case r.note == "":
		return c
	case c == "":
		return r.lead + r.note
	}
	return padded(c, r.noteAt) + r.note
}

// line is the whole row.
func (r *row) line() string {
	t := r.text()
	switch {
	case r.comment == "":
		return t
	case t == "":
		return r.lead + r.comment
	}
	return padded(t, r.commentAt) + r.comment
}

func width(s string) int { return utf8.RuneCountInString(s) }

// padded is a text with blanks at its end up to a column.
func padded(s string, column int) string {
	return s + strings.Repeat(" ", max(0, column-width(s)))
}

// alignHeads lines up the names, the = and the like of neighbouring statements of a group. Continuation lines and
// comments between them do not separate them; an empty line does.
func alignHeads(rows []row) {
	for start := 0; start < len(rows); {
		end := start + 1
		for end < len(rows) && !rows[end].empty() && (!rows[end].first || rows[end].group == rows[start].group) {
			end++
		}
		if rows[start].first {
			alignRun(rows[start:end])
		}
		start = end
	}
}

func alignRun(run []row) {
	if padsWord[run[0].group] {
		alignColumn(run, 0, "")
	}
	for column := range mostPieces - 1 {
		var kinds []string
		for i := range run {
			if kind := run[i].kind; run[i].first && !slices.Contains(kinds, kind) {
				kinds = append(kinds, kind)
				alignColumn(run, column, kind)
			}
		}
	}
}

// alignColumn makes the pieces up to a column equally long in all statements of a kind that have a piece after it. The
// kind "" means all kinds.
func alignColumn(run []row, column int, kind string) {
	widths, most := make([]int, len(run)), 0
	for i := range run {
		r := &run[i]
		if !r.first || kind != "" && r.kind != kind || len(r.pieces) <= column+1 {
			continue
		}
		w := width(strings.Join(r.pieces[:column+1], " "))
		if w <= longestPadded {
			widths[i], most = w, max(most, w)
		}
	}
	for i, w := range widths {
		if w > 0 {
			run[i].pieces[column] += strings.Repeat(" ", most-w)
		}
	}
}

// alignTails lines up the notes and the comments of lines without an empty line between them.
func alignTails(rows []row) {
	column := noteColumn
	for i := range rows {
		if w := width(rows[i].content()); rows[i].note != "" && w <= noteLimit {
			column = max(column, w+2)
		}
	}
	for i := range rows {
		rows[i].noteAt = max(column, width(rows[i].content())+2)
	}
	column = 0
	for i := range rows {
		if w := width(rows[i].text()); rows[i].comment != "" && w > 0 && w <= commentLimit {
			column = max(column, w+2)
		}
	}
	for i := range rows {
		rows[i].commentAt = max(column, width(rows[i].text())+2)
	}
}

// lineFeed is the end of every line: that of the first one.
func lineFeed(text string) string {
	if i := strings.IndexByte(text, '\n'); i > 0 && text[i-1] == '\r' {
		return "\r\n"
	}
	return "\n"
}

// written joins the rows into a text.
func written(text string, rows []row) string {
	var b strings.Builder
	if strings.HasPrefix(text, byteOrderMark) {
		b.WriteString(byteOrderMark)
	}
	end := lineFeed(text)
	begun, gap := false, false
	for i := range rows {
		if rows[i].empty() {
			gap = begun
			continue
		}
		if gap {
			b.WriteString(end)
		}
		b.WriteString(rows[i].line())
		b.WriteString(end)
		begun, gap = true, false
	}
	return b.String()
}
