// Package svg writes a drawing as SVG.
//
// Every outline is in <defs> once, and each of its positions is a <use> with a transform. A style is a class; a layer is
// a group with an id. So a sweep of hundreds of positions stays small, its one <style> can restyle it, and a script can
// reach it by layer. References are of the older kind, xlink:href, which old drawing programs read too. Arcs are true
// arcs, in pieces of a third of a turn at most. Coordinates have three decimals (0.001 mm of paper), turns six (a
// millionth of a degree). Nothing in the file depends on anything except the drawing.
//
// It knows no engine. A newcomer may change how a style is written; golden files in testdata show every byte that
// changes.
package svg

import (
	"bytes"
	"encoding/base64"
	"image/png"
	"math"
	"strconv"
	"strings"

	"barover/render/drawing"
	"barover/solver/plane"
)

// Faces are the typefaces asked for, in order: all have the widths that labels were placed with.
const Faces = "'Liberation Sans',Arial,Helvetica,sans-serif"

// Bytes returns the drawing as an SVG file.
func Bytes(d *drawing.Drawing) []byte {
	s := &sheet{d: d, high: d.Height}
	s.scan()
	s.put(`<?xml version="1.0" encoding="UTF-8"?>`, "\n", `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="`,
		d.Width, `mm" height="`, d.Height, `mm" viewBox="0 0 `, d.Width, " ", d.Height, "\">\n<title>", words(d.Title), "</title>\n")
	s.styles()
	s.defs()
	s.put(`<rect class="paper" width="100%" height="100%"/>`, "\n")
	for i, l := range d.Layers {
		s.layer(l, s.sound[i])
	}
	s.put("</svg>\n")
	return s.b
}

// sheet is a file being written.
type sheet struct {
	d       *drawing.Drawing
	high    float64
	b       []byte
	sound   [][]drawing.Item
	looks   []any          // the styles that are used: each a Style or a TextStyle
	classes map[any]string // their names in the file
	placed  []bool         // outlines that are used
}

// scan finds the styles and outlines that the drawing uses, in order of their first use.
func (s *sheet) scan() {
	s.placed = make([]bool, len(s.d.Outlines))
	s.classes = map[any]string{}
	taken := map[string]bool{"paper": true, "layer": true} // by the file itself
	for _, l := range s.d.Layers {
		items := s.d.Sound(l)
		s.sound = append(s.sound, items)
		for _, i := range items {
			if use, ok := i.(drawing.Use); ok {
				s.placed[use.Outline] = true
			}
			name, style := i.Look()
			if _, known := s.classes[style]; known || style == nil {
				continue
			}
			class := name
			for n := 2; taken[class]; n++ {
				class = name + "-" + strconv.Itoa(n)
			}
			taken[class] = true
			s.classes[style] = class
			s.looks = append(s.looks, style)
		}
	}
}

// class is the class of an item's style. It is the style's name, but a style whose name another has taken gets its own: it
// would be drawn in the other's look.
func (s *sheet) class(i drawing.Item) string {
	_, style := i.Look()
	return s.classes[style]
}

func (s *sheet) styles() {
	s.put("<style>\n.paper{fill:#fff}\n.layer{fill-rule:evenodd;stroke-linejoin:round}\ntext{font-family:", Faces, "}\n")
	var faces []drawing.TextStyle
	for _, look := range s.looks {
		switch st := look.(type) {
		case drawing.Style:
			s.line(st)
		case drawing.TextStyle:
			faces = append(faces, st)
		}
	}
	for _, st := range faces {
		s.face(st)
	}
	s.put("</style>\n")
}

// line writes how paths of a style look.
func (s *sheet) line(st drawing.Style) {
	s.put(".", s.classes[st], "{stroke:", st.Stroke.String())
	if st.Stroke.On {
		s.put(";stroke-width:", st.Width)
		for i, v := range st.Line.Dashes(st.Width) {
			s.put([]string{";stroke-dasharray:", " "}[min(i, 1)], v)
		}
	}
	s.put(";fill:", st.Fill.String(), "}\n")
}

// face writes how texts of a style look.
func (s *sheet) face(st drawing.TextStyle) {
	s.put(".", s.classes[st], "{font-size:", st.Size(), "px;fill:", st.Colour.String())
	if st.Bold {
		s.put(";font-weight:bold")
	}
	if st.Halo {
		s.put(";paint-order:stroke;stroke:#fff;stroke-linejoin:round;stroke-width:", 2*drawing.Halo)
	}
	s.put("}\n")
}

func (s *sheet) defs() {
	s.put("<defs>\n")
	for i, p := range s.d.Outlines {
		if s.placed[i] {
			s.put(`<path id="o`, strconv.Itoa(i), `" d="`)
			s.path(p, 0)
			s.put("\"/>\n")
		}
	}
	s.put("</defs>\n")
}

// layer writes one layer; neighbours of one style share a group, so that the class stands once for them all.
func (s *sheet) layer(l *drawing.Layer, items []drawing.Item) {
	s.put(`<g id="`, words(l.ID), "\" class=\"layer\">\n")
	class := ""
	for _, i := range items {
		if c := s.class(i); c != class {
			if class != "" {
				s.put("</g>\n")
			}
			s.put(`<g class="`, c, "\">\n")
			class = c
		}
		s.item(i)
	}
	if class != "" {
		s.put("</g>\n")
	}
	s.put("</g>\n")
}

func (s *sheet) item(i drawing.Item) {
	switch t := i.(type) {
	case drawing.Shape:
		s.put(`<path d="`)
		s.path(t.Path, s.high)
		s.put(`"`)
		s.label("path", t.Label)
	case drawing.Use:
		s.put(`<use xlink:href="#o`, strconv.Itoa(t.Outline), `" transform="`)
		s.move(t.At.Origin, math.Atan2(t.At.Dir.Y, t.At.Dir.X))
		s.put(`"`)
		s.label("use", t.Label)
	case drawing.Text:
		s.letters(t)
	case drawing.Picture:
		s.picture(t)
	}
}

// picture writes a picture into the file, as a PNG in base64.
func (s *sheet) picture(p drawing.Picture) {
	var b bytes.Buffer
	if err := png.Encode(&b, p.Grey); err != nil {
		return // a Buffer takes everything, and a grey picture can be encoded
	}
	wide, high := p.Box.Size()
	s.put(`<image x="`, p.Box.Min.X, `" y="`, s.high-p.Box.Max.Y, `" width="`, wide, `" height="`, high, `" preserveAspectRatio="none" xlink:href="data:image/png;base64,`, base64.StdEncoding.EncodeToString(b.Bytes()), "\"/>\n")
}

// label ends an element, with a title in it where there is a label.
func (s *sheet) label(element, label string) {
	if label == "" {
		s.put("/>\n")
		return
	}
	s.put("><title>", words(label), "</title></", element, ">\n")
}

func (s *sheet) letters(t drawing.Text) {
	s.put("<text")
	if t.Angle == 0 {
		s.put(` x="`, t.At.X, `" y="`, s.high-t.At.Y, `"`)
	} else {
		s.put(` transform="`)
		s.move(t.At, t.Angle)
		s.put(`"`)
	}
	switch t.Anchor {
	case drawing.Middle:
		s.put(` text-anchor="middle"`)
	case drawing.End:
		s.put(` text-anchor="end"`)
	}
	s.put(">", words(t.S), "</text>\n")
}

// move writes a translation and a turn; SVG's y runs down and so its angles run clockwise.
func (s *sheet) move(to plane.Vec, angle float64) {
	s.put("translate(", to.X, " ", s.high-to.Y, ")")
	if deg := -angle * 180 / math.Pi; deg != 0 {
		s.put("rotate(", string(drawing.AppendNumber(nil, deg, 6)), ")")
	}
}

// path writes path data, y turned over about high.
func (s *sheet) path(p drawing.Path, high float64) {
	var at plane.Vec
	for _, g := range p {
		switch g.Op {
		case drawing.MoveTo:
			s.put("M")
			s.place(g.To, high)
		case drawing.LineTo:
			s.put("L")
			s.place(g.To, high)
		case drawing.ArcTo:
			s.arc(at, g, high)
		case drawing.CloseTo:
			s.put("Z")
			continue
		}
		at = g.To
	}
}

// PathData returns a path as SVG has it, y turned over: for a page that sets its own matrices.
func PathData(p drawing.Path) string {
	var s sheet
	s.path(p, 0)
	return string(s.b)
}

// mostSweep is the longest arc that is written in one piece, rad. Ends and radius are rounded to 0.0005 mm each for itself.
// The height of a piece then errs by 0.002 mm at the most at a third of a turn; of a half circle, where the ends alone fix the
// centre, it would err by half a millimetre at a radius of 80.
const mostSweep = 2 * math.Pi / 3

// arc writes an arc, in pieces none of which is longer than mostSweep.
func (s *sheet) arc(from plane.Vec, g drawing.Segment, high float64) {
	out := from.Sub(g.Centre)
	n := max(1, int(math.Ceil(math.Abs(g.Sweep)/mostSweep)))
	way := " 0 0 1 "
	if g.Sweep > 0 {
		way = " 0 0 0 "
	}
	for k := 1; k <= n; k++ {
		s.put("A", out.Len(), " ", out.Len(), way)
		to := g.To
		if k < n {
			to = g.Centre.Add(out.Times(plane.Polar(g.Sweep * float64(k) / float64(n))))
		}
		s.place(to, high)
	}
}

func (s *sheet) place(v plane.Vec, high float64) { s.put(v.X, " ", high-v.Y) }

// put writes parts of the file: a string as it is, a number to a thousandth, and words escaped for XML.
func (s *sheet) put(parts ...any) {
	for _, p := range parts {
		switch t := p.(type) {
		case string:
			s.b = append(s.b, t...)
		case float64:
			s.b = drawing.AppendNumber(s.b, t, 3)
		case words:
			s.b = append(s.b, escapes.Replace(strings.Map(held, string(t)))...)
		}
	}
}

// words is text of the sketch, which must be escaped.
type words string

var escapes = strings.NewReplacer("<", "&lt;", ">", "&gt;", "&", "&amp;", `"`, "&quot;")

// held returns a letter, or a blank for one that XML does not allow.
func held(r rune) rune {
	if r < 0x20 || r == 0xfffe || r == 0xffff {
		return ' '
	}
	return r
}
