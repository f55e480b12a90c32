package office

import (
	"barover/render/drawing"
	"barover/solver/plane"
)

// Kind is a kind of line, or a fill, and what it means.
type Kind struct {
	Style *drawing.Style
	Words string
}

// Rooms of the key, mm.
const (
	sample     = 18.0 // long enough for all the dashes of any line
	sampleRoom = 21.0
	kindHigh   = 4.2 // at most, for one line of words
	wideKey    = 150.0
)

// Legend explains kinds of lines in a box, in two columns where it is wide. Words that are too long stand in more lines.
func Legend(l *drawing.Layer, b drawing.Box, kinds []Kind) {
	l.Draw(drawing.Rect(b.Min, b.Max), BlockLine, "")
	w, h := b.Size()
	columns := 1
	if w > wideKey {
		columns = 2
	}
	wide := w / float64(columns)
	words, lines := make([][]string, len(kinds)), 0
	for i, k := range kinds {
		words[i] = Text25.Wrap(k.Words, wide-sampleRoom-4)
		lines += len(words[i])
	}
	each := (lines + columns - 1) / columns
	step := min(kindHigh, (h-1.4)/float64(max(1, each)))
	column, n := 0, 0 // lines that stand in the column
	for i, k := range kinds {
		if n > 0 && column < columns-1 && n+len(words[i]) > each {
			column, n = column+1, 0
		}
		x, y := b.Min.X+float64(column)*wide+3, b.Max.Y-0.7-(float64(n)+0.5)*step
		if k.Style.Fill.On {
			l.Draw(drawing.Rect(plane.Vec{X: x, Y: y - 1}, plane.Vec{X: x + sample, Y: y + 1}), k.Style, "")
		} else {
			l.Draw(drawing.Line(plane.Vec{X: x, Y: y}, plane.Vec{X: x + sample, Y: y}), k.Style, "")
		}
		for j, t := range words[i] {
			l.Write(plane.Vec{X: x + sampleRoom, Y: y - 1.2 - float64(j)*step}, drawing.Start, Text25, Text25.Fit(t, wide-sampleRoom-4))
		}
		n += len(words[i])
	}
}
