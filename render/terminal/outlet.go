package terminal

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Outlet is one of the two streams of a command. What goes to it may have words of a sketch or the name of a file in it,
// and a terminal does what control characters say. So a sign takes the place of each, except for tabs, line ends and our own
// colours. It remembers the first error: not everybody who writes looks at it.
type Outlet struct {
	W      io.Writer
	Colour bool   // our own colours pass
	rest   []byte // the beginning of a character whose other bytes are to come
	Err    error
}

func (o *Outlet) Write(b []byte) (int, error) {
	text := append(o.rest, b...)
	o.rest = nil
	var clean strings.Builder
	for len(text) > 0 {
		if n := o.ownColour(text); n > 0 {
			clean.Write(text[:n])
			text = text[n:]
			continue
		}
		if !utf8.FullRune(text) {
			o.rest = append(o.rest, text...)
			break
		}
		r, n := utf8.DecodeRune(text)
		if IsUnsafe(r) && r != '\n' && r != '\t' {
			r = utf8.RuneError
		}
		clean.WriteRune(r)
		text = text[n:]
	}
	if _, err := io.WriteString(o.W, clean.String()); err != nil {
		var of *fs.PathError
		if errors.As(err, &of) {
			err = of.Err
		}
		err = fmt.Errorf("the answer cannot be written: %w", err)
		if o.Err == nil {
			o.Err = err
		}
		return 0, err
	}
	return len(b), nil
}

// ownColour is the length of the colour that stands here; 0 where none does.
func (o *Outlet) ownColour(text []byte) int {
	if !o.Colour || text[0] != '\x1b' {
		return 0
	}
	for _, c := range []string{Red, Green, Yellow, Faint, Reset} {
		if strings.HasPrefix(string(text[:min(len(text), len(Red))]), c) {
			return len(c)
		}
	}
	return 0
}

// IsUnsafe reports whether a character does something to a terminal instead of being shown: control characters, other line
// ends, and those that turn the direction of what follows.
func IsUnsafe(r rune) bool {
	return unicode.IsControl(r) || '\u2028' <= r && r <= '\u202e' || '\u2066' <= r && r <= '\u2069'
}

// Visible is text for one line, with a sign in place of what does something to a terminal.
func Visible(text string) string {
	return strings.Map(func(r rune) rune {
		if IsUnsafe(r) {
			return utf8.RuneError
		}
		return r
	}, text)
}
