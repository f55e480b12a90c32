package syntax

import "fmt"

// The statements about parts and their profiles.

func parsePart(p *parser) Statement {
	s := &Part{Name: p.newName("part")}
	switch {
	case p.has("from"):
		p.form = 1
		s.P = p.name(aPoint)
		p.need("to")
		s.Q = new(p.name(aPoint))
		if p.has("heading") {
			s.Heading = p.sum()
		}
	case p.has("at"):
		s.P = p.name(aPoint)
		switch {
		case p.has("along"):
			p.form = 2
			s.Along = new(p.name("(the name of a line)"))
		case p.has("heading"):
			p.form = 3
			s.Heading = p.sum()
		default:
			p.fail()
		}
	default:
		p.fail()
	}
	return s
}

func parseSideplay(p *parser) Statement {
	s := &Sideplay{Part: p.partName()}
	p.needSign('=')
	s.Value = p.sum()
	return s
}

func parsePlay(p *parser) Statement {
	s := &Play{}
	if s.All = p.has("all"); s.All {
		p.form = 3
	} else {
		s.Part = p.partName()
		switch {
		case p.has("at"):
			p.form = 1
			s.Point = new(p.name(aPoint))
		case p.has("on"):
			p.form = 2
			s.Line = new(p.name("(the name of a line)"))
		default:
			p.fail()
		}
	}
	p.needSign('=')
	if t := p.here(); p.is("fit") && !p.failed {
		p.failAt(t.span, "a fit says nothing without the diameter of the pin", "write it before the fit, as in play conrod at crankpin = 10mm fit H8/f7")
	}
	s.Value = p.sum()
	if s.Line == nil && p.has("fit") {
		s.Hole = p.class()
		p.needSign('/')
		s.Shaft = p.class()
	}
	return s
}

func parseProfile(p *parser) Statement {
	q := p.qualified("(a name for the profile)")
	s := &Profile{Part: q.Part}
	if q.Profile != nil {
		s.Name = *q.Profile
	} else {
		p.needSign('.')
		p.fail()
	}
	p.given = Name{s.Part.Text + "." + s.Name.Text, s.Name.Span}
	p.band(s)
	for !p.failed && p.at < len(p.tokens) {
		shape, ok := p.shape(len(s.Shapes) == 0)
		if !ok && !p.nextShape() {
			break
		}
		s.Shapes = append(s.Shapes, shape)
	}
	if len(s.Shapes) == 0 {
		p.wantShapes()
		p.fail()
	}
	return s
}

// nextShape continues after a mistake in a shape, at the next line that begins with a shape.
func (p *parser) nextShape() bool {
	if !p.failed {
		return false
	}
	for i := p.stopped; i < len(p.tokens); i++ {
		if t := p.tokens[i]; t.first && t.kind == nameToken && lookUp(shapes, p.text(t)) != nil {
			p.failed, p.broken = false, true
			p.at, p.wanted = i, p.wanted[:0]
			p.depth = 0
			return true
		}
	}
	return false
}

// band reads where a profile is across the engine.
func (p *parser) band(s *Profile) {
	switch {
	case p.has("across"):
		p.form = 1
		s.From = p.sum()
		p.need("to")
		s.To = p.sum()
	case p.has("from"):
		p.form = 2
		s.From = p.sum()
		p.need("thick")
		s.Thick = p.sum()
	case p.has("centred"):
		p.form = 3
		s.Centred = p.sum()
		p.need("thick")
		s.Thick = p.sum()
	default:
		p.fail()
	}
}

func (p *parser) wantShapes() {
	for _, w := range shapeWords {
		p.want(w)
	}
}

// shape reads one shape of a profile. It returns false where none begins here.
func (p *parser) shape(first bool) (Shape, bool) {
	start := p.here()
	var s Shape
	if p.has("hole") {
		p.word, p.form = lookUp(shapes, "hole"), 0
		if first {
			p.failAt(start.span, "the hole has no shape before it to be taken from", "write the hole below the shape that it goes through")
			return s, false
		}
		s.Hole = true
		if t, next := p.here(), p.after(); t.kind == nameToken && !isReserved[p.text(t)] && (next.kind == endToken || next.first || next.isSign('.')) {
			s.Word, s.Slot = "slot", new(p.name("(the name of a slot)"))
			s.Span = p.from(start)
			return s, !p.failed
		}
	}
	s.Word = p.shapeWord(s.Hole)
	switch s.Word {
	case "disc":
		s.P = p.spot()
		p.need("dia")
		s.Dia = p.sum()
	case "strip":
		p.strip(&s)
	case "box":
		p.box(&s)
	case "path":
		p.path(&s)
	default:
		if s.Hole {
			p.fail()
		}
		return s, false
	}
	s.Span = p.from(start)
	return s, !p.failed
}

// shapeWord reads the first word of a shape, and makes the shape's form the one that messages show.
func (p *parser) shapeWord(hole bool) string {
	for i := range shapes {
		if w := &shapes[i]; w.Word != "hole" && p.has(w.Word) {
			p.word, p.form = w, 0
			return w.Word
		}
	}
	if !hole {
		p.want("hole")
	}
	return ""
}

func (p *parser) strip(s *Shape) {
	s.P = p.spot()
	p.need("to")
	s.Q = p.spot()
	p.need("wide")
	s.Wide = p.sum()
	if p.has("to") {
		s.WideTo = p.sum()
	}
	s.Bend = p.bend()
	s.Round = p.has("round")
}

// box reads two corners. They are not named points: a box lies along the axes, and two points seldom do.
func (p *parser) box(s *Shape) {
	s.P = p.corner()
	p.need("to")
	s.Q = p.corner()
}

func (p *parser) corner() Spot {
	start := p.here()
	return Spot{Pair: new(p.pair()), Span: p.from(start)}
}

func (p *parser) path(s *Shape) {
	s.P = p.spot()
	for !p.failed && (p.is("to") || p.is("arc")) {
		s.Steps = append(s.Steps, p.pathStep())
	}
	if len(s.Steps) == 0 {
		p.fail()
		return
	}
	if len(s.Steps) == 1 && s.Steps[0].Radius == nil {
		p.failAt(s.Steps[0].Span, "a path there and straight back encloses nothing", fmt.Sprintf("continue with to W or arc W, or write a strip: %s", lookUp(shapes, "strip").Forms[0].Form))
	}
}

// pathStep reads to W, or arc W radius V left | right [long].
func (p *parser) pathStep() PathStep {
	start := p.here()
	var step PathStep
	if p.has("to") {
		step.To = p.spot()
		step.Span = p.from(start)
		return step
	}
	p.need("arc")
	step.To = p.spot()
	p.need("radius")
	step.Radius = p.sum()
	step.Left = p.left()
	step.Long = p.has("long")
	step.Span = p.from(start)
	return step
}
