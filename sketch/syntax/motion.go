package syntax

// The statements about what moves and what is drawn in it.

func parseTurn(p *parser) Statement {
	t := &Turn{Name: p.newName("turn")}
	p.needSign('=')
	t.From = p.sum()
	p.rangeTo(t)
	t.At = p.where()
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
	t.At = p.where()
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
		place := p.pair()
		s.Place = &place
	case p.has("near"):
		p.form = 2
		near := p.pair()
		s.Near = &near
	case p.has("on"):
		p.form = 3
		on := p.partName()
		p.need("at")
		place := p.pair()
		s.On, s.Place = &on, &place
	}
	s.At = p.where()
	return s
}

func parseLine(p *parser) Statement {
	s := &Line{Name: p.newName("line")}
	switch {
	case p.has("through"):
		p.form = 1
		through := p.spot()
		s.P = &through
		p.need("heading")
		s.Heading = p.sum()
	case p.has("from"):
		p.form = 2
		from := p.spot()
		p.need("to")
		to := p.spot()
		s.P, s.Q = &from, &to
	default:
		p.fail()
	}
	s.At = p.where()
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
	s.At = p.where()
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
	s.At = p.where()
	return s
}

// bend reads radius V left | right if it comes next.
func (p *parser) bend() *Bend {
	if !p.has("radius") {
		return nil
	}
	b := &Bend{Radius: p.sum()}
	if p.has("left") {
		b.Left = true
	} else {
		p.need("right")
	}
	return b
}
