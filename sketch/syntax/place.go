package syntax

import (
	"strings"
	"unicode/utf8"
)

// Place is the line and column of an offset into the file's text, both from 1. Columns count characters; a tab, or a byte
// that is not UTF-8, counts as one. The byte-order mark does not count. Offsets beyond the text are at its end.
func (f *File) Place(offset int32) (line, column int) {
	at := f.clamp(offset)
	start := strings.LastIndexByte(f.Text[:at], '\n') + 1
	line = 1 + strings.Count(f.Text[:start], "\n")
	return line, 1 + utf8.RuneCountInString(withoutMark(f.Text[start:at], start))
}

// LineOf is the line of an offset, from 1.
func (f *File) LineOf(offset int32) int {
	line, _ := f.Place(offset)
	return line
}

// Line is the text of the line of an offset, without its end and without the byte-order mark, and the number of bytes of
// it before the offset.
func (f *File) Line(offset int32) (text string, before int) {
	at := f.clamp(offset)
	start := strings.LastIndexByte(f.Text[:at], '\n') + 1
	end, _ := lineEnd(f.Text, start)
	text = withoutMark(f.Text[start:end], start)
	start = end - len(text)
	return text, min(max(at-start, 0), len(text))
}

func (f *File) clamp(offset int32) int { return min(max(int(offset), 0), len(f.Text)) }

// withoutMark is text that begins at start without the byte-order mark of the file.
func withoutMark(text string, start int) string {
	if start == 0 {
		return strings.TrimPrefix(text, byteOrderMark)
	}
	return text
}

// SpanText is the text of a span.
func (f *File) SpanText(s Span) string {
	start := f.clamp(s.Start)
	return f.Text[start:max(start, f.clamp(s.End))]
}
