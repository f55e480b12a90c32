package chart

import (
	"barover/render/drawing"
	"barover/solver/plane"
)

// key names the curves and the envelope under the field, below the name of its axis, from the left.
func (f field) key(l *drawing.Layer, box drawing.Box, c *Chart) {
	x, y := box.Min.X+2, box.Min.Y+1.5
	name := func(words string, sample func(from, to plane.Vec)) {
		if words == "" || x+10+smallText.Width(words) > box.Max.X {
			return
		}
		sample(plane.Vec{X: x, Y: y + 1.2}, plane.Vec{X: x + 8, Y: y + 1.2})
		l.Write(plane.Vec{X: x + 9.5, Y: y}, drawing.Start, smallText, words)
		x += 14 + smallText.Width(words)
	}
	for _, k := range c.Curves {
		name(k.Name, func(from, to plane.Vec) { l.Draw(drawing.Line(from, to), k.Style, "") })
	}
	if c.Within != nil {
		name(c.Within.Name, func(from, to plane.Vec) {
			up := plane.Vec{Y: 1}
			l.Draw(drawing.Rect(from.Sub(up), to.Add(up)), within, "")
			l.Draw(append(drawing.Line(from.Sub(up), to.Sub(up)), drawing.Line(from.Add(up), to.Add(up))...), edge, "")
		})
	}
}

// keyLine is how long the sample of a line is in a key of its own, mm: as long as the longest pattern.
const keyLine = 24.0

// KeyWidth is how wide a key of its own wants to be, mm.
func KeyWidth(c Chart) float64 {
	text, w := smallText, 0.0
	for _, k := range c.Curves {
		w = max(w, text.Width(k.Name))
	}
	for _, g := range c.Signs {
		w = max(w, text.Width(g.Name))
	}
	return keyLine + w + 6
}

// Key draws the key of a large chart in a box of its own, from the top: its lines, its signs, and a last word.
func Key(l *drawing.Layer, box drawing.Box, c Chart, note string) {
	text := smallText
	x, y, step := box.Min.X+2, box.Max.Y-2*text.Height, 3*text.Height
	room := box.Max.X - x - 1
	row := func(name string, sample func(at plane.Vec)) {
		if name == "" || y < box.Min.Y {
			return
		}
		sample(plane.Vec{X: x, Y: y + text.Height/2})
		for _, t := range text.Wrap(name, room-keyLine-2) { // what tells one from another often stands at its end
			l.Write(plane.Vec{X: x + keyLine + 2, Y: y}, drawing.Start, text, text.FitMiddle(t, room-keyLine-2))
			y -= 1.7 * text.Height
		}
		y -= step - 1.7*text.Height
	}
	for _, k := range c.Curves {
		row(k.Name, func(at plane.Vec) { l.Draw(drawing.Line(at, at.Add(plane.Vec{X: keyLine})), k.Style, "") })
	}
	y -= step / 2
	for _, g := range c.Signs {
		row(g.Name, func(at plane.Vec) { g.Shape.draw(l, at.Add(plane.Vec{X: keyLine / 2}), g.Name) })
	}
	y -= step / 2
	for _, t := range text.Wrap(note, room) {
		if y < box.Min.Y {
			return
		}
		l.Write(plane.Vec{X: x, Y: y}, drawing.Start, text, text.Fit(t, room))
		y -= 1.7 * text.Height
	}
}
