package syntax

import (
	"fmt"
	"strings"
)

// A sum, from what binds least to what binds most:
//
//	sum     = product { ("+" | "-") product }
//	product = signed { ("*" | "/") signed }
//	signed  = ["+" | "-"] power
//	power   = primary ["^" signed]          so that -2^2 is -4, 2^3^2 is 2^9, and n^2/4 a quarter of n^2
//	primary = NUMBER | NAME | FUNCTION "(" sum { "," sum } ")" | "(" sum ")"

const wantSum = "(a sum)"

// sum reads a sum that must come next.
func (p *parser) sum() Expr {
	p.terms = 0
	e, _ := p.operands(0)
	p.sumEnd = p.at
	return e
}

// pair reads U, V.
func (p *parser) pair() Pair {
	p.sumAs = "(a place U, V)"
	u := p.sum()
	p.needSign(',')
	return Pair{u, p.sum()}
}

// spot reads the name of a point or U, V.
func (p *parser) spot() Spot {
	start := p.here()
	first := p.at
	p.sumAs = "(a point or a place U, V)"
	u := p.sum()
	if ref, ok := u.(*Ref); ok && p.at == first+1+2*strings.Count(ref.Name.Text, ".") && !p.here().isSign(',') && ref.Name.Text != "pi" {
		p.sumEnd = 0
		return Spot{Name: &ref.Name, Span: ref.Name.Span}
	}
	p.needSign(',')
	return Spot{Pair: &Pair{u, p.sum()}, Span: p.from(start)}
}

// binding is how tightly a sign between two sums binds; 0 for other signs.
func binding(sign byte) int {
	switch sign {
	case '+', '-':
		return 1
	case '*', '/':
		return 2
	}
	return 0
}

// operands reads sums with signs between them that bind more tightly than least. It also returns the text of the sum,
// with the brackets around it.
func (p *parser) operands(least int) (Expr, Span) {
	x, span := p.signed()
	for !p.failed {
		t := p.here()
		b := 0
		if t.kind == signToken {
			b = binding(t.sign)
		}
		if b <= least {
			break
		}
		p.advance()
		y, right := p.operands(b)
		span.End = right.End
		x = &Binary{Op: t.sign, X: x, Y: y, At: t.span, Span: span}
	}
	return x, span
}

// signed reads a sum that may have a sign before it.
func (p *parser) signed() (Expr, Span) {
	t := p.here()
	if !t.isSign('-') && !t.isSign('+') {
		return p.power()
	}
	if !p.deeper(t) {
		return nil, t.span
	}
	defer p.higher()
	p.advance()
	x, span := p.signed()
	span.Start = t.span.Start
	return &Unary{Op: t.sign, X: x, Span: span}, span
}

func (p *parser) power() (Expr, Span) {
	x, span := p.primary()
	t := p.here()
	if p.failed || !t.isSign('^') || !p.deeper(t) {
		return x, span
	}
	defer p.higher()
	p.advance()
	y, right := p.signed()
	span.End = right.End
	return &Binary{Op: '^', X: x, Y: y, At: t.span, Span: span}, span
}

// deeper counts the nesting, and reports where it is too deep.
func (p *parser) deeper(t token) bool {
	p.depth++
	if p.depth > MostDepth {
		p.failAt(t.span, fmt.Sprintf("more than %d brackets and signs are nested", MostDepth), "give part of the sum a name: dim NAME = V")
		return false
	}
	return true
}

func (p *parser) higher() { p.depth-- }

func (p *parser) primary() (Expr, Span) {
	t := p.here()
	p.terms++
	if p.terms > MostTerms && !p.failed {
		p.failAt(t.span, fmt.Sprintf("more than %d numbers and names are in one sum", MostTerms), "give part of the sum a name: dim NAME = V")
	}
	p.wantSum()
	switch {
	case p.failed:
	case t.kind == numberToken && p.twoStrokes(t):
		p.failAt(t.span, "two strokes in a row can be read in two ways", p.strokesHelp(t))
	case t.kind == numberToken && p.mixedBySign(t):
	case t.kind == numberToken:
		p.advance()
		return &Number{Value: t.value, Unit: t.unit, Span: t.span}, t.span
	case t.kind == nameToken:
		return p.named(t)
	case t.isSign('('):
		return p.bracket(t)
	}
	p.fail()
	return nil, t.span
}

// twoStrokes recognises a/3/8. A fraction is one number, so this would be a over three eighths, but the author may have
// meant an eighth of a third of a.
func (p *parser) twoStrokes(t token) bool {
	last := p.tokens[p.at-1]
	return last.isSign('/') && last.touches(t) && len(fractionOf(p.text(t))) == 2
}

// fractionOf is the two whole numbers of 3/8; for other numbers it has another length.
func fractionOf(text string) []string {
	parts := strings.Split(text, "/")
	if strings.ContainsAny(parts[0], " \t\u00a0\u2009\u202f") {
		return nil
	}
	return parts
}

func (p *parser) strokesHelp(t token) string {
	f := fractionOf(p.text(t))
	return fmt.Sprintf("put brackets: (…/%s)/%s or …/(%s/%s)", f[0], f[1], f[0], f[1])
}

func (p *parser) wantSum() {
	if p.sumAs != "" {
		p.want(p.sumAs)
		return
	}
	p.want(wantSum)
}

// named reads a name or a function with its arguments.
func (p *parser) named(t token) (Expr, Span) {
	text := p.text(t)
	called := p.after().isSign('(')
	f, isFunction := LookUpFunction(text)
	switch {
	case called && isFunction:
		return p.call(t, f)
	case called && !isReserved[text]:
		p.failAt(t.span, "there is no function "+shortened(text), functionHelp(text))
	case text == "pi" || !isReserved[text]:
		p.advance()
		n := p.dotted(Name{text, t.span})
		return &Ref{n}, n.Span
	case isFunction && !p.isWordHere(text):
		p.failAt(t.span, fmt.Sprintf("'%s' is a function and needs its brackets", text), "write "+f.Form)
		p.lastMistake().used = text
	case text == "frame":
		p.failAt(t.span, "frame is a part, no figure", "write a dimension or a number in its place")
	default:
		p.fail()
	}
	return nil, t.span
}

// isWordHere says whether a word that is also a function may be the next word of the statement.
func (p *parser) isWordHere(text string) bool {
	return text == "heading" || text == "along" || text == "round" || text == "angle" || text == "least" || text == "greatest" || text == "at"
}

func functionHelp(text string) string {
	if best := likely(text, functionWords); best != "" {
		return "did you mean " + best + "?"
	}
	return "the functions are " + strings.Join(functionWords, " ") + "; a product is written with *"
}

// bracket reads ( sum ).
func (p *parser) bracket(open token) (Expr, Span) {
	if !p.deeper(open) {
		return nil, open.span
	}
	defer p.higher()
	p.advance()
	x, _ := p.operands(0)
	p.sumEnd = p.at
	if p.here().isSign(',') {
		p.failAt(open.span, "a pair of figures is in brackets", "a place is written without them: U, V")
	}
	p.close(open)
	return x, p.from(open)
}

// close reads the bracket that closes the open one.
func (p *parser) close(open token) {
	if p.hasSign(')') || p.failed {
		return
	}
	p.fail()
	if m := p.lastMistake(); m.Text != "" {
		m.Also = append(m.Also, Note{p.file, open.span, "this bracket is still open"})
	}
}

// call reads a function and its arguments.
func (p *parser) call(t token, f Function) (Expr, Span) {
	p.advance()
	open := p.here()
	if !p.deeper(open) {
		return nil, t.span
	}
	defer p.higher()
	p.advance()
	c := &Call{Func: Name{f.Name, t.span}}
	for {
		c.Args = append(c.Args, p.argument(f, len(c.Args)))
		if p.failed || !p.hasSign(',') {
			break
		}
	}
	p.close(open)
	c.Span = p.from(t)
	if n := len(c.Args); !p.failed && (n < f.Least || f.Most > 0 && n > f.Most) {
		p.failAt(c.Span, fmt.Sprintf("%s takes %s, not %d", f.Name, countOf(f), n), "write "+f.Form)
	}
	return c, c.Span
}

func countOf(f Function) string {
	if f.Most == 1 {
		return "one figure"
	}
	return fmt.Sprintf("%d figures", f.Least)
}

// argument reads the i-th argument of a function, from 0: a point, a line, a profile or a sum.
func (p *parser) argument(f Function, i int) Expr {
	if i >= len(f.Names) {
		x, _ := p.operands(0)
		p.sumEnd = p.at
		return x
	}
	switch f.Names[i] {
	case NamesPoint:
		return &Ref{p.name("(the name of a point)")}
	case NamesLine:
		return &Ref{p.name("(the name of a line)")}
	}
	return &Ref{p.profileName()}
}

// profileName reads PART.PROFILE as one name.
func (p *parser) profileName() Name {
	q := p.qualified("(the name of a profile)")
	if p.failed {
		return Name{}
	}
	if q.Profile == nil {
		p.failAt(q.Span, q.Part.Text+" is a part, a profile is wanted here", "write "+q.Part.Text+".NAME")
		return Name{}
	}
	return Name{q.Part.Text + "." + q.Profile.Text, q.Span}
}
