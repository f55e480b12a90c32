package syntax

import "fmt"

// The statements about the sheet.

func parseTitle(p *parser) Statement {
	t := p.quoted(`(a text in ")`)
	return &Title{p.where(), t}
}

func parseUnits(p *parser) Statement {
	inches := false
	switch {
	case p.has("mm"):
	case p.has("in"):
		inches = true
	default:
		p.fail()
	}
	return &Units{p.where(), inches}
}

func parseUse(p *parser) Statement {
	s := &Use{File: p.quoted(`(the file's name in ")`)}
	if p.has("as") {
		p.form = 2
		as := p.newName("file")
		s.As = &as
		if p.hasSign(':') {
			s.Set = p.settings("(the name of a dimension, turn or travel of that file)")
		}
		if p.has("other") {
			p.need("side")
			s.OtherSide = true
		}
	}
	s.At = p.where()
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
	s.At = p.where()
	return s
}

func parseScale(p *parser) Statement {
	drawing := p.ratioNumber()
	p.needSign(':')
	return &Scale{Drawing: drawing, Real: p.ratioNumber(), At: p.where()}
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
	return &Ghosts{Every: p.sum(), At: p.where()}
}

func parseWashers(p *parser) Statement {
	s := &Washers{Thick: p.list()}
	s.At = p.where()
	return s
}

// list reads V, V, …
func (p *parser) list() (list []Expr) {
	for {
		list = append(list, p.sum())
		if p.failed || !p.hasSign(',') {
			return list
		}
	}
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
	s.At = p.where()
	return s
}
