package main

import (
	"bytes"
	"image"
	"image/jpeg"
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
