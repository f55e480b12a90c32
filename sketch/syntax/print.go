package syntax

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"unicode"
)

// widest is how many characters of a source line are shown. Of a longer line the stretch around the place is shown.
const widest = 110

// Print writes messages for a person to read, one after another: FILE:LINE:COLUMN: what is wrong, the line with a caret
// under the place, other places in the same form, and what to write instead.
func Print(w io.Writer, messages []Message) error {
	for _, m := range messages {
		if _, err := io.WriteString(w, m.String()); err != nil {
			return err
		}
	}
	return nil
}

// Messages are what is wrong with a sketch, as an error. There is at least one.
type Messages []Message

// Error is the text of the first message.
func (m Messages) Error() string { return m[0].Text }

// MessagesIn are the messages in an error; those of another error are its text, which has no place in a sketch.
func MessagesIn(err error) Messages {
	if m, ok := errors.AsType[Messages](err); ok {
		return m
	}
	return Messages{{Text: err.Error()}}
}

// String is the message as Print writes it, with a line feed at its end.
func (m Message) String() string {
	var b strings.Builder
	show(&b, m.File, m.Span, m.Text)
	for _, n := range m.Also {
		show(&b, n.File, n.Span, n.Text)
	}
	if m.Help != "" {
		fmt.Fprintf(&b, "    %s\n", strings.ReplaceAll(m.Help, "\n", "\n    "))
	}
	return b.String()
}

// Head is the first line of the message alone: FILE:LINE:COLUMN: what is wrong. The name of a file may have anything in
// it, even line ends.
func (m Message) Head() string {
	head := m.Text
	if m.File != nil {
		line, column := m.File.Place(m.Span.Start)
		head = fmt.Sprintf("%s:%d:%d: %s", m.File.Path, line, column, m.Text)
	}
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return '\uFFFD'
		}
		return r
	}, head)
}

// LineFrom is the message after its line alone, and the name of its file where that is not the sketch at path.
func (m Message) LineFrom(path string) string {
	if m.File == nil {
		return m.Text
	}
	where := fmt.Sprintf("line %d", m.File.LineOf(m.Span.Start))
	if m.File.Path != path {
		where = filepath.Base(m.File.Path) + " " + where
	}
	return where + ": " + m.Text
}

// show writes one place with its line and caret.
func show(b *strings.Builder, f *File, span Span, text string) {
	b.WriteString(Message{File: f, Span: span, Text: text}.Head())
	b.WriteByte('\n')
	if f == nil {
		return
	}
	line, before := f.Line(span.Start)
	if strings.TrimSpace(line) == "" {
		return
	}
	source, caret := window(line, before)
	fmt.Fprintf(b, "    %s\n    %s^\n", source, caret)
}

// window is the part of a line that is shown, and the blanks that put a caret under the place. Both keep the tabs, so
// that they are equally wide.
func window(line string, before int) (source, caret string) {
	left, right := []rune(tail(line[:before], widest)), []rune(head(line[before:], widest))
	cutLeft, cutRight := len(left) >= widest, len(right) >= widest
	if len(left)+len(right) > widest {
		l := min(len(left), max(widest/2, widest-len(right)))
		r := min(len(right), widest-l)
		cutLeft, cutRight = cutLeft || l < len(left), cutRight || r < len(right)
		left, right = left[len(left)-l:], right[:r]
	}
	source, caret = printable(left)+printable(right), padding(left)
	if cutLeft {
		source, caret = "…"+source, " "+caret
	}
	if cutRight {
		source += "…"
	}
	return source, caret
}

// tail is the end of a text, at least n characters of it where it has so many; head is its beginning. Of a huge line no
// more is read than can be shown.
func tail(text string, n int) string {
	if from := len(text) - 4*n; from > 0 {
		return text[from:]
	}
	return text
}

func head(text string, n int) string { return text[:min(len(text), 4*n)] }

// printable is text with a sign in place of each character that would be invisible or move the caret.
func printable(text []rune) string {
	return strings.Map(func(r rune) rune {
		if r == '\t' || unicode.IsGraphic(r) {
			return r
		}
		return '\uFFFD'
	}, string(text))
}

// padding is as wide as the text.
func padding(text []rune) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\t':
			return r
		case unicode.Is(unicode.Mn, r):
			return -1
		}
		return ' '
	}, string(text))
}
