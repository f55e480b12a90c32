package sheet

import (
	"strings"

	"barover/render/drawing"
)

// twoLines breaks a text into two lines no longer than most; the second is shortened where it must be.
func twoLines(s *drawing.TextStyle, text string, most float64) (above, below string) {
	lines := s.Wrap(text, most)
	if len(lines) == 0 {
		return "", ""
	}
	return s.Fit(lines[0], most), s.Fit(strings.Join(lines[1:], " "), most)
}

// longLabel is how long a line of a label is at most before it is broken, mm: a long one finds no room beside the picture.
const longLabel = 70.0

// shortLines breaks the lines of a label that are too long.
func shortLines(s *drawing.TextStyle, lines []string) (out []string) {
	for _, t := range lines {
		if s.Width(t) <= longLabel {
			out = append(out, t)
			continue
		}
		out = append(out, s.Wrap(t, longLabel)...)
	}
	return out
}
