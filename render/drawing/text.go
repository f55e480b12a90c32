package drawing

import (
	"math"
	"strings"

	"golang.org/x/text/encoding/charmap"

	"barover/solver/plane"
)

// CapHeight is the height of capitals as a share of the type size, of Helvetica and the faces that stand for it.
const CapHeight = 0.716

// Size returns the type size, mm, that gives capitals of the style's height.
func (s *TextStyle) Size() float64 { return s.Height / CapHeight }

// Byte returns the Windows-1252 code of a letter, by which the standard faces are addressed; false if it has none.
func Byte(r rune) (byte, bool) {
	if r < 0x20 || r == 0x7f {
		return ' ', r == '\t' || r == '\n' || r == '\r'
	}
	return charmap.Windows1252.EncodeRune(r)
}

// Width returns how long a line of text is, mm. A letter that the standard faces lack counts as a wide one.
func (s *TextStyle) Width(text string) float64 {
	sum := 0
	for _, r := range text {
		sum += s.letter(r)
	}
	return s.mm(sum)
}

// letter is how wide a letter is, in thousandths of the type size.
func (s *TextStyle) letter(r rune) int {
	table := &regular
	if s.Bold {
		table = &bold
	}
	if b, ok := Byte(r); ok && b >= 0x20 {
		return int(table[b-0x20])
	}
	return 834
}

// mm is how long letters are that are so wide together.
func (s *TextStyle) mm(letters int) float64 { return float64(letters) / 1000 * s.Size() }

// Fit returns the text, shortened with … where it is longer than most, mm.
func (s *TextStyle) Fit(text string, most float64) string {
	sum, end := s.letter('…'), 0 // of what stands before end, with the …
	for i, r := range text {
		if s.mm(sum) <= most {
			end = i
		}
		sum += s.letter(r)
		if s.mm(sum-s.letter('…')) > most {
			if end == 0 {
				return ""
			}
			return text[:end] + "…"
		}
	}
	return text
}

// Wrap breaks text at blanks into lines no longer than most, mm; a single longer word is left whole.
func (s *TextStyle) Wrap(text string, most float64) []string {
	var lines []string
	var line []string
	long := 0 // of the line, in thousandths of the type size
	for word := range strings.FieldsFuncSeq(text, func(r rune) bool { return r == ' ' || r == '\t' || r == '\n' }) {
		wide := 0
		for _, r := range word {
			wide += s.letter(r)
		}
		if line != nil && s.mm(long+s.letter(' ')+wide) > most {
			lines, line = append(lines, strings.Join(line, " ")), nil
		}
		if line != nil {
			long += s.letter(' ')
		} else {
			long = 0
		}
		line, long = append(line, word), long+wide
	}
	if line != nil {
		lines = append(lines, strings.Join(line, " "))
	}
	return lines
}

// anchored is the share of a text's width that lies before its anchor.
var anchored = [...]float64{Start: 0, Middle: 0.5, End: 1}

// Begins returns the placement (mm) of the first letter: its origin on the baseline, and the direction of the line.
func (t Text) Begins() plane.Placement {
	at := plane.Placement{Origin: t.At, Dir: plane.Polar(t.Angle)}
	at.Origin = at.Out(plane.Vec{X: -anchored[t.Anchor] * t.Style.Width(t.S)})
	return at
}

// Box returns the box round a text that is not turned, or by right angles; round the circle that it may sweep if it is otherwise.
func (t Text) Box() Box {
	w, h := t.Style.Width(t.S), t.Style.Height
	x := t.At.X - anchored[t.Anchor]*w
	b := Box{plane.Vec{X: x, Y: t.At.Y - 0.3*h}, plane.Vec{X: x + w, Y: t.At.Y + h}}
	switch {
	case math.Abs(math.Remainder(t.Angle, 2*math.Pi)) < 1e-9:
		return b
	case math.Abs(math.Remainder(t.Angle, math.Pi/2)) < 1e-9:
		turn := plane.Polar(t.Angle)
		return NoBox().With(t.At.Add(b.Min.Sub(t.At).Times(turn))).With(t.At.Add(b.Max.Sub(t.At).Times(turn)))
	}
	r := max(t.At.Sub(b.Min).Len(), t.At.Sub(b.Max).Len())
	return Box{t.At, t.At}.Grown(r)
}
