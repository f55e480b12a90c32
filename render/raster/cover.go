package raster

import (
	"image"
	"image/color"

	"github.com/srwiley/rasterx"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"
)

// cover fills paths by golang.org/x/image/vector. It works only within the bounding box of the paths; the scanner of rasterx
// goes over the whole picture for every line.
type cover struct {
	to     *image.RGBA
	colour image.Uniform
	edges  [][2]fixed.Point26_6
	at     fixed.Point26_6
	area   vector.Rasterizer
}

var _ rasterx.Scanner = (*cover)(nil)

// Start begins a path.
func (c *cover) Start(a fixed.Point26_6) { c.at = a }

// Line adds an edge.
func (c *cover) Line(b fixed.Point26_6) {
	c.edges = append(c.edges, [2]fixed.Point26_6{c.at, b})
	c.at = b
}

// GetPathExtent returns the bounding box of the edges, in dots.
func (c *cover) GetPathExtent() (box fixed.Rectangle26_6) {
	for i, e := range c.edges {
		for _, p := range e {
			if i == 0 && p == e[0] {
				box = fixed.Rectangle26_6{Min: p, Max: p}
			}
			box.Min.X, box.Max.X = min(box.Min.X, p.X), max(box.Max.X, p.X)
			box.Min.Y, box.Max.Y = min(box.Min.Y, p.Y), max(box.Max.Y, p.Y)
		}
	}
	return box
}

// Draw paints what the edges enclose.
func (c *cover) Draw() {
	b := c.GetPathExtent()
	box := image.Rect(b.Min.X.Floor(), b.Min.Y.Floor(), b.Max.X.Ceil(), b.Max.Y.Ceil()).Intersect(c.to.Rect)
	if box.Empty() {
		return
	}
	c.area.Reset(box.Dx(), box.Dy())
	dot := func(p fixed.Point26_6) (x, y float32) {
		return float32(p.X)/64 - float32(box.Min.X), float32(p.Y)/64 - float32(box.Min.Y)
	}
	for _, e := range c.edges {
		c.area.MoveTo(dot(e[0]))
		c.area.LineTo(dot(e[1]))
	}
	c.area.Draw(c.to, box, &c.colour, image.Point{})
}

// Clear forgets the edges.
func (c *cover) Clear() { c.edges = c.edges[:0] }

// SetColor sets what is painted with.
func (c *cover) SetColor(to any) { c.colour.C = to.(color.Color) }

// SetBounds does nothing: the size of the picture is known.
func (c *cover) SetBounds(int, int) {}

// SetWinding does nothing: paths are always filled by the nonzero rule.
func (c *cover) SetWinding(bool) {}

// SetClip does nothing: the whole picture is painted.
func (c *cover) SetClip(image.Rectangle) {}
