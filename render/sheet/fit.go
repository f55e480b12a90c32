package sheet

import "barover/render/drawing"

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
