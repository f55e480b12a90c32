// Package lettering gives lines of text as outlines, for pictures that hold no typeface and for letters that the standard
// faces lack. The face is Liberation Sans; labels are placed by its widths.
//
// It knows no drawing. There is little to change: another face has other widths, and all labels would have to be placed
// again.
package lettering

import (
	"math"
	"sync"

	"github.com/go-fonts/liberation/liberationsansbold"
	"github.com/go-fonts/liberation/liberationsansregular"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"barover/render/drawing"
	"barover/solver/plane"
)

var faces = [2]func() *sfnt.Font{
	sync.OnceValue(func() *sfnt.Font { return read(liberationsansregular.TTF) }),
	sync.OnceValue(func() *sfnt.Font { return read(liberationsansbold.TTF) }),
}

// read returns nil for a face that cannot be read: text is then left out of the picture, and a test holds that it can.
func read(ttf []byte) *sfnt.Font {
	f, err := sfnt.Parse(ttf)
	if err != nil {
		return nil
	}
	return f
}

// units is the size at which glyphs are taken from the face, so that 26.6 fixed numbers lose nothing.
const units = 2048

// Outline returns the outlines of a line of text in its style, mm, beginning at the origin on the base line. Curves are
// given by straight pieces that leave them by less than 0.005 mm. It is to be filled by the rule that counts windings.
func Outline(text string, s *drawing.TextStyle) drawing.Path {
	face := faces[0]
	if s.Bold {
		face = faces[1]
	}
	f := face()
	if f == nil {
		return nil
	}
	var p drawing.Path
	var buf sfnt.Buffer
	k := s.Size() / units
	x := 0.0
	for _, r := range text {
		g, err := f.GlyphIndex(&buf, r)
		if err != nil {
			continue
		}
		segments, err := f.LoadGlyph(&buf, g, fixed.I(units), nil)
		if err != nil {
			continue
		}
		p = glyph(p, segments, x, k)
		x += advance(f, &buf, g, r, s, k)
	}
	return p
}

// advance is the width of a letter, mm: that of the standard face, by which labels are placed, or the face's own where
// the standard one lacks the letter.
func advance(f *sfnt.Font, buf *sfnt.Buffer, g sfnt.GlyphIndex, r rune, s *drawing.TextStyle, k float64) float64 {
	if _, ok := drawing.Byte(r); !ok {
		if a, err := f.GlyphAdvance(buf, g, fixed.I(units), font.HintingNone); err == nil {
			return float64(a) / 64 * k
		}
	}
	return s.Width(string(r))
}

func glyph(p drawing.Path, segments sfnt.Segments, x, k float64) drawing.Path {
	at := func(v fixed.Point26_6) plane.Vec {
		return plane.Vec{X: x + float64(v.X)/64*k, Y: -float64(v.Y) / 64 * k}
	}
	for _, s := range segments {
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			if len(p) > 0 && p[len(p)-1].Op != drawing.CloseTo {
				p.Close()
			}
			p.MoveTo(at(s.Args[0]))
		case sfnt.SegmentOpLineTo:
			p.LineTo(at(s.Args[0]))
		case sfnt.SegmentOpQuadTo:
			from, via, to := p[len(p)-1].To, at(s.Args[0]), at(s.Args[1])
			// A quadratic leaves its chord by |from − 2 via + to|/4, and n pieces by 1/n² of that.
			n := math.Ceil(math.Sqrt(from.Add(to).Sub(via.Scale(2)).Len() / 4 / 0.005))
			n = max(1, min(16, n))
			for i := 1.0; i <= n; i++ {
				t := i / n
				p.LineTo(from.Scale((1 - t) * (1 - t)).Add(via.Scale(2 * t * (1 - t))).Add(to.Scale(t * t)))
			}
		}
	}
	if len(segments) > 0 {
		p.Close()
	}
	return p
}
