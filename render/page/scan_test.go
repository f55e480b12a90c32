package page

import (
	"bytes"
	"image"
	"image/png"
	"strings"
	"testing"

	"barover/render/sheet"
	"barover/solver/plane"
)

// TestScansOnPage: a large picture goes over in fewer pixels, and lies where it lay.
func TestScansOnPage(t *testing.T) {
	var file bytes.Buffer
	if err := png.Encode(&file, image.NewGray(image.Rect(0, 0, 2800, 700))); err != nil {
		t.Fatal(err)
	}
	s := sheet.Scan{Data: file.Bytes(), Origin: plane.Vec{X: 3, Y: 50}, Right: plane.Vec{X: 0.1}, Down: plane.Vec{Y: -0.1}}
	list := scansOf([]sheet.Scan{s, {Data: []byte("no picture")}})
	if len(list) != 1 || list[0].Width != 1400 || list[0].Height != 350 || !strings.HasPrefix(list[0].Picture, "data:image/png;base64,") {
		t.Fatalf("%d pictures", len(list))
	}
	if want := [6]float64{0.2, 0, 0, 0.2, 3, -50}; list[0].At != want {
		t.Errorf("it lies by %v, want %v", list[0].At, want)
	}
}
