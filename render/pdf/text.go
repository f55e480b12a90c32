package pdf

import (
	"barover/render/drawing"
	"barover/render/lettering"
	"barover/solver/plane"
)

// letters writes a line of text, first its white edge if it has one.
func (p *page) letters(t drawing.Text) {
	at := t.Begins()
	codes, ok := encode(t.S)
	if !ok {
		p.drawn(t, at)
		return
	}
	if t.Style.Halo {
		p.op("q 1 1 1 RG [] 0 d 1 Tr")
		p.nums(3, 2*drawing.Halo)
		p.op("w")
		p.show(t.Style, at, codes)
		p.op("Q")
	}
	p.colour(&p.fill, t.Style.Colour, "rg")
	p.show(t.Style, at, codes)
}

func (p *page) show(s *drawing.TextStyle, at plane.Placement, codes string) {
	face := "BT /F0"
	if s.Bold {
		face = "BT /F1"
	}
	p.op(face)
	p.nums(4, s.Size())
	p.op("Tf")
	p.matrix(at)
	p.op("Tm (" + codes + ") Tj ET")
}

// drawn writes a line of text as outlines, for letters that the standard face lacks.
func (p *page) drawn(t drawing.Text, at plane.Placement) {
	p.op("/Span <</ActualText" + unicode(t.S) + ">> BDC")
	outline := lettering.Outline(t.S, t.Style).Placed(at)
	if t.Style.Halo {
		p.op("q 1 1 1 RG [] 0 d")
		p.nums(3, 2*drawing.Halo)
		p.op("w")
		p.path(outline)
		p.op("S Q")
	}
	p.colour(&p.fill, t.Style.Colour, "rg")
	p.path(outline)
	p.op("f EMC")
}

// encode returns the text in Windows-1252 with what a PDF string cannot hold escaped; false if a letter has no code.
func encode(s string) (string, bool) {
	var b []byte
	for _, r := range s {
		c, ok := drawing.Byte(r)
		if !ok {
			return "", false
		}
		if c == '(' || c == ')' || c == '\\' {
			b = append(b, '\\')
		}
		b = append(b, c)
	}
	return string(b), true
}
