package drawing

import (
	"math"

	"barover/solver/plane"

	"golang.org/x/text/encoding/charmap"
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
	table := &regular
	if s.Bold {
		table = &bold
	}
	sum := 0
	for _, r := range text {
		if b, ok := Byte(r); ok && b >= 0x20 {
			sum += int(table[b-0x20])
		} else {
			sum += 834
		}
	}
	return float64(sum) / 1000 * s.Size()
}

// Fit returns the text, shortened with … where it is longer than most, mm.
func (s *TextStyle) Fit(text string, most float64) string {
	if s.Width(text) <= most {
		return text
	}
	r := []rune(text)
	for len(r) > 0 && s.Width(string(r)+"…") > most {
		r = r[:len(r)-1]
	}
	if len(r) == 0 {
		return ""
	}
	return string(r) + "…"
}

// Wrap breaks text at blanks into lines no longer than most, mm; a single longer word is left whole.
func (s *TextStyle) Wrap(text string, most float64) []string {
	var lines []string
	line := ""
	for _, word := range fields(text) {
		switch {
		case line == "":
			line = word
		case s.Width(line+" "+word) <= most:
			line += " " + word
		default:
			lines, line = append(lines, line), word
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

func fields(text string) []string {
	var words []string
	word := ""
	for _, r := range text + " " {
		if r != ' ' && r != '\t' && r != '\n' {
			word += string(r)
			continue
		}
		if word != "" {
			words = append(words, word)
		}
		word = ""
	}
	return words
}

// Box returns the box round a text that is not turned; round the circle that it may sweep if it is.
func (t Text) Box() Box {
	w, h := t.Style.Width(t.S), t.Style.Height
	x := t.At.X
	switch t.Anchor {
	case Middle:
		x -= w / 2
	case End:
		x -= w
	}
	b := Box{plane.Vec{X: x, Y: t.At.Y - 0.3*h}, plane.Vec{X: x + w, Y: t.At.Y + h}}
	if math.Abs(math.Remainder(t.Angle, 2*math.Pi)) < 1e-9 {
		return b
	}
	r := max(t.At.Sub(b.Min).Len(), t.At.Sub(b.Max).Len())
	return Box{t.At, t.At}.Grown(r)
}
