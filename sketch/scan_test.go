package sketch

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/jpeg"
	"image/png"
	"io/fs"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"barover/sketch/picture"
	"barover/sketch/source"
	"barover/solver/plane"
)

// scanned300 is a PNG of 1200 by 900 pixels that says that it has 300 of them to the inch.
func scanned300(t *testing.T) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, 1200, 900))); err != nil {
		t.Fatal(err)
	}
	chunk := []byte("\x00\x00\x00\x09pHYs")
	chunk = binary.BigEndian.AppendUint32(chunk, 11811)
	chunk = binary.BigEndian.AppendUint32(chunk, 11811)
	chunk = append(chunk, 1)
	chunk = binary.BigEndian.AppendUint32(chunk, crc32.ChecksumIEEE(chunk[4:]))
	const head = 33 // the signature and the first chunk
	return bytes.Join([][]byte{b.Bytes()[:head], chunk, b.Bytes()[head:]}, nil)
}

func scanOf(t *testing.T, picture []byte, line string) (*Sketch, string) {
	t.Helper()
	files := source.Memory(func(path string) ([]byte, error) {
		switch path {
		case "main.motion":
			return []byte("dim far = 84.6667\n" + line + "\npoint shaft at 0, 0\npoint pin at far, 0\n"), nil
		case "sheet.png":
			return picture, nil
		}
		return nil, fs.ErrNotExist
	})
	s, messages := Read(files, "main.motion", Options{})
	text := ""
	for _, m := range messages {
		text += m.String()
	}
	return s, text
}

// TestScan: two places lay a picture turned and scaled, three stretched as well; what its file says of its pixels gives the scale of
// the drawing to a tenth of a per cent.
func TestScan(t *testing.T) {
	near := func(a, b plane.Vec) bool { return a.Sub(b).Len() < 1e-9 }
	at := func(s *picture.Scan, u, v float64) plane.Vec {
		return s.Origin.Add(s.Right.Scale(u)).Add(s.Down.Scale(v))
	}
	s, text := scanOf(t, scanned300(t), `scan "sheet.png" 100, 800 at shaft  1100, 800 at pin`)
	if text != "" {
		t.Fatal(text)
	}
	c := &s.Scans[0] // 1000 pixels are 84.6667 mm: full size at 300 to the inch, and a pixel up is as far up
	if !near(at(c, 100, 800), plane.Vec{}) || !near(at(c, 1100, 800), plane.Vec{X: 84.6667}) || !near(at(c, 100, 700), plane.Vec{Y: 8.46667}) ||
		math.Abs(c.Scale()-1) > 1e-4 || c.Three || c.Stretch() > 1e-12 {
		t.Errorf("%+v, scale %.6f", c.Right, c.Scale())
	}
	s, text = scanOf(t, scanned300(t), `scan "sheet.png" 0, 0 at 0, 0  0, 300 at 50.8, 0  300, 0 at 0, 50.8*1.004`)
	if text != "" {
		t.Fatal(text)
	}
	c = &s.Scans[0] // half size, a quarter turn about, longer by 0.4 % along its rows; mirrored by nothing
	if !near(at(c, 0, 150), plane.Vec{X: 25.4}) || !near(at(c, 150, 0), plane.Vec{Y: 25.4 * 1.004}) || math.Abs(c.Stretch()-0.004) > 1e-9 || math.Abs(c.Scale()-0.5/math.Sqrt(1.004)) > 1e-5 {
		t.Errorf("stretch %.6f, scale %.6f", c.Stretch(), c.Scale())
	}
	other, _, messages := s.With(map[int]float64{0: 100})
	if len(messages) > 0 || other == nil {
		t.Errorf("with another dimension: %v", messages)
	}
}

// TestScanJPEG: the head of a JPEG says its density in inches or in centimetres.
func TestScanJPEG(t *testing.T) {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, 400, 300)), nil); err != nil {
		t.Fatal(err)
	}
	jfif := []byte("\xff\xe0\x00\x10JFIF\x00\x01\x01\x02\x00\x76\x00\x76\x00\x00") // 118 to the centimetre
	data := bytes.Join([][]byte{b.Bytes()[:2], jfif, b.Bytes()[2:]}, nil)
	s, text := scanOf(t, data, `scan "sheet.png" 0, 0 at 0, 0  118, 0 at 20, 0`)
	if text != "" || math.Abs(s.Scans[0].Scale()-0.5) > 1e-9 {
		t.Errorf("%s %+v", text, s.Scans)
	}
}

// TestScanMistakes: a picture of a stranger is refused before it is decoded.
func TestScanMistakes(t *testing.T) {
	giant := append([]byte(nil), scanned300(t)...)
	binary.BigEndian.PutUint32(giant[16:], 1<<20)
	binary.BigEndian.PutUint32(giant[20:], 1<<20)
	binary.BigEndian.PutUint32(giant[29:], crc32.ChecksumIEEE(giant[12:29]))
	good := scanned300(t)
	for _, tt := range []struct {
		picture    []byte
		line, want string
	}{
		{giant, `scan "sheet.png" 0, 0 at 0, 0  10, 0 at 5, 0`, "sheet.png is of 1048576 × 1048576 pixels"},
		{[]byte("no picture"), `scan "sheet.png" 0, 0 at 0, 0  10, 0 at 5, 0`, "is no picture that can be read"},
		{make([]byte, 5<<20), `scan "sheet.png" 0, 0 at 0, 0  10, 0 at 5, 0`, "sheet.png is larger than 4 MB"},
		{good, `scan "other.png" 0, 0 at 0, 0  10, 0 at 5, 0`, "other.png cannot be read: there is no such file"},
		{good, `scan "sheet.png" 10, 0 at 0, 0  10, 0 at 5, 0`, "do not say how the picture lies"},
		{good, `scan "sheet.png" 0, 0 at 0, 0  10, 10 at 5, 5  20, 20 at 9, 9`, "do not say how the picture lies"},
		{good, `scan "sheet.png" 0, 0 at 0, 0`, "missing"},
		{good, `scan "sheet.png" 0, 0 at nowhere  10, 0 at 5, 0`, "there is no point nowhere"},
		{good, `scan "sheet.png" 0mm, 0 at 0, 0  10, 0 at 5, 0`, "is a length"},
	} {
		if _, text := scanOf(t, tt.picture, tt.line); !strings.Contains(text, tt.want) {
			t.Errorf("%s: %q, want %q", tt.line, text, tt.want)
		}
	}
	// Whatever the bytes of its head, it is told of or taken, and nothing breaks.
	rng := rand.New(rand.NewPCG(3, 4))
	for range 2000 {
		bad := append([]byte(nil), good[:200]...)
		for range 1 + rng.IntN(6) {
			bad[rng.IntN(len(bad))] = byte(rng.Uint32())
		}
		bad = bad[:rng.IntN(len(bad)+1)]
		if s, text := scanOf(t, bad, `scan "sheet.png" 0, 0 at 0, 0  10, 0 at 5, 0`); (text == "") != (len(s.Scans) == 1) {
			t.Fatalf("%q: %q", bad, text)
		}
	}
}
