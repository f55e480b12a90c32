package syntax

import "fmt"

// The statements about what must hold, and what is reported.

func parseClear(p *parser) Statement {
	s := &Clear{}
	if p.has("all") {
		p.form = 2
		s.All = true
	} else {
		s.A, s.B = p.two()
	}
	p.need("by")
	s.By = p.sum()
	if !s.All && p.has("at") {
		p.need("most")
		s.AtMost = p.sum()
	}
	s.Note = p.note(noteWanted)
	return s
}

// two reads two parts or profiles, with nothing between them.
func (p *parser) two() (a, b Qualified) {
	const profile = "(the name of a profile)"
	a = p.qualified(profile)
	if t, next := p.here(), p.after(); t.isSign(',') || p.text(t) == "and" && next.kind == nameToken && (p.text(next) == "frame" || !isReserved[p.text(next)]) {
		p.failAt(t.span, fmt.Sprintf("'%s' is between the two names", p.text(t)), "write a blank between them and nothing else: "+p.word.Word+" A B")
	}
	return a, p.qualified(profile)
}

func parseAllow(p *parser) Statement {
	s := &Allow{}
	s.A, s.B = p.two()
	return s
}

func parseGap(p *parser) Statement {
	s := &Gap{}
	s.A, s.B = p.two()
	for p.has("at") {
		switch t := p.here(); {
		case s.AtLeast == nil && p.has("least"):
			s.AtLeast = p.sum()
		case s.AtMost == nil && p.has("most"):
			s.AtMost = p.sum()
		default:
			p.twice(t)
		}
		if p.failed || s.AtLeast != nil && s.AtMost != nil {
			break
		}
	}
	if t := p.here(); t.kind == nameToken && (p.text(t) == "least" || p.text(t) == "most") {
		p.failAt(t.span, "'at' is missing before '"+p.text(t)+"'", "write at "+p.text(t)+" V")
	}
	s.Note = p.note(noteWanted)
	return s
}

// twice reports a limit that is given a second time.
func (p *parser) twice(t token) {
	if t.kind == nameToken && (p.text(t) == "least" || p.text(t) == "most") {
		p.failAt(t.span, "at "+p.text(t)+" is given twice", "take one of the two out")
		return
	}
	p.fail()
}

func parseKeep(p *parser) Statement {
	s := &Keep{Sum: p.sum()}
	for !p.failed {
		switch {
		case s.Above == nil && p.has("above"):
			s.Above = p.sum()
			continue
		case s.Below == nil && p.has("below"):
			s.Below = p.sum()
			continue
		}
		break
	}
	s.Note = p.note(noteWanted)
	return s
}

func parseMeasure(p *parser) Statement {
	s := &Measure{Name: p.newName("measure")}
	p.needSign('=')
	s.Sum = p.sum()
	s.Note = p.note(noteWanted)
	return s
}

func parseMark(p *parser) Statement {
	s := &Mark{Name: p.newName("mark")}
	p.need("when")
	s.Sum = p.sum()
	switch {
	case p.has("rises"):
		p.past(s, "rises")
	case p.has("falls"):
		p.past(s, "falls")
	case p.has("is"):
		p.extreme(s)
	default:
		p.fail()
	}
	if p.has("showing") {
		s.Showing = p.names("(the name of a measure)")
	}
	return s
}

// names reads one name or several with commas between them.
func (p *parser) names(what string) []Name {
	return listed(p, func() Name { return p.name(what) })
}

func (p *parser) past(s *Mark, when string) {
	p.form, s.When = 1, when
	p.need("past")
	s.Past = p.sum()
}

func (p *parser) extreme(s *Mark) {
	p.form = 2
	switch {
	case p.has("least"):
		s.When = "least"
	case p.has("greatest"):
		s.When = "greatest"
	default:
		p.fail()
	}
}

func parseChart(p *parser) Statement {
	s := &Chart{Name: p.newName("chart")}
	p.need("of")
	s.Of = p.names("(the name of a measure)")
	p.need("against")
	s.Against = p.name("(the name of a measure or of the turn)")
	if p.has("showing") {
		s.Showing = p.names("(the name of a mark)")
	}
	s.Note = p.note(noteWanted)
	return s
}

func parseSetting(p *parser) Statement {
	s := &Column{Name: p.newName("column")}
	p.needSign('=')
	s.Of = []Expr{p.sum()}
	if p.hasSign(',') {
		s.Of = append(s.Of, p.sum())
	}
	if p.has("when") {
		s.When = p.sum()
		switch {
		case p.has("above"):
			s.Above = p.sum()
		case p.has("below"):
			s.Below = p.sum()
		default:
			p.fail()
		}
	}
	s.Note = p.note(noteWanted)
	return s
}

func parseTrace(p *parser) Statement {
	return &Trace{P: p.name(aPoint)}
}
