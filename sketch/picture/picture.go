// Package picture knows how a picture of the old drawing lies on the engine, and what the head of its file says. It draws nothing.
package picture

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"image"
	_ "image/jpeg" // for DecodeConfig
	_ "image/png"
	"math"

	"barover/sketch/syntax"
	"barover/solver/plane"
)

// A picture of the old drawing may come from a stranger, with the sketch. Only its head is read until somebody draws it,
// and only pictures within these bounds are drawn.
const (
	mostPixels = 60_000_000
	mostSide   = 30_000
)

// Scan is a picture of the old drawing, and how it lies on the engine: the place of pixel (u, v), counted from the upper
// left, is Origin + u·Right + v·Down, mm.
type Scan struct {
	Stmt                int
	File                string // as the sketch names it
	Data                []byte
	Width, Height       int // pixels
	Origin, Right, Down plane.Vec

	// Density is the number of pixels for each inch of the paper, along and down; 0 where its file does not say.
	Density [2]float64
	Three   bool // three places were given: whether it is stretched one way is known
}

// Picture is what the head of a file says.
type Picture struct {
	Data          []byte
	Width, Height int
	Density       [2]float64
}

// Head reads the head of a picture file, PNG or JPEG. The picture is nil where it cannot be used: then wrong says what the file is,
// and help what to do.
func Head(data []byte) (p *Picture, wrong, help string) {
	config, kind, err := image.DecodeConfig(bytes.NewReader(data))
	switch {
	case len(data) > syntax.MostBytes:
		return nil, fmt.Sprintf("is larger than %d MB", syntax.MostBytes>>20), "save it in fewer pixels, in grey, or as JPEG"
	case err != nil || kind != "png" && kind != "jpeg":
		return nil, "is no picture that can be read", "save it as PNG or JPEG"
	case config.Width < 2 || config.Height < 2 || config.Width > mostSide || config.Height > mostSide || config.Width*config.Height > mostPixels:
		return nil, fmt.Sprintf("is of %d × %d pixels", config.Width, config.Height), fmt.Sprintf("save it in no more than %d million pixels", mostPixels/1_000_000)
	}
	p = &Picture{Data: data, Width: config.Width, Height: config.Height, Density: pngDensity(data)}
	if kind == "jpeg" {
		p.Density = jpegDensity(data)
	}
	return p, "", ""
}

// pngDensity is the content of the chunk pHYs of a PNG (ISO 15948, 11.3.5.3): pixels to the metre, along and down.
func pngDensity(b []byte) (d [2]float64) {
	const signature, head = 8, 8 // of the file; of a chunk: its length and name
	for at := signature; at+head <= len(b); {
		long := int(binary.BigEndian.Uint32(b[at:]))
		name, body := string(b[at+4:at+head]), at+head
		if long < 0 || long > len(b)-body || name == "IDAT" {
			return d
		}
		if name == "pHYs" && long == 9 && b[body+8] == 1 {
			return [2]float64{float64(binary.BigEndian.Uint32(b[body:])) * 0.0254, float64(binary.BigEndian.Uint32(b[body+4:])) * 0.0254}
		}
		at = body + long + 4
	}
	return d
}

// jpegDensity is the content of the JFIF head of a JPEG (ISO 10918-5, 6.4): pixels to the inch or the centimetre, along
// and down.
func jpegDensity(b []byte) (d [2]float64) {
	if len(b) < 18 || string(b[6:11]) != "JFIF\x00" {
		return d
	}
	unit := map[byte]float64{1: 1, 2: 2.54}[b[13]]
	return [2]float64{unit * float64(binary.BigEndian.Uint16(b[14:])), unit * float64(binary.BigEndian.Uint16(b[16:]))}
}

// Lay finds how the picture lies: with two places turned and scaled, with three also stretched.
func (s *Scan) Lay(pixel, on []plane.Vec) bool {
	p, q := pixel[1].Sub(pixel[0]), on[1].Sub(on[0])
	if len(pixel) == 2 {
		// Pixels count downward. Turned over, the picture is scaled and turned by q over p.
		up := plane.Vec{X: p.X, Y: -p.Y}
		if !(up.Len() > 1) || !(q.Len() > 1e-6) {
			return false
		}
		by := plane.Vec{X: q.Dot(up), Y: up.Cross(q)}.Scale(1 / up.Dot(up))
		s.Right = by
		s.Down = by.Turned().Scale(-1)
	} else {
		r, t := pixel[2].Sub(pixel[0]), on[2].Sub(on[0])
		det := p.Cross(r)
		if !(math.Abs(det) > 1e-3*p.Len()*r.Len()) || !(math.Abs(q.Cross(t)) > 1e-3*q.Len()*t.Len()) {
			return false
		}
		s.Right = q.Scale(r.Y / det).Sub(t.Scale(p.Y / det))
		s.Down = t.Scale(p.X / det).Sub(q.Scale(r.X / det))
	}
	s.Origin = on[0].Sub(s.Right.Scale(pixel[0].X)).Sub(s.Down.Scale(pixel[0].Y))
	return s.Right.Len() > 0 && s.Down.Len() > 0 && !math.IsNaN(s.Origin.X+s.Origin.Y)
}

// PerPixel is how large a pixel is on the engine, mm: the mean of both ways.
func (s *Scan) PerPixel() float64 { return math.Sqrt(math.Abs(s.Right.Cross(s.Down))) }

// Stretch is by how much the picture is longer one way than square to it, as a share: 0.004 is 0.4 %.
func (s *Scan) Stretch() float64 {
	a, b, c := s.Right.Dot(s.Right), s.Right.Dot(s.Down), s.Down.Dot(s.Down)
	mean, half := (a+c)/2, math.Hypot((a-c)/2, b)
	if !(mean > half) {
		return math.Inf(1)
	}
	return math.Sqrt((mean+half)/(mean-half)) - 1
}

// Scale is the scale of the drawing, paper to engine: 0.5 is half size. It is 0 where the file does not say how large the paper is.
func (s *Scan) Scale() float64 {
	if !(s.Density[0] > 0) || !(s.Density[1] > 0) {
		return 0
	}
	paper := 25.4 / math.Sqrt(s.Density[0]*s.Density[1])
	return paper / s.PerPixel()
}
