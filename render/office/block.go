package office

import (
	"math"
	"strconv"
	"strings"

	"barover/render/drawing"
	"barover/solver/plane"
)

// Cautions are on every sheet.
const Cautions = "Ideal rigid geometry. Turn the engine by hand, no steam or air, before power. " +
	"Boilers and pressure parts: local code and a licensed inspector."

// Block is what the title block says.
type Block struct {
	Title  string
	File   string // the sketch's name; two lines where there are two sketches
	Digest string // of all that the sketch was read from, so that two prints can be told apart
	Values string // which values count: "as it stands", "as drawn", "case rod_4"; or two lines
	Unit   string // of lengths: "mm", "in"

	Sheet, Sheets int // which sheet of how many; zero: 1 of 1
}

// field is a field of the title block: its caption and what stands in it. x and w, mm, from the block's left side.
type field struct {
	x, w    float64
	caption string
	text    string
	style   *drawing.TextStyle
}

// TitleBlock draws the title block, fields after ISO 7200. It has no date, so that the same sketch gives the same sheet.
func TitleBlock(d *drawing.Drawing, b drawing.Box, o *Block, kind, scale, paper string) {
	d.Kind, d.Subject = kind, o.Subject()
	l := d.Layer("title", "Title block")
	l.Draw(drawing.Rect(b.Min, b.Max), BlockLine, "")
	sheet, sheets, parting := max(1, o.Sheet), max(1, o.Sheets), o.parting()
	rows := []struct {
		high   float64
		fields []field
	}{
		{12, []field{{0, 120, "title", o.Title, Bold35}, {120, 60, "document", kind, Text25}}},
		{9, []field{{0, parting, "sketch", o.File, Text25}, {parting, named - parting, "values used", o.Values, Text25},
			{120, 26, "scale", scale, scaleStyle(scale)}, {146, 14, "paper", paper, Text25},
			{160, 20, "sheet", strconv.Itoa(sheet) + " of " + strconv.Itoa(sheets), Text25}}},
		{8, []field{{0, 30, "drawn", "", Text25}, {30, 30, "checked", "", Text25}, {60, 30, "approved", "", Text25},
			{90, 30, "digest", o.Digest, Text25}, {120, 60, "units", o.unitWords(), Text25}}},
		{8, []field{{0, 180, "", Cautions, Text25}}},
	}
	y := b.Max.Y
	for _, r := range rows {
		y -= r.high
		if y > b.Min.Y+0.1 {
			l.Draw(drawing.Line(plane.Vec{X: b.Min.X, Y: y}, plane.Vec{X: b.Max.X, Y: y}), ThinLine, "")
		}
		for _, f := range r.fields {
			x := b.Min.X + f.x
			if f.x > 0 {
				l.Draw(drawing.Line(plane.Vec{X: x, Y: y}, plane.Vec{X: x, Y: y + r.high}), ThinLine, "")
			}
			style, lines := f.lines(r.high)
			if len(lines) < linesIn(r.high) { // as many as have room say by themselves what they are
				l.Write(plane.Vec{X: x + 1, Y: y + r.high - captionDown}, drawing.Start, Caption, Caption.Fit(f.caption, f.w-1.5))
			}
			for i, t := range lines {
				up := 1.3
				if len(lines) > 1 {
					up = 1 + lineHigh*float64(len(lines)-1-i)
				}
				l.Write(plane.Vec{X: x + 1.5, Y: y + up}, drawing.Start, style, t)
			}
		}
	}
}

// captionDown is how far below the upper line of its field a caption stands, mm: two lines of words have room below it.
const captionDown = 3.2

// Subject is what a drawing is made from: its sketch, the values used and the digest of both.
func (o *Block) Subject() string {
	var words []string
	for _, t := range []string{o.File, o.Values, o.Digest} {
		if t != "" {
			words = append(words, strings.ReplaceAll(t, "\n", ", "))
		}
	}
	return strings.Join(words, "; ")
}

// named is the room of the sketch's name and of the values used together, mm, and where the values usually begin.
const (
	named   = 120.0
	usually = 72.0
)

// parting is where the values used begin beside the sketch, mm: further to a side where the other has too little room for
// its words, and this one has some left.
func (o *Block) parting() float64 {
	file, values := asks("sketch", o.File), asks("values used", o.Values)
	if file > usually {
		return max(usually, min(file, named-values))
	}
	return min(usually, max(file, named-values))
}

// asks is how wide a field must be for its words, in whole mm.
func asks(caption, text string) float64 {
	wide := Caption.Width(caption) + 1.5
	for line := range strings.SplitSeq(text, "\n") {
		wide = max(wide, Text25.Width(line)+fieldRoom)
	}
	return math.Ceil(wide)
}

// fieldRoom is what a field has beside its words, mm.
const fieldRoom = 3.0

// lines are what stands in a field of a row so high: in one line, as large as that can be; in more where it is too long, or has two.
func (f field) lines(high float64) (*drawing.TextStyle, []string) {
	most := f.w - fieldRoom
	if above, below, two := strings.Cut(f.text, "\n"); two {
		if max(Text25.Width(above), Text25.Width(below)) > most {
			if one := Text25.Wrap(above+"; "+below, most); len(one) == 2 { // one of the two is short
				above, below = one[0], one[1]
			}
		}
		return Text25, []string{Text25.FitMiddle(above, most), Text25.FitMiddle(below, most)} // names often differ at their ends
	}
	s := fitted(f.style, f.text, most)
	if s.Width(f.text) <= most {
		return s, []string{f.text}
	}
	if f.style == Bold35 && high > 9 {
		s = Bold25
	}
	return s, Wrapped(s, f.text, most, linesIn(high))
}

// linesIn is how many lines of words have room in a row so high; a caption takes the first.
func linesIn(high float64) int { return int(high / lineHigh) }

// scaleStyle is large for a scale and plain for a word in its place.
func scaleStyle(scale string) *drawing.TextStyle {
	if strings.Contains(scale, ":") {
		return Bold35
	}
	return Text25
}

// fitted returns the style, or a smaller one where the text is too long in it.
func fitted(s *drawing.TextStyle, text string, most float64) *drawing.TextStyle {
	if s == Bold35 && s.Width(text) > most {
		return Bold25
	}
	return s
}

func (o *Block) unitWords() string {
	u := o.Unit
	switch u {
	case "":
		u = "mm"
	case "in": // which reads as a word
		u = "inches"
	}
	return "lengths in " + u + ", angles in °"
}
