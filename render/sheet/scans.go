package sheet

import (
	"bytes"
	"image"
	_ "image/jpeg" // the kinds of picture that a sketch may name
	"image/png"
	"math"

	"golang.org/x/image/draw"
	"golang.org/x/image/math/f64"

	"barover/render/drawing"
	"barover/solver/plane"
)

// Scan is a picture of the old drawing: the place of pixel (u, v), counted from its upper left, is Origin + u·Right + v·Down, mm of
// the engine.
type Scan struct {
	Data                []byte // of a PNG or JPEG file
	Origin, Right, Down plane.Vec
	Size                [2]int // pixels, where they are known
}

// Small is the picture, pale, in at most so many pixels either way, with its file as a PNG. It reports false where the
// picture cannot be read.
func (s *Scan) Small(most int) (small Scan, file []byte, ok bool) {
	src, _, err := image.Decode(bytes.NewReader(s.Data))
	if err != nil {
		return small, nil, false
	}
	b := src.Bounds()
	k := math.Min(1, float64(most)/float64(max(b.Dx(), b.Dy())))
	out := image.NewGray(image.Rect(0, 0, max(1, int(float64(b.Dx())*k)), max(1, int(float64(b.Dy())*k))))
	draw.Draw(out, out.Rect, image.White, image.Point{}, draw.Src)
	draw.ApproxBiLinear.Scale(out, out.Rect, src, b, draw.Over, nil)
	pale(out)
	var w bytes.Buffer
	if err := png.Encode(&w, out); err != nil {
		return small, nil, false
	}
	wide, high := float64(b.Dx())/float64(out.Rect.Dx()), float64(b.Dy())/float64(out.Rect.Dy())
	small = Scan{Origin: s.Origin, Right: s.Right.Scale(wide), Down: s.Down.Scale(high), Size: [2]int{out.Rect.Dx(), out.Rect.Dy()}}
	return small, w.Bytes(), true
}

// pale leaves a picture some of its ink, and reports whether it had any.
func pale(img *image.Gray) (ink bool) {
	for i, g := range img.Pix {
		ink = ink || g < 255
		img.Pix[i] = 255 - uint8(scanInk*float64(255-g))
	}
	return ink
}

const (
	// scanDots is how many dots to the millimetre of paper a picture is drawn with, and mostScanDots how many at most.
	scanDots     = 6
	mostScanDots = 4_000_000
	// scanInk is how much of the picture's ink is left, so that the outlines stand out from it.
	scanInk = 0.35
)

// scans draws the pictures of the old drawing palely, beneath everything else.
func (v *view) scans() {
	for i := range v.Scans {
		box := v.l.picture
		if img := v.Scans[i].onPaper(box, v.k, v.shift); img != nil {
			v.d.Layer("scans", "Old drawing").Put(drawing.Picture{Box: box, Grey: img})
		}
	}
}

// onPaper is the part of a picture in a box of the paper, on white; nil where it cannot be read, or none of it shows.
func (s *Scan) onPaper(box drawing.Box, k float64, shift plane.Vec) *image.Gray {
	src, _, err := image.Decode(bytes.NewReader(s.Data))
	if err != nil {
		return nil
	}
	wide, high := box.Size()
	dots := math.Min(scanDots, math.Sqrt(mostScanDots/(wide*high)))
	out := image.NewGray(image.Rect(0, 0, max(1, int(wide*dots)), max(1, int(high*dots))))
	draw.Draw(out, out.Rect, image.White, image.Point{}, draw.Src)
	// From a pixel to a dot: to the engine, to the paper, and down from the box's upper edge.
	dot := func(p plane.Vec) (x, y float64) { return (p.X - box.Min.X) * dots, (box.Max.Y - p.Y) * dots }
	ox, oy := dot(s.Origin.Scale(k).Add(shift))
	to := f64.Aff3{s.Right.X * k * dots, s.Down.X * k * dots, ox, -s.Right.Y * k * dots, -s.Down.Y * k * dots, oy}
	draw.ApproxBiLinear.Transform(out, to, src, src.Bounds(), draw.Over, nil)
	if !pale(out) {
		return nil
	}
	return out
}
