// Package drawing is a drawing before it is a file: lines, true arcs, outlines placed many times, and lettering, in
// layers, in millimetres of paper. The backends render/svg, render/pdf and render/raster write it out; render/dxf writes
// its outlines.
//
// Paper coordinates have their origin at the lower left corner, x to the right and y up, as the engine's side view has.
// An outline that has many positions in a turn is defined once and placed by Use. That keeps files small and drawing
// fast, and a backend may write it once.
//
// It knows no file format and no engine. A newcomer may add a kind of line; every backend must then write it.
package drawing

import (
	"math"
	"slices"

	"barover/solver/plane"
)

// Drawing is one page.
type Drawing struct {
	Title         string
	Kind          string  // which of the sheets it is, for the bookmarks of a file that has several
	Subject       string  // what it is drawn from
	Width, Height float64 // mm of paper
	Layers        []*Layer
	Outlines      []Path // about their own origin; placed by Use
}

// New returns an empty page of that size, mm.
func New(title string, width, height float64) *Drawing {
	return &Drawing{Title: title, Width: width, Height: height}
}

// Layer is a set of items drawn together. Layers are drawn in their order, items in theirs.
type Layer struct {
	ID    string // a word: the id of its group in SVG
	Title string // for people: the layer's name in PDF
	Items []Item
}

// Layer returns the layer of that id, adding it above the others if there is none.
func (d *Drawing) Layer(id, title string) *Layer {
	for _, l := range d.Layers {
		if l.ID == id {
			return l
		}
	}
	l := &Layer{ID: id, Title: title}
	d.Layers = append(d.Layers, l)
	return l
}

// Define adds an outline to be placed by Use and returns its number.
func (d *Drawing) Define(p Path) int {
	d.Outlines = append(d.Outlines, p)
	return len(d.Outlines) - 1
}

// Item is a Shape, a Use, a Text or a Picture.
type Item interface {
	sound(d *Drawing) bool
	// Look is the name of its style, and the Style or TextStyle itself; "" and nil where it has none.
	Look() (name string, style any)
}

// Shape is a path drawn where it stands.
type Shape struct {
	Path  Path
	Style *Style
	Label string // shown when pointed at
}

// Use is an outline of the Drawing at a placement on the paper.
type Use struct {
	Outline int
	At      plane.Placement
	Style   *Style
	Label   string
}

// Anchor says which end of a text its place is.
type Anchor uint8

// The anchors.
const (
	Start Anchor = iota
	Middle
	End
)

// Text is one line of lettering. At is on the base line.
type Text struct {
	At     plane.Vec
	Angle  float64 // rad
	Anchor Anchor
	Style  *TextStyle
	S      string
}

// Draw adds a path.
func (l *Layer) Draw(p Path, s *Style, label string) {
	l.Items = append(l.Items, Shape{p, s, label})
}

// Place adds a defined outline at a placement.
func (l *Layer) Place(outline int, at plane.Placement, s *Style, label string) {
	l.Items = append(l.Items, Use{outline, at, s, label})
}

// Write adds a line of text.
func (l *Layer) Write(at plane.Vec, anchor Anchor, s *TextStyle, text string) {
	l.Items = append(l.Items, Text{At: at, Anchor: anchor, Style: s, S: text})
}

// reach is how far from the paper's corner a coordinate may lie, mm. What lies farther, or is no number, is left out:
// a viewer that meets it may draw nothing at all.
const reach = 1e5

func within(v plane.Vec) bool { return math.Abs(v.X) <= reach && math.Abs(v.Y) <= reach }

func (s Shape) Look() (string, any) { return s.Style.Name, *s.Style }

func (u Use) Look() (string, any) { return u.Style.Name, *u.Style }

func (t Text) Look() (string, any) { return t.Style.Name, *t.Style }

func (s Shape) sound(*Drawing) bool { return s.Style != nil && s.Path.sound() }

func (u Use) sound(d *Drawing) bool {
	return u.Style != nil && u.Outline >= 0 && u.Outline < len(d.Outlines) && within(u.At.Origin) &&
		math.Abs(u.At.Dir.Len()-1) < 1e-6 && d.Outlines[u.Outline].sound()
}

func (t Text) sound(*Drawing) bool {
	return t.Style != nil && within(t.At) && math.Abs(t.Angle) <= reach && t.S != ""
}

// Sound returns the items of a layer that can be drawn: those without a coordinate that is no number or lies kilometres
// off the paper. Every backend draws these and no others.
func (d *Drawing) Sound(l *Layer) []Item {
	out := make([]Item, 0, len(l.Items))
	for _, i := range l.Items {
		if i.sound(d) {
			out = append(out, i)
		}
	}
	return out
}

// Raise puts the layers of those names above all others, in that order.
func (d *Drawing) Raise(ids ...string) {
	for _, id := range ids {
		if i := slices.IndexFunc(d.Layers, func(l *Layer) bool { return l.ID == id }); i >= 0 {
			l := d.Layers[i]
			d.Layers = append(slices.Delete(d.Layers, i, i+1), l)
		}
	}
}

// Over returns a drawing with the same layers and one more above them. Neither the layers nor d are changed.
func (d *Drawing) Over(top *Layer) *Drawing {
	c := *d
	c.Layers = append(append([]*Layer(nil), d.Layers...), top)
	return &c
}
