package drawing

import "fmt"

// LineType is a line's pattern, by its number in ISO 128-2.
type LineType uint8

// The line types used here.
const (
	Continuous                   LineType = 1
	Dashed                       LineType = 2
	DashedSpaced                 LineType = 3
	LongDashDot                  LineType = 4
	Dotted                       LineType = 7
	LongDashShortDash            LineType = 8
	LongDashTwoShortDash         LineType = 9
	DashDot                      LineType = 10
	gap, dot, short, dash, space          = 3, 0.5, 6, 12, 18
	long                                  = 24
)

// Dashes returns the pattern of a line of that width: drawn, left out, drawn, …, mm; nil for a continuous line. The
// elements are so many line widths long (ISO 128-2 table 3): gap 3, space 18, dot at most 0.5, short dash 6, dash 12, long dash 24.
func (t LineType) Dashes(width float64) []float64 {
	var k []float64
	switch t {
	case Dashed:
		k = []float64{dash, gap}
	case DashedSpaced:
		k = []float64{dash, space}
	case DashDot:
		k = []float64{dash, gap, dot, gap}
	case LongDashDot:
		k = []float64{long, gap, dot, gap}
	case Dotted:
		k = []float64{dot, gap}
	case LongDashShortDash:
		k = []float64{long, gap, short, gap}
	case LongDashTwoShortDash:
		k = []float64{long, gap, short, gap, short, gap}
	}
	for i := range k {
		k[i] *= width
	}
	return k
}

// Colour is an opaque colour, or none. Opaque, so that a tint looks the same in every viewer and on every printer.
type Colour struct {
	R, G, B uint8
	On      bool
}

// None draws nothing.
var None Colour

// RGB returns the colour 0xRRGGBB.
func RGB(v uint32) Colour { return Colour{uint8(v >> 16), uint8(v >> 8), uint8(v), true} }

func (c Colour) String() string {
	if !c.On {
		return "none"
	}
	return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B)
}

// Style is how a path is drawn. Its name is a word that no other style of the drawing has, of a text neither: the class in
// SVG.
type Style struct {
	Name   string
	Width  float64 // mm; of ISO 128's series 0.13 0.18 0.25 0.35 0.5 0.7 1
	Line   LineType
	Stroke Colour
	Fill   Colour
}

// TextStyle is how a line of text is drawn. Its name is as that of a Style.
type TextStyle struct {
	Name   string
	Height float64 // mm, of capitals; of ISO 3098's series 1.8 2.5 3.5 5 7
	Bold   bool
	Colour Colour
	Halo   bool // a white edge, so that it reads on top of lines
}

// Halo is how far the white edge of a text reaches beyond its letters, mm.
const Halo = 0.45
