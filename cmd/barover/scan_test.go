package main

import (
	"bytes"
	"encoding/json"
	"image"
	"image/jpeg"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestScanIsTold: check says at which scale the old drawing was drawn and how much it is stretched, and draw takes it in.
func TestScanIsTold(t *testing.T) {
	folder := t.TempDir()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, 600, 400)), nil); err != nil {
		t.Fatal(err)
	}
	jfif := "\xff\xe0\x00\x10JFIF\x00\x01\x01\x01\x00\xc8\x00\xc8\x00\x00" // 200 to the inch
	data := b.String()[:2] + jfif + b.String()[2:]
	text := `units in
scan "sheet.jpg" 0, 400 at 0, 0  400, 400 at 4.008, 0  0, 0 at 0, 4
turn crank = 0 to 360 step 30
point pin at 1in*cos(crank), 1in*sin(crank)
part web at pin heading crank
profile web.eye across 0 to 1
   disc pin dia 1
trace pin
`
	path := filepath.Join(folder, "old.motion")
	for name, content := range map[string]string{"sheet.jpg": data, "old.motion": text} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	// 400 pixels are 2 in of paper, and 4.008 in of engine along, 4 in across: half size, longer along by 0.2 %.
	out, _ := barover(t, "check", path)
	if told := strings.Join(strings.Fields(out), " "); !strings.Contains(told, "sheet.jpg: a pixel is 0.01001 in on the engine; drawn at 1:2.002 by what its file says of the paper; longer one way than square to it by 0.2 %. Paper is no measure: work to the figures.") {
		t.Error(out)
	}
	out, _ = barover(t, "check", "--json", path)
	if !strings.Contains(out, `"scans": [`) || !strings.Contains(out, `"scale": 0.4995`) {
		t.Error(out)
	}
	drawn := filepath.Join(folder, "old.svg")
	barover(t, "draw", path, "-o", drawn)
	if !strings.Contains(contents(t, drawn), `<g id="scans"`) {
		t.Error("the old drawing is not on the sheet")
	}
}

// TestOldDrawing: of the scan of the bench sheet 640 pixels are 8 in along and 255 are 3.2 in up, and its file says 6299 to the metre.
func TestOldDrawing(t *testing.T) {
	out, _ := barover(t, "check", exampleFolder+"/bench/old-drawing.motion", "--json")
	var a struct {
		Scans []struct {
			PerPixel float64 `json:"per_pixel"`
			Scale    float64
			Stretch  float64
		}
	}
	if err := json.Unmarshal([]byte(out), &a); err != nil || len(a.Scans) != 1 {
		t.Fatalf("%v: %s", err, out)
	}
	along, up := 8./640, 3.2/255
	pixel := math.Sqrt(along * up)
	s := a.Scans[0]
	if math.Abs(s.PerPixel-pixel) > 1e-12 || math.Abs(s.Scale-1/(6299*0.0254)/pixel) > 1e-12 || math.Abs(s.Stretch-(up/along-1)) > 1e-12 {
		t.Errorf("a pixel is %.9f, the scale %.9f, the stretch %.9f; want %.9f, %.9f, %.9f", s.PerPixel, s.Scale, s.Stretch, pixel, 1/(6299*0.0254)/pixel, up/along-1)
	}
}
