// Package raster makes a picture of dots from a drawing, and writes it as PNG.
//
// It knows no engine, and letters only as outlines. There is little to change: rasterx and x/image do the work.
package raster

import (
	"bytes"
	"context"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"
	"slices"

	"github.com/srwiley/rasterx"
	xdraw "golang.org/x/image/draw"
	"golang.org/x/image/math/fixed"

	"barover/render/drawing"
	"barover/render/lettering"
	"barover/solver/plane"
)

// Fine is the resolution drawn at, dots to the inch, where the paper is not too large for it.
const Fine = 200

// mostDots bounds a picture to what a small computer holds in memory.
const mostDots = 32e6

// Resolution returns dots to the inch for a drawing: Fine, or fewer for large paper.
func Resolution(d *drawing.Drawing) float64 {
	dots := d.Width * d.Height / (25.4 * 25.4) * Fine * Fine
	return Fine * math.Min(1, math.Sqrt(mostDots/dots))
}

// Bytes returns the drawing as a PNG file of that resolution, dots to the inch. The file says the resolution, so that it
// prints at its true size. A large picture takes seconds; the error is that of ctx.
func Bytes(ctx context.Context, d *drawing.Drawing, dpi float64) ([]byte, error) {
	b := packed{ctx: ctx}
	img, err := Image(ctx, d, dpi)
	if err == nil {
		err = png.Encode(&b, img)
	}
	if err != nil {
		return nil, err
	}
	// After the signature of 8 bytes and the header chunk of 25 stands the chunk that tells the size of a dot.
	head := 33
	var phys [21]byte
	binary.BigEndian.PutUint32(phys[0:], 9)
	copy(phys[4:], "pHYs")
	dotsPerMetre := uint32(math.Round(dpi / 0.0254))
	binary.BigEndian.PutUint32(phys[8:], dotsPerMetre)
	binary.BigEndian.PutUint32(phys[12:], dotsPerMetre)
	phys[16] = 1
	binary.BigEndian.PutUint32(phys[17:], crc32.ChecksumIEEE(phys[4:17]))
	out := append([]byte(nil), b.Bytes()[:head]...)
	return append(append(out, phys[:]...), b.Bytes()[head:]...), nil
}

// packed takes the bytes of a file for as long as they are wanted.
type packed struct {
	bytes.Buffer
	ctx context.Context
}

func (p *packed) Write(b []byte) (int, error) {
	if err := p.ctx.Err(); err != nil {
		return 0, err
	}
	return p.Buffer.Write(b)
}

// Image returns the drawing as a picture of that resolution, dots to the inch. The error is that of ctx.
func Image(ctx context.Context, d *drawing.Drawing, dpi float64) (*image.RGBA, error) {
	k := dpi / 25.4
	wide, high := int(math.Ceil(d.Width*k-0.01)), int(math.Ceil(d.Height*k-0.01))
	img := image.NewRGBA(image.Rect(0, 0, max(1, wide), max(1, high)))
	draw.Draw(img, img.Bounds(), image.White, image.Point{}, draw.Src)
	size := img.Bounds().Size()
	to := rasterx.NewDasher(size.X, size.Y, &cover{to: img})
	p := painter{img: img, k: k, to: to, tol: 0.1 / k, high: d.Height}
	for _, l := range d.Layers {
		for _, i := range d.Sound(l) {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			p.item(d, i)
		}
	}
	return img, nil
}

// painter paints items on a picture.
type painter struct {
	img  *image.RGBA
	k    float64 // dots to the mm
	to   *rasterx.Dasher
	tol  float64 // mm: how far a chord may leave its arc
	high float64 // mm: the paper's height
}

func (p painter) item(d *drawing.Drawing, i drawing.Item) {
	switch t := i.(type) {
	case drawing.Shape:
		p.path(t.Path, t.Style)
	case drawing.Use:
		p.path(d.Outlines[t.Outline].Placed(t.At), t.Style)
	case drawing.Text:
		p.letters(t)
	case drawing.Picture:
		p.picture(t)
	}
}

// picture paints a picture into its box, straight onto the image.
func (p painter) picture(t drawing.Picture) {
	dot := func(v float64) int { return int(math.Round(v * p.k)) }
	box := image.Rect(dot(t.Box.Min.X), dot(p.high-t.Box.Max.Y), dot(t.Box.Max.X), dot(p.high-t.Box.Min.Y))
	xdraw.ApproxBiLinear.Scale(p.img, box, t.Grey, t.Grey.Rect, xdraw.Src, nil)
}

func (p painter) path(path drawing.Path, s *drawing.Style) {
	runs, closed := path.Flat(p.tol)
	if s.Fill.On {
		p.fill(orient(runs), s.Fill)
	}
	if s.Stroke.On {
		p.stroke(runs, closed, s.Width, s.Line.Dashes(s.Width), s.Stroke)
	}
}

// fill paints what the runs enclose together, by the nonzero rule.
func (p painter) fill(runs [][]plane.Vec, c drawing.Colour) {
	for _, run := range runs {
		trace(&p.to.Filler, p.dots(run), true)
	}
	p.paint(&p.to.Filler, c)
}

// stroke paints lines, one after the other.
func (p painter) stroke(runs [][]plane.Vec, closed []bool, width float64, dashes []float64, c drawing.Colour) {
	inDots := make([]float64, len(dashes))
	for i, v := range dashes {
		inDots[i] = math.Round(v*p.k*64) / 64 // the library truncates to 64ths of a dot
	}
	p.to.SetStroke(fixed.Int26_6(math.Round(width*p.k*64)), 0, nil, nil, nil, rasterx.Round, inDots, 0)
	for i, run := range runs {
		if len(run) < 2 {
			continue
		}
		trace(p.to, p.dots(run), closed[i])
		p.paint(p.to, c)
	}
}

// trace gives a run to the library, in 64ths of a dot.
func trace(to rasterx.Adder, run []fixed.Point26_6, closed bool) {
	for i, at := range run {
		if i == 0 {
			to.Start(at)
		} else {
			to.Line(at)
		}
	}
	to.Stop(closed)
}

// paint paints what was traced.
func (p painter) paint(with rasterx.Scanner, c drawing.Colour) {
	with.SetColor(rgba(c))
	with.Draw()
	with.Clear()
}

// dots converts a run from mm on the paper to 64ths of a dot on the picture, whose y goes down.
func (p painter) dots(run []plane.Vec) []fixed.Point26_6 {
	out := make([]fixed.Point26_6, len(run))
	for i, v := range run {
		out[i] = rasterx.ToFixedP(v.X*p.k, (p.high-v.Y)*p.k)
	}
	return out
}

func (p painter) letters(t drawing.Text) {
	runs, closed := lettering.Outline(t.S, t.Style).Placed(t.Begins()).Flat(p.tol)
	if t.Style.Halo {
		p.stroke(runs, closed, 2*drawing.Halo, nil, drawing.RGB(0xffffff))
	}
	p.fill(runs, t.Style.Colour)
}

func rgba(c drawing.Colour) color.RGBA { return color.RGBA{c.R, c.G, c.B, 255} }

// orient turns runs so that one that lies within an even number of others runs anticlockwise and the rest clockwise:
// the library fills by counting windings, and holes must stay empty.
func orient(runs [][]plane.Vec) [][]plane.Vec {
	out := make([][]plane.Vec, len(runs))
	for i, run := range runs {
		in := false
		for j := range runs {
			if j != i && drawing.Inside(runs[j:j+1], run[0]) {
				in = !in
			}
		}
		out[i] = run
		if (area(run) < 0) != in {
			out[i] = slices.Clone(run)
			slices.Reverse(out[i])
		}
	}
	return out
}

func area(run []plane.Vec) float64 {
	sum := 0.0
	for i, b := range run {
		sum += run[(i+len(run)-1)%len(run)].Cross(b)
	}
	return sum / 2
}
