package syntax

// The statements about the lengths, angles and slides that hold the points.

const aPoint = "(the name of a point)"

func parseLength(p *parser) Statement {
	return p.distance()
}

func parseLoose(p *parser) Statement {
	p.need("length")
	s := p.distance()
	s.Loose = true
	p.need("play")
	s.Play = p.sum()
	return s
}

// distance reads P Q = V.
func (p *parser) distance() *Length {
	s := &Length{P: p.name(aPoint)}
	s.Q = p.name(aPoint)
	p.needSign('=')
	s.Value = p.sum()
	return s
}

func parseAngle(p *parser) Statement {
	s := &Angle{P: p.name(aPoint), Q: p.name(aPoint)}
	if !p.hasSign('=') {
		s.R = new(p.name(aPoint))
		p.form = 2
		p.needSign('=')
	}
	s.Value = p.sum()
	return s
}

func parseSlide(p *parser) Statement {
	s := &Slide{P: p.name(aPoint)}
	p.need("on")
	s.On = p.name("(the name of a line or arc)")
	return s
}
