package syntax

// The statements about what moves and what is drawn in it.

func parseTurn(p *parser) Statement {
	t := &Turn{Name: p.newName("turn")}
	p.needSign('=')
	t.From = p.sum()
	p.rangeTo(t)
	return t
}

func parseTravel(p *parser) Statement {
	t := &Turn{Travel: true, Name: p.newName("travel")}
	p.needSign('=')
	first := p.sum()
	if p.is("to") {
		p.form = 1
		t.From = first
		p.rangeTo(t)
	} else {
		t.Settings = append(t.Settings, first)
		for !p.failed && p.hasSign(',') {
			p.form = 2
			t.Settings = append(t.Settings, p.sum())
		}
	}
	if p.has("rest") {
		t.Rest = p.sum()
	}
	return t
}

// rangeTo reads the rest of V to V step V.
func (p *parser) rangeTo(t *Turn) {
	p.need("to")
	t.To = p.sum()
	p.need("step")
	t.Step = p.sum()
}

func parsePoint(p *parser) Statement {
	s := &Point{Name: p.newName("point")}
	switch {
	case p.has("at"):
		p.form = 1
		s.Place = new(p.pair())
	case p.has("near"):
		p.form = 2
		s.Near = new(p.pair())
	case p.has("on"):
		p.form = 3
		s.On = new(p.partName())
		p.need("at")
		s.Place = new(p.pair())
	}
	return s
}

func parseLine(p *parser) Statement {
	s := &Line{Name: p.newName("line")}
	switch {
	case p.has("through"):
		p.form = 1
		s.P = new(p.spot())
		p.need("heading")
		s.Heading = p.sum()
	case p.has("from"):
		p.form = 2
		s.P = new(p.spot())
		p.need("to")
		s.Q = new(p.spot())
	default:
		p.fail()
	}
	return s
}

func parseArc(p *parser) Statement {
	s := &Arc{Name: p.newName("arc")}
	p.need("on")
	s.On = p.partName()
	p.need("centre")
	s.Centre = p.pair()
	p.need("radius")
	s.Radius = p.sum()
	return s
}

func parseSlot(p *parser) Statement {
	s := &Slot{Name: p.newName("slot")}
	p.need("on")
	s.On = p.partName()
	p.need("from")
	s.P = p.spot()
	p.need("to")
	s.Q = p.spot()
	p.need("wide")
	s.Wide = p.sum()
	s.Bend = p.bend()
	return s
}

// bend reads radius V left | right if it comes next.
func (p *parser) bend() *Bend {
	if !p.has("radius") {
		return nil
	}
	return &Bend{p.sum(), p.left()}
}

// left reads left or right.
func (p *parser) left() bool {
	if p.has("left") {
		return true
	}
	p.need("right")
	return false
}
