package sheet

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"image/png"
	"strings"
	"testing"

	"barover/render/drawing"
	"barover/render/pdf"
	"barover/render/raster"
	"barover/render/svg"
	"barover/solver/plane"
)

// TestScans: a picture comes out pale, in its place, in every kind of file. Its right half is black; a quarter turn about, that is
// the upper half on the paper.
func TestScans(t *testing.T) {
	src := image.NewGray(image.Rect(0, 0, 100, 100))
	for i := range src.Pix {
		if src.Pix[i] = 255; i%100 >= 50 {
			src.Pix[i] = 0
		}
	}
	var file bytes.Buffer
	if err := png.Encode(&file, src); err != nil {
		t.Fatal(err)
	}
	// Pixels are 0.5 mm of the engine; rows go up, and columns to the right, from (-10, 0).
	s := Scan{Data: file.Bytes(), Origin: plane.Vec{X: -10}, Right: plane.Vec{Y: 0.5}, Down: plane.Vec{X: 0.5}}
	box := drawing.Box{Min: plane.Vec{X: 10, Y: 10}, Max: plane.Vec{X: 110, Y: 110}}
	grey := s.onPaper(box, 1, plane.Vec{X: 40, Y: 30}) // on the paper from (30, 30) to (80, 80)
	if grey == nil {
		t.Fatal("nothing of it shows")
	}
	d := drawing.New("t", 120, 120)
	d.Layer("scans", "Old drawing").Put(drawing.Picture{Box: box, Grey: grey})
	img, err := raster.Image(context.Background(), d, 254)
	if err != nil {
		t.Fatal(err)
	}
	at := func(x, y float64) uint8 {
		return color.GrayModel.Convert(img.At(int(x*10), int((120-y)*10))).(color.Gray).Y
	}
	for _, tt := range []struct {
		x, y float64
		dark bool
	}{{55, 67, true}, {55, 42, false}, {20, 67, false}, {90, 67, false}, {55, 95, false}} {
		if g := at(tt.x, tt.y); tt.dark != (g > 150 && g < 180) || !tt.dark && g != 255 {
			t.Errorf("at %g, %g the paper is %d", tt.x, tt.y, g)
		}
	}
	if text := string(svg.Bytes(d)); strings.Count(text, `<image x="10" y="10" width="100" height="100"`) != 1 {
		t.Error("no picture in the SVG")
	}
	if text := string(pdf.Bytes(d)); !strings.Contains(text, "/Subtype/Image/Width 600/Height 600") || !strings.Contains(text, "/I0 ") {
		t.Error("no picture in the PDF")
	}
	if (&Scan{Data: []byte("no picture")}).onPaper(box, 1, plane.Vec{}) != nil || s.onPaper(box, 1, plane.Vec{X: 1e4}) != nil {
		t.Error("what cannot be read, or lies beside the paper, is drawn")
	}
}
