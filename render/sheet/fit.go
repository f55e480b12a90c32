package sheet

import (
	"math"

	"barover/render/drawing"
)

// longLabel is how long a line of a label is at most before it is broken, mm: a long one finds no room beside the picture.
const longLabel = 70.0

// evenRoom is by how much lines of a label may be longer than its nth part, mm: about a word.
const evenRoom = 10.0

// shortLines breaks the lines of a label that are too long.
func shortLines(s *drawing.TextStyle, lines []string) (out []string) {
	for _, t := range lines {
		if s.Width(t) <= longLabel {
			out = append(out, t)
			continue
		}
		// Make the lines about equally long, so that none has a single word.
		n := math.Ceil(s.Width(t) / longLabel)
		even := s.Wrap(t, min(longLabel, s.Width(t)/n+evenRoom))
		if len(even) > int(n) {
			even = s.Wrap(t, longLabel)
		}
		out = append(out, even...)
	}
	return out
}
