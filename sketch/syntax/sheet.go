package syntax

import "fmt"

// The statements about the sheet.

func parseTitle(p *parser) Statement {
	return &Title{Text: p.quoted(`(a text in ")`)}
}

func parseUnits(p *parser) Statement {
	s := &Units{}
	switch {
	case p.has("mm"):
	case p.has("in"):
		s.Inches = true
	default:
		p.fail()
	}
	return s
}

func parseUse(p *parser) Statement {
	s := &Use{File: p.quoted(`(the file's name in ")`)}
	if p.has("as") {
		p.form = 2
		s.As = new(p.newName("file"))
		if p.hasSign(':') {
			s.Set = p.settings("(the name of a dimension, turn or travel of that file)")
		}
		if p.has("other") {
			p.need("side")
			s.OtherSide = true
		}
	}
	return s
}

func parsePaper(p *parser) Statement {
	s := &Paper{}
	for _, size := range []string{"A4", "A3", "A2", "A1", "A0"} {
		if p.has(size) {
			s.Size = size
			break
		}
	}
	if s.Size == "" {
		p.fail()
	}
	switch {
	case p.has("landscape"):
		s.Given = true
	case p.has("portrait"):
		s.Given, s.Portrait = true, true
	}
	return s
}

func parseScale(p *parser) Statement {
	s := &Scale{Drawing: p.ratioNumber()}
	p.needSign(':')
	s.Real = p.ratioNumber()
	return s
}

// ratioNumber reads one of the two numbers of a scale.
func (p *parser) ratioNumber() float64 {
	t := p.here()
	p.want("(a number)")
	switch {
	case t.kind != numberToken:
		p.fail()
	case t.unit != Bare:
		p.failAt(t.span, "a scale is of bare numbers", "write 1:2")
	case !(t.value > 0):
		p.failAt(t.span, fmt.Sprintf("a scale cannot be of %s", p.text(t)), "write 1:2")
	default:
		p.advance()
	}
	return t.value
}

func parseGhosts(p *parser) Statement {
	p.need("every")
	return &Ghosts{Every: p.sum()}
}

func parseWashers(p *parser) Statement {
	return &Washers{Thick: listed(p, p.sum)}
}

func parseScan(p *parser) Statement {
	s := &Scan{File: p.quoted(`(the picture's name in ")`)}
	for !p.failed && (len(s.Places) < 2 || len(s.Places) < 3 && p.here().kind != endToken) {
		t := p.here()
		var at Pinned
		at.Pixel = p.pair()
		p.need("at")
		at.On = p.spot()
		at.Span = p.from(t)
		s.Places = append(s.Places, at)
	}
	return s
}
