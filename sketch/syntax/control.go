package syntax

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Only LF and CRLF end a line. An editor or a terminal may break the line at other characters too, such as a lone
// carriage return. Then a statement looks like one but belongs to the comment before it. Other control characters are
// invisible and can make a terminal do anything. So both are refused in a sketch.

// breaks are the characters that end a line in some programs but not in the language, with their names.
var breaks = map[rune]string{
	'\r': "a carriage return", '\v': "a vertical tab", '\f': "a form feed",
	'\u0085': "a next-line character", '\u2028': "a line separator", '\u2029': "a paragraph separator",
}

// isControl reports whether a character is refused in a sketch, except as part of a line's end.
func isControl(r rune) bool {
	return unicode.IsControl(r) && r != '\t' && r != '\n' || r == '\u2028' || r == '\u2029'
}

// withoutControls reports the first control character of each line. It returns the text with blanks in place of them all.
// Where another program would see a line end, it puts a line end, so that the statements after it are read as they look.
// Each byte keeps its place.
func (r *reader) withoutControls(text string) string {
	var mended []byte
	told := -1 // the end of the last line that was reported
	for at, c := range text {
		if !isControl(c) || c == '\r' && strings.HasPrefix(text[at+1:], "\n") {
			continue
		}
		n := utf8.RuneLen(c)
		if mended == nil {
			mended = []byte(text)
		}
		for i := range n {
			mended[at+i] = ' '
		}
		if breaks[c] != "" {
			mended[at+n-1] = '\n'
		}
		if at > told && len(r.mistakes) < MostMessages {
			r.tellControl(Span{int32(at), int32(at + n)}, c)
			told, _ = lineEnd(text, at)
			r.spoilt = append(r.spoilt, Span{int32(strings.LastIndexByte(text[:at], '\n') + 1), int32(told)})
		}
	}
	if mended == nil {
		return text
	}
	return string(mended)
}

func (r *reader) tellControl(at Span, c rune) {
	switch name := breaks[c]; {
	case c == '\r':
		r.tell(at, "a carriage return (CR) stands here without a line feed (LF)", "end lines with LF or CRLF")
	case name != "":
		r.tell(at, fmt.Sprintf("%s (U+%04X) is here, and it ends no line", name, c), "take it out, or end the line with LF or CRLF")
	default:
		r.tell(at, fmt.Sprintf("the control character U+%04X is here", c), "take it out")
	}
}

// inSpoilt reports whether a place is in a line with a control character. Other mistakes in that line may follow from it.
func (r *reader) inSpoilt(at int32) bool {
	return slices.ContainsFunc(r.spoilt, func(line Span) bool { return line.Start <= at && at <= line.End })
}
