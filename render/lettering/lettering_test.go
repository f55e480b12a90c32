package lettering

import (
	"math"
	"testing"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"barover/render/drawing"
)

// TestWidthsAgree: the outline face has the widths of the standard face that labels are placed with, to the few hundredths
// by which ± and ÷ differ.
func TestWidthsAgree(t *testing.T) {
	var buf sfnt.Buffer
	for i, bold := range []bool{false, true} {
		f := faces[i]()
		if f == nil {
			t.Fatal("the face cannot be read")
		}
		s := &drawing.TextStyle{Height: drawing.CapHeight * 1000, Bold: bold} // widths in thousandths of the size
		for _, r := range "ABCXYZabcxyz0123456789 .,:;+-/()°±×÷½¼¾Øéß–" {
			g, err := f.GlyphIndex(&buf, r)
			if err != nil || g == 0 {
				t.Errorf("%q is not in the face", r)
				continue
			}
			a, err := f.GlyphAdvance(&buf, g, fixed.I(1000), font.HintingNone)
			if err != nil || math.Abs(float64(a)/64-s.Width(string(r))) > 36 {
				t.Errorf("%q, bold %v: %v, the standard face has %v", r, bold, float64(a)/64, s.Width(string(r)))
			}
		}
	}
}

// TestCapitalsHaveTheirHeight: a capital of 5 mm lettering is 5 mm high (ISO 3098 gives the height of capitals).
func TestCapitalsHaveTheirHeight(t *testing.T) {
	b := Outline("H", &drawing.TextStyle{Height: 5}).Bounds()
	if _, h := b.Size(); math.Abs(h-5) > 0.2 {
		t.Errorf("H is %v high", h)
	}
	if p := Outline("⅛≤Łж", &drawing.TextStyle{Height: 5}); len(p) < 40 {
		t.Errorf("letters beyond the standard face come to %d segments", len(p))
	}
}
