package raster

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/png"
	"testing"

	"barover/render/drawing"
	"barover/solver/plane"
)

func sample() *drawing.Drawing {
	d := drawing.New("", 100, 50)
	l := d.Layer("l", "l")
	ring := &drawing.Style{Name: "ring", Width: 0.5, Line: drawing.Continuous, Stroke: drawing.RGB(0), Fill: drawing.RGB(0xff0000)}
	o := d.Define(append(drawing.Circle(plane.Vec{}, 20), drawing.Circle(plane.Vec{}, 10)...))
	l.Place(o, plane.Placement{Origin: plane.Vec{X: 30, Y: 25}, Dir: plane.Vec{Y: 1}}, ring, "")
	l.Draw(drawing.Line(plane.Vec{X: 60, Y: 40}, plane.Vec{X: 90, Y: 40}), &drawing.Style{Name: "dash", Width: 1, Line: drawing.Dashed, Stroke: drawing.RGB(0)}, "")
	l.Write(plane.Vec{X: 75, Y: 10}, drawing.Middle, &drawing.TextStyle{Name: "t", Height: 7, Bold: true, Colour: drawing.RGB(0), Halo: true}, "HIL")
	return d
}

// at is the colour at a place on the paper, mm.
func at(img image.Image, x, y float64) [3]uint32 {
	r, g, b, _ := img.At(int(x*4), img.Bounds().Dy()-1-int(y*4)).RGBA()
	return [3]uint32{r >> 8, g >> 8, b >> 8}
}

// alike allows a dot to be a little of its neighbour.
func alike(a, b [3]uint32) bool {
	for i := range a {
		if max(a[i], b[i])-min(a[i], b[i]) > 16 {
			return false
		}
	}
	return true
}

func TestPicture(t *testing.T) {
	img, err := Image(t.Context(), sample(), 101.6) // 4 dots a mm
	if err != nil {
		t.Fatal(err)
	}
	if s := img.Bounds().Size(); s != (image.Point{X: 400, Y: 200}) {
		t.Fatalf("%v dots", s)
	}
	white, red, black := [3]uint32{255, 255, 255}, [3]uint32{255, 0, 0}, [3]uint32{}
	for _, c := range []struct {
		what string
		x, y float64
		want [3]uint32
	}{
		{"the ring", 15.2, 25, red}, {"its hole", 30, 25, white}, {"its edge", 30, 45, black}, {"outside it", 30, 47, white},
		{"the first dash", 66, 40, black}, {"the gap after it", 73.5, 40, white}, {"the second dash", 80, 40, black}, {"beside the dashes", 66, 43, white},
	} {
		if got := at(img, c.x, c.y); !alike(got, c.want) {
			t.Errorf("%s: %v, want %v", c.what, got, c.want)
		}
	}
	ink := 0
	for x := 65.0; x < 85; x += 0.25 {
		if alike(at(img, x, 13.5), black) {
			ink++
		}
	}
	if ink < 10 || ink > 40 {
		t.Errorf("%d dots of lettering on a level", ink)
	}
}

func TestFile(t *testing.T) {
	file, err := Bytes(t.Context(), sample(), 101.6)
	if err != nil {
		t.Fatal(err)
	}
	if img, err := png.Decode(bytes.NewReader(file)); err != nil || img.Bounds().Dx() != 400 {
		t.Fatalf("%v", err)
	}
	i := bytes.Index(file, []byte("pHYs"))
	if i < 0 || binary.BigEndian.Uint32(file[i+4:]) != 4000 {
		t.Error("the file does not say its size")
	}
	again, err := Bytes(t.Context(), sample(), 101.6)
	if err != nil || !bytes.Equal(file, again) {
		t.Errorf("the same drawing gives other bytes the second time (%v)", err)
	}
}

func TestResolution(t *testing.T) {
	if got := Resolution(drawing.New("", 210, 297)); got != Fine {
		t.Errorf("A4 at %v", got)
	}
	a0 := drawing.New("", 841, 1189)
	if k := Resolution(a0) / 25.4; a0.Width*k*a0.Height*k > mostDots*1.001 {
		t.Errorf("A0 has %v dots", a0.Width*k*a0.Height*k)
	}
}
