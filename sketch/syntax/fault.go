package syntax

import (
	"fmt"
	"slices"
	"strings"
)

// fail makes the message for the next token, which cannot come here.
func (p *parser) fail() {
	if p.failed {
		return
	}
	t := p.here()
	switch {
	case t.kind == badToken && !(isDigit(p.text(t)[0]) && p.namesWanted() && p.wanted[0] != wantSum && p.wanted[0] != p.sumAs):
		p.failAt(t.span, t.fault.text, t.fault.help)
	case p.sumEnd == p.at && p.at > 0 && p.afterSum(t):
	default:
		p.unexpected(t)
	}
}

// failAt makes a message and ends the statement.
func (p *parser) failAt(span Span, text, help string) {
	if p.failed {
		return
	}
	p.failed, p.stopped = true, p.at
	if t, next := p.here(), p.after(); t.kind == badToken && p.text(t) == ";" && next.kind == nameToken && lookUp(statements, p.text(next)) != nil {
		p.rest = p.tokens[p.at+1:]
	}
	p.mistakes = append(p.mistakes, mistake{Message: Message{File: p.file, Span: span, Text: text, Help: help}})
	p.at = len(p.tokens)
}

// lastMistake is the mistake that was just reported.
func (p *parser) lastMistake() *mistake { return &p.mistakes[len(p.mistakes)-1] }

// afterSum reports what people write after a sum: a unit apart from its number, a second sum.
func (p *parser) afterSum(t token) bool {
	last := p.tokens[p.at-1]
	left, right := shortened(p.text(last)), shortened(p.text(t))
	switch {
	case t.kind == nameToken && last.kind == numberToken && last.unit == Bare && likely(right, unitWords) == right:
		p.failAt(t.span, "a unit touches its number", "write "+left+right)
	case t.isSign(',') && last.kind == numberToken && last.touches(t) && p.after().kind == numberToken && t.touches(p.after()):
		p.failAt(t.span, "the sum has ended, but a comma follows", decimalHelp(left, shortened(p.text(p.after()))))
	case t.kind == nameToken && last.kind == numberToken && last.unit == Bare && units[synonyms[right]] != 0 && !isReserved[right]:
		p.failAt(t.span, right+" is no unit", "write "+left+synonyms[right])
	case p.decimalsInPlace(t):
	case t.kind == nameToken && last.kind == numberToken && units[right] != 0:
		p.failAt(t.span, fmt.Sprintf("the number %s has a unit already", left), "take "+right+" out")
	case t.isSign('.') && last.kind == numberToken:
		p.failAt(t.span, "a point after the number", "write "+left)
	case t.isSign(')'):
		p.failAt(t.span, "this bracket closes, but none is open", "take it out, or put one that opens before it")
	case t.kind == nameToken && (isReserved[right] && !(isFunctionName(right) && p.after().isSign('(')) || p.suggestion(right) != ""):
		return false
	case t.kind == nameToken && p.leads(p.after()):
		return false
	case (t.kind == numberToken || t.kind == nameToken) && len(p.wanted) == 1 && p.wanted[0][0] >= 'a':
		p.failAt(t.span, fmt.Sprintf("'%s' is missing between %s and %s", p.wanted[0], left, right), p.formHelp())
	case t.kind == nameToken && slices.Contains(p.wanted, "disc"): // more of a shape is likelier than more of its last sum
		p.failAt(t.span, p.expectation(t), p.formHelp())
	case t.kind == numberToken || t.kind == nameToken || t.isSign('('):
		p.failAt(t.span, fmt.Sprintf("there is no sign between %s and %s", left, right), p.signHelp(last, t))
	default:
		return false
	}
	return true
}

// leads reports whether the word before a token is likelier to be the wrong word than one of two sums without a sign: where another
// word follows it, as in a note without quotes, or a number although the sum must be followed by a word.
func (p *parser) leads(next token) bool {
	if next.kind == numberToken {
		return !slices.ContainsFunc(p.wanted, func(w string) bool { return w[0] < 'a' || w[0] > 'z' })
	}
	return next.kind == nameToken && (p.text(p.here()) == "and" || !slices.Contains(p.wanted, p.text(next)))
}

// decimalHelp says how to write a number that has a comma in it.
func decimalHelp(whole, part string) string {
	if strings.Contains(part, ".") {
		return fmt.Sprintf("write thousands without a comma: %s%s", whole, part)
	}
	help := fmt.Sprintf("a decimal number has a point: %s.%s", whole, part)
	if len(part) == 3 && strings.Trim(part, "0123456789") == "" && whole != "0" {
		help += fmt.Sprintf("; write thousands without a comma: %s%s", whole, part)
	}
	return help
}

// decimalsInPlace reports a place with decimal commas: 150,5, 0 is three sums.
func (p *parser) decimalsInPlace(t token) bool {
	if !t.isSign(',') || p.at < 3 {
		return false
	}
	whole, comma, part := p.tokens[p.at-3], p.tokens[p.at-2], p.tokens[p.at-1]
	if whole.kind != numberToken || part.kind != numberToken || !comma.isSign(',') || !whole.touches(comma) || !comma.touches(part) {
		return false
	}
	p.failAt(comma.span, "a place is two sums, and this is a third", decimalHelp(shortened(p.text(whole)), shortened(p.text(part))))
	return true
}

func isFunctionName(text string) bool {
	_, ok := LookUpFunction(text)
	return ok
}

// noteWanted is a note among what is wanted.
const noteWanted = `(a note in ")`

const commentHelp = "a comment begins with #"

// signHelp says what to put between two sums.
func (p *parser) signHelp(last, t token) string {
	if last.kind == numberToken && t.kind == nameToken && last.unit == Inch && last.touches(t) {
		return `write a blank before a text; a " that touches a number means inches`
	}
	if f, ok := LookUpFunction(p.text(last)); ok && last.kind == nameToken {
		return "if the function is meant, write " + f.Form
	}
	if slices.Contains(p.wanted, ",") {
		return "put + - * or / between them, or a comma"
	}
	return "put + - * or / between them\n" + p.formHelp()
}

// unexpected says what was found, what should come there, and how the statement is written.
func (p *parser) unexpected(t token) {
	help := p.formHelp()
	last := p.tokens[max(p.at-1, 0)]
	switch {
	case t.kind == nameToken && p.text(t) == "to" && slices.Contains(p.wanted, "tol"):
		help = "a dimension is one value; write V ± V, or V tol LOWER to UPPER with the lower deviation first"
	case t.kind == nameToken && p.suggestion(p.text(t)) != "":
		help = "did you mean " + p.suggestion(p.text(t)) + "?"
	case t.kind == badToken:
		help = "a name begins with a letter"
	case t.kind == nameToken && p.text(t) == "and" && slices.Contains(p.wanted, p.text(p.after())):
		help = "take it out"
	case t.kind == nameToken && p.text(t) != "and" && !isReserved[p.text(t)] && p.after().kind == nameToken && slices.Contains(p.wanted, noteWanted):
		help = "write a note between two \"\n" + help
	case t.isSign('*') && last.isSign('*') && last.touches(t):
		help = "a power is written with ^"
	case t.isSign('/') && last.isSign('/') && last.touches(t):
		help = commentHelp
	case t.isSign('=') && last.isSign('='):
		help = "one = is enough"
	case t.kind == nameToken && p.text(t) == "radius" && slices.Contains(p.wanted, "dia"):
		help = "write dia and twice the radius"
	}
	used := ""
	if t.kind == nameToken && isReserved[p.text(t)] && p.namesWanted() {
		used = p.text(t)
	}
	p.failAt(t.span, p.expectation(t), help)
	p.lastMistake().used = used
}

// suggestion is the word wanted here that the author most likely meant.
func (p *parser) suggestion(text string) string {
	var words []string
	for _, w := range p.wanted {
		if w[0] >= 'a' && w[0] <= 'z' || w[0] >= 'A' && w[0] <= 'Z' {
			words = append(words, w)
		}
	}
	return likely(text, words)
}

// expectation is what was found and what was wanted, in words.
func (p *parser) expectation(t token) string {
	wanted := p.wantedList()
	switch {
	case wanted == "" && t.kind == textToken && p.tokens[p.at-1].kind == textToken:
		return "the statement has ended, but a second text follows"
	case wanted == "" && t.kind == textToken:
		return fmt.Sprintf("%s takes no note", p.word.Word)
	case wanted == "":
		return fmt.Sprintf("the statement has ended, but %s follows", p.describe(t))
	case t.kind == endToken:
		return fmt.Sprintf("%s is missing at the end", wanted)
	case p.namesWanted() && t.kind == nameToken && isReserved[p.text(t)]:
		return fmt.Sprintf("'%s' is one of the language's own words: %s should come here", p.text(t), wanted)
	case len(p.wanted) == 1:
		return fmt.Sprintf("%s is missing before %s", wanted, p.describe(t))
	}
	return fmt.Sprintf("%s cannot come here, only %s", p.describe(t), wanted)
}

// namesWanted says whether only the author's own names may come here, and no word of the language.
func (p *parser) namesWanted() bool {
	return len(p.wanted) > 0 && !slices.ContainsFunc(p.wanted, func(w string) bool {
		return w[0] != '(' || w == "(" || w == "(nothing more)"
	})
}

// wantedList is what might have come here: a, b or c.
func (p *parser) wantedList() string {
	var list []string
	seen := map[string]bool{}
	for _, w := range p.wanted {
		if seen[w] {
			continue
		}
		seen[w] = true
		if w[0] == '(' && len(w) > 1 {
			w = w[1 : len(w)-1]
		} else {
			w = "'" + w + "'"
		}
		list = append(list, w)
	}
	if len(list) < 2 {
		return strings.Join(list, "")
	}
	return strings.Join(list[:len(list)-1], ", ") + " or " + list[len(list)-1]
}

// describe is a token in words.
func (p *parser) describe(t token) string {
	text := shortened(p.text(t))
	switch t.kind {
	case endToken:
		return "the end of the statement"
	case numberToken:
		return "the number " + text
	case textToken:
		return "the text " + text
	}
	return "'" + text + "'"
}

// formHelp shows how the statement is written: in the form that it has so far, or in all forms; and in others that have the word found.
func (p *parser) formHelp() string {
	if p.word == nil {
		return ""
	}
	forms := p.word.Forms
	if p.form > 0 {
		forms = forms[p.form-1 : p.form]
	}
	if t := p.here(); t.kind == nameToken && isReserved[p.text(t)] {
		forms = slices.Concat(forms, p.formsWith(p.text(t), forms))
	}
	list := make([]string, len(forms))
	for i, f := range forms {
		list[i] = f.Form
	}
	return "it is written: " + strings.Join(list, "\n           or: ")
}

// formsWith are the forms of this statement that have a word, unless one of those shown has it. Where there are none, they are those of
// other statements that have both the word of this one and that word: loose length P Q = V play V for a length with play.
func (p *parser) formsWith(word string, shown []Form) (list []Form) {
	has := func(f Form) bool { return slices.Contains(f.words(), word) }
	if slices.ContainsFunc(shown, has) {
		return nil
	}
	for _, f := range p.word.Forms {
		if has(f) {
			list = append(list, f)
		}
	}
	for _, w := range statements {
		if len(list) == 0 && w.Word != p.word.Word && has(w.Forms[0]) && slices.Contains(w.Forms[0].words(), p.word.Word) {
			list = append(list, w.Forms[0])
		}
	}
	return list
}
