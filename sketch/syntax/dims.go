package syntax

import (
	"fmt"
	"strings"
)

// The statements about dimensions.

func parseDim(p *parser) Statement {
	d := p.dimension()
	switch {
	case p.hasPlusMinus():
		d.PlusMinus = p.sum()
	case p.has("tol"):
		d.Lower = p.sum()
		p.need("to")
		d.Upper = p.sum()
	case p.has("fit"):
		d.Fit = p.class()
	}
	return p.noted(d)
}

func parseMade(p *parser) Statement {
	d := p.dimension()
	if p.hasPlusMinus() {
		d.PlusMinus = p.sum()
	}
	return p.noted(d)
}

func parsePlan(p *parser) Statement { return p.noted(p.dimension()) }

// dimension reads NAME = V.
func (p *parser) dimension() *Dim {
	d := &Dim{Word: p.word.Word}
	if d.Word == "dim" {
		d.Name = p.newName("dimension")
	} else {
		d.Name = p.name("(a name for the dimension)")
		p.given = d.Name
	}
	p.needSign('=')
	d.Value = p.sum()
	p.toleranceBySigns(d.Value)
	p.twoTolerances(d)
	return d
}

// twoTolerances reports 130 +0.1 -0.2, the form of two tolerances on drawings, which would silently be a sum.
func (p *parser) twoTolerances(d *Dim) {
	second, ok := d.Value.(*Binary)
	if p.failed || !ok {
		return
	}
	first, ok := second.X.(*Binary)
	if !ok || !p.touched(first) || !p.touched(second) {
		return
	}
	said := Span{first.At.Start, second.Y.Where().End}
	one, two := p.file.SpanText(Span{first.At.Start, first.Y.Where().End}), p.file.SpanText(Span{second.At.Start, said.End})
	if first.Op == '+' && second.Op == '-' {
		one, two = two, one
	}
	tolerances := fmt.Sprintf("tol %s to %s for two tolerances", strings.TrimPrefix(one, "+"), strings.TrimPrefix(two, "+"))
	if d.Word != "dim" {
		tolerances = "± for a tolerance"
	}
	p.failAt(said, shortened(p.file.SpanText(said))+" can be read in two ways", "write "+tolerances+", or a blank behind each sign for the sum")
}

// touched reports whether the number that is added or taken away touches its sign, with a blank before the sign.
func (p *parser) touched(x *Binary) bool {
	n, ok := x.Y.(*Number)
	return ok && (x.Op == '+' || x.Op == '-') && x.At.End == n.Span.Start && strings.ContainsAny(p.file.Text[x.At.Start-1:x.At.Start], " \t\n")
}

// toleranceBySigns reports 130 +-0.1, which would silently be a sum.
func (p *parser) toleranceBySigns(x Expr) {
	sum, ok := x.(*Binary)
	if p.failed || !ok || sum.Op != '+' {
		return
	}
	if less, ok := sum.Y.(*Unary); ok && less.Op == '-' && less.Span.Start == sum.At.End {
		end := p.tokens[p.at-1].span.End // with the bracket that may close it
		part := shortened(strings.TrimLeft(p.file.SpanText(Span{sum.At.End + 1, end}), " \t"))
		p.failAt(Span{sum.At.Start, end}, "+-"+part+" can be read in two ways",
			fmt.Sprintf("write ± %s or +/- %s for a tolerance, or - %s for the sum", part, part, part))
	}
}

// noted reads the note that may end a dimension.
func (p *parser) noted(d *Dim) Statement {
	d.Note = p.note(noteWanted)
	return d
}

func (p *parser) hasPlusMinus() bool {
	p.want("±")
	if p.here().kind == plusMinusToken {
		p.advance()
		return true
	}
	return false
}

// class reads the class of a fit: a letter or two and a grade, H7 or js6.
func (p *parser) class() Text {
	t := p.here()
	p.want("(a class such as H7)")
	if t.kind != nameToken || isReserved[p.text(t)] {
		p.fail()
		return Text{}
	}
	p.advance()
	return Text{p.text(t), t.span, true}
}

func parseStock(p *parser) Statement {
	s := &Stock{Name: p.name("(the name of a dimension)")}
	p.needSign('=')
	s.Sizes = listed(p, p.sum)
	return s
}

func parseCase(p *parser) Statement {
	c := &Case{Name: p.newName("case")}
	p.needSign(':')
	c.Set = p.settings("(the name of a dimension)")
	return c
}

// settings reads NAME = V, NAME = V, …
func (p *parser) settings(what string) []Setting {
	return listed(p, func() Setting {
		s := Setting{Dim: p.name(what)}
		p.needSign('=')
		s.Value = p.sum()
		return s
	})
}

// listed reads one or more things, separated by commas.
func listed[T any](p *parser, one func() T) (list []T) {
	for {
		list = append(list, one())
		if p.failed || !p.hasSign(',') {
			return list
		}
	}
}
