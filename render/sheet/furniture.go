package sheet

import (
	"math"
	"strconv"
	"strings"

	"barover/render/drawing"
	"barover/solver/plane"
)

// Cautions stand on every sheet.
const Cautions = "Ideal rigid geometry. Turn the engine by hand, no steam or air, before power. " +
	"Boilers and pressure parts: local code and a licensed inspector."

// legendEntry is a kind of line and what it means.
type legendEntry struct {
	style *drawing.Style
	words string
}

// furniture draws all that is round the picture: border, title block, table, legend, check lengths.
func (v *bothView) furniture(kind string) {
	d, l, o := v.now.d, &v.now.l, v.now.o
	if o.Type != "" {
		kind = o.Type
	}
	scale := l.scale.String()
	if v.now.box.Empty() { // answers alone: nothing is measured off such a sheet
		kind, scale, l.rulers = "Answers; no parts to draw", "–", false
	}
	border(d, l.frame)
	titleBlock(d, l.block, o, kind, scale, l.paper.Name)
	v.tableOn()
	v.now.drawLegend()
	if l.rulers {
		rulers(d, l)
	} else if c, ok := v.now.scaleBar(); ok {
		ruler(d.Layer("scale-bar", "Scale bar"), c.at, plane.Vec{X: 1}, c.length, c.n, c.name, 1, 0.5)
	}
}

// fieldLetters name the rows of the border's fields; I and O would pass for figures.
const fieldLetters = "ABCDEFGHJKLMNPQRSTUVWXYZ"

// border draws the frame with its centring marks and the reference letters and figures of the fields, after ISO 5457.
func border(d *drawing.Drawing, f drawing.Box) {
	l := d.Layer("border", "Border")
	l.Draw(drawing.Rect(f.Min, f.Max), frameLine, "")
	c := f.Centre()
	for _, m := range [][2]plane.Vec{
		{{X: c.X, Y: f.Max.Y + 5}, {X: c.X, Y: f.Max.Y - 5}}, {{X: c.X, Y: f.Min.Y - 5}, {X: c.X, Y: f.Min.Y}},
		{{X: f.Min.X - 5, Y: c.Y}, {X: f.Min.X + 5, Y: c.Y}}, {{X: f.Max.X + 5, Y: c.Y}, {X: f.Max.X - 5, Y: c.Y}}} {
		l.Draw(drawing.Line(m[0], m[1]), frameLine, "")
	}
	w, h := f.Size()
	fields := func(n int, length float64, at func(t float64) (mark, from, to plane.Vec), name func(i int) string) {
		for i := range n {
			p, _, _ := at((float64(i) + 0.5) / float64(n))
			l.Write(p.Sub(plane.Vec{Y: 0.9}), drawing.Middle, zoneText, name(i))
			if i > 0 {
				_, a, b := at(float64(i) / float64(n))
				l.Draw(drawing.Line(a, b), thinLine, "")
			}
		}
	}
	count := func(length float64) int { return max(2, 2*int(length/100+0.5)) }
	figure := func(i int) string { return strconv.Itoa(i + 1) }
	letter := func(i int) string { return fieldLetters[i%len(fieldLetters) : i%len(fieldLetters)+1] }
	for _, y := range []float64{f.Max.Y, f.Min.Y - 5} {
		fields(count(w), w, func(t float64) (plane.Vec, plane.Vec, plane.Vec) {
			x := f.Min.X + t*w
			return plane.Vec{X: x, Y: y + 2.5}, plane.Vec{X: x, Y: y}, plane.Vec{X: x, Y: y + 5}
		}, figure)
	}
	for _, x := range []float64{f.Min.X - 5, f.Max.X} {
		fields(count(h), h, func(t float64) (plane.Vec, plane.Vec, plane.Vec) {
			y := f.Max.Y - t*h
			return plane.Vec{X: x + 2.5, Y: y}, plane.Vec{X: x, Y: y}, plane.Vec{X: x + 5, Y: y}
		}, letter)
	}
}

// field is a field of the title block: its caption and what stands in it. x and w, mm, from the block's left side.
type field struct {
	x, w    float64
	caption string
	text    string
	style   *drawing.TextStyle
}

// titleBlock draws the title block, fields after ISO 7200. It has no date, so that the same sketch gives the same sheet.
func titleBlock(d *drawing.Drawing, b drawing.Box, o *Options, kind, scale, paper string) {
	d.Kind, d.Subject = kind, o.subject()
	l := d.Layer("title", "Title block")
	l.Draw(drawing.Rect(b.Min, b.Max), blockLine, "")
	sheet, sheets := max(1, o.Sheet), max(1, o.Sheets)
	rows := []struct {
		high   float64
		fields []field
	}{
		{11, []field{{0, 120, "title", o.Title, bold35}, {120, 60, "document", kind, text25}}},
		{9, []field{{0, 72, "sketch", o.File, text25}, {72, 48, "values used", o.Values, text25},
			{120, 26, "scale", scale, scaleStyle(scale)}, {146, 14, "paper", paper, text25},
			{160, 20, "sheet", strconv.Itoa(sheet) + " of " + strconv.Itoa(sheets), text25}}},
		{8, []field{{0, 30, "drawn", "", text25}, {30, 30, "checked", "", text25}, {60, 30, "approved", "", text25},
			{90, 30, "digest", o.Digest, text25}, {120, 60, "units", unitWords(o.Words), text25}}},
		{9, []field{{0, 180, "", Cautions, text25}}},
	}
	y := b.Max.Y
	for _, r := range rows {
		y -= r.high
		if y > b.Min.Y+0.1 {
			l.Draw(drawing.Line(plane.Vec{X: b.Min.X, Y: y}, plane.Vec{X: b.Max.X, Y: y}), thinLine, "")
		}
		for _, f := range r.fields {
			x := b.Min.X + f.x
			if f.x > 0 {
				l.Draw(drawing.Line(plane.Vec{X: x, Y: y}, plane.Vec{X: x, Y: y + r.high}), thinLine, "")
			}
			style, lines := f.lines(r.high)
			if r.high > 9 || len(lines) == 1 && f.caption != "" { // two lines say by themselves what they are
				l.Write(plane.Vec{X: x + 1, Y: y + r.high - 3.2}, drawing.Start, caption, caption.Fit(f.caption, f.w-1.5))
			}
			for i, t := range lines {
				up := 1.3
				if len(lines) > 1 {
					up = 1 + 1.45*style.Height*float64(len(lines)-1-i)
				}
				l.Write(plane.Vec{X: x + 1.5, Y: y + up}, drawing.Start, style, t)
			}
		}
	}
}

// subject is what a drawing is made from: its sketch, the values used and the digest of both.
func (o *Options) subject() string {
	var words []string
	for _, t := range []string{o.File, o.Values, o.Digest} {
		if t != "" {
			words = append(words, strings.ReplaceAll(t, "\n", ", "))
		}
	}
	return strings.Join(words, "; ")
}

// lines are what stands in a field of a row so high: in one line, as large as that can be; in two where it is too long, or
// has two.
func (f field) lines(high float64) (*drawing.TextStyle, []string) {
	most := f.w - 3
	if above, below, two := strings.Cut(f.text, "\n"); two {
		return text25, []string{text25.Fit(above, most), text25.Fit(below, most)}
	}
	s := fitted(f.style, f.text, most)
	if s.Width(f.text) <= most {
		return s, []string{f.text}
	}
	if f.style == bold35 && high > 9 {
		s = bold25
	}
	above, below := twoLines(s, f.text, most)
	if below == "" {
		return s, []string{above}
	}
	return s, []string{above, below}
}

// scaleStyle is large for a scale and plain for a word in its place.
func scaleStyle(scale string) *drawing.TextStyle {
	if strings.Contains(scale, ":") {
		return bold35
	}
	return text25
}

// fitted returns the style, or a smaller one where the text is too long in it.
func fitted(s *drawing.TextStyle, text string, most float64) *drawing.TextStyle {
	smaller := map[*drawing.TextStyle]*drawing.TextStyle{bold35: bold25, text35: text25}
	for s.Width(text) > most && smaller[s] != nil {
		s = smaller[s]
	}
	return s
}

func unitWords(w Words) string {
	u := unitName(w)
	if u == "in" { // which reads as a word
		u = "inches"
	}
	return "lengths in " + u + ", angles in °"
}

// drawLegend explains the kinds of lines that the sheet uses.
func (v *view) drawLegend() {
	l := v.d.Layer("legend", "Legend")
	b := v.l.legend
	l.Draw(drawing.Rect(b.Min, b.Max), blockLine, "")
	w, h := b.Size()
	columns := 1
	if w > 150 {
		columns = 2
	}
	each := (len(v.kinds) + columns - 1) / columns
	if each == 0 {
		return
	}
	step := min(4.2, (h-1.4)/float64(each))
	for i, k := range v.kinds {
		x := b.Min.X + float64(i/each)*w/float64(columns) + 3
		y := b.Max.Y - 0.7 - (float64(i%each)+0.5)*step
		if k.style.Fill.On {
			l.Draw(drawing.Rect(plane.Vec{X: x, Y: y - 1}, plane.Vec{X: x + 14, Y: y + 1}), k.style, "")
		} else {
			l.Draw(drawing.Line(plane.Vec{X: x, Y: y}, plane.Vec{X: x + 14, Y: y}), k.style, "")
		}
		l.Write(plane.Vec{X: x + 16.5, Y: y - 1.2}, drawing.Start, text25, text25.Fit(k.words, w/float64(columns)-20))
	}
}

// scaleBar is a length of the engine at the scale of a sheet that is not at full size: a print or a screen has seldom the
// size that it should.
type scaleBar struct {
	at     plane.Vec
	length float64 // mm of paper
	n      int     // divisions
	name   string
}

// scaleBar chooses a round length in the lower left corner, below all that is drawn.
func (v *view) scaleBar() (c scaleBar, ok bool) {
	unit := 1.0
	if unitName(v.w) == "in" {
		unit = 25.4
	}
	if v.l.rulers || v.box.Empty() || !(v.k > 0) {
		return c, false
	}
	const longest = 50.0
	most := longest / (unit * v.k)
	ten := math.Pow(10, math.Floor(math.Log10(most)))
	of := 1.0
	for _, c := range []float64{2, 5} {
		if c*ten <= most {
			of = c
		}
	}
	c = scaleBar{at: v.l.picture.Min.Add(plane.Vec{X: 5, Y: 2.5}), length: of * ten * unit * v.k, n: 5}
	if of == 2 {
		c.n = 4
	}
	c.name = strconv.FormatFloat(of*ten, 'g', 6, 64) + " " + unitName(v.w)
	return c, c.length > 1
}

// box is round the bar and its name.
func (c scaleBar) box() drawing.Box {
	half := label25.Width(c.name) / 2
	return drawing.Box{Min: plane.Vec{X: min(c.at.X, c.at.X+c.length/2-half), Y: c.at.Y},
		Max: plane.Vec{X: max(c.at.X+c.length, c.at.X+c.length/2+half), Y: c.at.Y + 4}}
}

// ruleLong is the room along a rule of both check lengths, mm.
const ruleLong = 107.0

// ruled reports whether there is room for a rule both ways.
func (l *layout) ruled() bool {
	w, _ := l.picture.Size()
	return w-rulerRoom >= ruleLong && l.frame.Max.Y-l.legend.Max.Y >= ruleLong
}

// upright is where the upright rule begins: beside the picture, or, where that is too low, above the legend.
func (l *layout) upright() float64 {
	if y := l.picture.Min.Y; l.frame.Max.Y-y >= ruleLong {
		return y
	}
	return l.legend.Max.Y
}

// rulers draws a rule in both ways, 100 mm on one edge and 4 in on the other, by which a print at full size is tried.
func rulers(d *drawing.Drawing, l *layout) {
	layer := d.Layer("check-lengths", "Check lengths")
	both := func(at, u plane.Vec, along float64) {
		ruler(layer, at, u, 100, 10, "100 mm", 1, along)
		ruler(layer, at, u, 101.6, 4, "4 in", -1, along)
	}
	level := plane.Vec{X: l.picture.Min.X + 3, Y: l.picture.Min.Y - rulerRoom + 5.5}
	both(level, plane.Vec{X: 1}, 0.5)
	up := plane.Vec{X: l.frame.Min.X + 5.5, Y: l.upright() + 3}
	along := 0.5
	if math.Abs(up.Y+50-l.frame.Centre().Y) < 10 { // off the border's mark for the camera
		along = 0.25
	}
	both(up, plane.Vec{Y: 1}, along)
	if w, _ := l.picture.Size(); w > ruleLong+70 {
		layer.Write(level.Add(plane.Vec{X: 106, Y: -1.2}), drawing.Start, text25, "try these with a rule before measuring off a print")
	}
}

// ruler draws a length from a along u with n divisions on one side of the line, 1 to the left of the way and -1 to its
// right, and its name so far along.
func ruler(l *drawing.Layer, a, u plane.Vec, length float64, n int, name string, side, along float64) {
	p := drawing.Line(a, a.Add(u.Scale(length)))
	across := u.Turned()
	for i := range n + 1 {
		tick := 1.0
		if i == 0 || i == n {
			tick = 2.2
		}
		at := a.Add(u.Scale(length * float64(i) / float64(n)))
		p = append(p, drawing.Line(at, at.Add(across.Scale(side*tick)))...)
	}
	l.Draw(p, thinLine, "check length "+name)
	off := 1.4
	if side < 0 {
		off = -off - label25.Height
	}
	t := drawing.Text{At: a.Add(u.Scale(length * along)).Add(across.Scale(off)), Anchor: drawing.Middle, Style: label25, S: name}
	if u.Y != 0 {
		t.Angle = math.Pi / 2
	}
	l.Items = append(l.Items, t)
}
