// Package raster makes a picture of dots from a drawing, and writes it as PNG.
//
// It knows no engine, and no lettering except outlines. There is little to change: the drawing library does the work.
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

	"github.com/tdewolff/canvas"
	"github.com/tdewolff/canvas/renderers/rasterizer"
	xdraw "golang.org/x/image/draw"

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
	r := rasterizer.FromImage(img, canvas.DPI(dpi), canvas.LinearColorSpace{})
	p := painter{img: img, k: k, to: r, tol: 0.1 / k, lift: float64(img.Bounds().Dy())/k - d.Height}
	for _, l := range d.Layers {
		for _, i := range d.Sound(l) {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			p.item(d, i)
		}
	}
	r.Close()
	return img, nil
}

// painter paints items on a picture.
type painter struct {
	img  *image.RGBA
	k    float64 // dots to the mm
	to   *rasterizer.Rasterizer
	tol  float64 // mm: how far a chord may leave its arc
	lift float64 // mm from the picture's lower edge to the paper's, where dots do not divide the paper
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
	high := p.img.Rect.Dy()
	dot := func(v float64) int { return int(math.Round(v * p.k)) }
	box := image.Rect(dot(t.Box.Min.X), high-dot(t.Box.Max.Y+p.lift), dot(t.Box.Max.X), high-dot(t.Box.Min.Y+p.lift))
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

func (p painter) fill(runs [][]plane.Vec, c drawing.Colour) {
	style := canvas.DefaultStyle
	style.Fill = canvas.Paint{Color: rgba(c)}
	if path := p.outline(runs, nil); !path.Empty() {
		p.to.RenderPath(path, style, canvas.Identity)
	}
}

func (p painter) stroke(runs [][]plane.Vec, closed []bool, width float64, dashes []float64, c drawing.Colour) {
	style := canvas.DefaultStyle
	style.Fill = canvas.Paint{}
	style.Stroke = canvas.Paint{Color: rgba(c)}
	style.StrokeWidth, style.StrokeJoiner = width, canvas.RoundJoin
	for _, v := range dashes {
		style.Dashes = append(style.Dashes, v/width) // the library takes dashes in widths of the line
	}
	for i := range runs {
		if path := p.outline(runs[i:i+1], closed[i:i+1]); !path.Empty() {
			p.to.RenderPath(path, style, canvas.Identity)
		}
	}
}

// outline hands runs to the library; without closed every run is closed.
func (p painter) outline(runs [][]plane.Vec, closed []bool) *canvas.Path {
	out := &canvas.Path{}
	for i, run := range runs {
		if len(run) < 2 {
			continue
		}
		for j, v := range run {
			if j == 0 {
				out.MoveTo(v.X, v.Y+p.lift)
			} else {
				out.LineTo(v.X, v.Y+p.lift)
			}
		}
		if closed == nil || closed[i] {
			out.Close()
		}
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
