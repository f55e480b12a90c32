package syntax

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// parser reads one statement. After the first mistake it is at the end of the statement. Every further step does nothing,
// so the parsers of the statements need not check for failure.
type parser struct {
	file   *File
	tokens []token
	at     int

	word   *Word    // the statement
	form   int      // the form that the words so far belong to, from 1; 0: any
	wanted []string // what might have come here: words as they are written, other things in brackets
	sumAs  string   // the name of the sum that begins here; "": a sum
	sumEnd int      // where the last sum ended, 0 where none has

	depth, terms int

	failed   bool
	stopped  int  // where it failed
	broken   bool // it failed, but reading went on at the next shape
	mistakes []mistake
	given    Name   // the name that the statement gives
	lost     []Name // further names that it may have been meant to give
	result   Statement
	rest     []token // a further statement that begins with a blank by mistake
}

const strayText = "a statement begins here, but the blank before it makes the line continue the statement above"

// statement reads a statement by its first word, to its end.
func (p *parser) statement() {
	if len(p.tokens) >= MostTokens {
		p.failAt(p.tokens[0].span, "the statement is too long", fmt.Sprintf("at most %d words, numbers and signs", MostTokens))
		return
	}
	first := p.tokens[0]
	text := p.text(first)
	if first.kind == nameToken {
		p.word = lookUp(statements, text)
	}
	if p.word == nil {
		p.noStatement(first, text)
		return
	}
	p.read()
}

// read reads the statement after its first word.
func (p *parser) read() {
	p.at = 1
	s := p.word.parse(p)
	s.lies(p.from(p.tokens[0]))
	p.finish()
	if !p.failed && !p.broken {
		p.result = s
	}
}

// noStatement reports a first word that begins no statement.
func (p *parser) noStatement(first token, text string) {
	switch {
	case first.kind == badToken:
		p.fail()
	case first.kind != nameToken:
		p.failAt(first.span, fmt.Sprintf("a statement begins with a word, not with %s", p.describe(first)), signsHelp(first))
	case lookUp(shapes, text) != nil:
		p.failAt(first.span, text+" is a shape of a profile, no statement", "write it below its profile, with a blank at the start of the line")
	default:
		p.noWord(first, text)
	}
}

// noWord reports a first word that is no word of the language, and reads on as if it were the word that is meant, so that
// the rest of the sketch does not suffer.
func (p *parser) noWord(first token, text string) {
	near := likely(text, statementWords)
	word, name := runTogether(text)
	equals := len(p.tokens) > 1 && p.tokens[1].isSign('=')
	switch {
	case word != "" && synonyms[text] == "" && (equals || near == ""):
		p.failAt(first.span, shortened(text)+" is no statement", fmt.Sprintf("write a blank: %s %s", word, shortened(name)))
		p.lost = append(p.lost, Name{name, first.span})
	case equals:
		p.failAt(first.span, shortened(text)+" is no statement", "a dimension is written: dim "+shortened(text)+" = V")
		p.lost = append(p.lost, Name{text, first.span})
	case near != "":
		p.failAt(first.span, shortened(text)+" is no statement", "did you mean "+near+"?")
		p.guessed(lookUp(statements, near))
	default:
		p.failAt(first.span, shortened(text)+" is no statement", "barover words lists the statements")
		for _, t := range p.tokens {
			if t.kind == nameToken && !isReserved[p.text(t)] {
				p.lost = append(p.lost, Name{p.text(t), t.span})
			}
		}
	}
}

// guessed reads the statement as that of another word, without a mistake of its own.
func (p *parser) guessed(word *Word) {
	q := parser{file: p.file, tokens: p.tokens, word: word}
	q.read()
	p.given, p.lost, p.result = q.given, q.lost, q.result
	if q.rest != nil {
		p.rest, p.mistakes = q.rest, append(p.mistakes, q.mistakes[len(q.mistakes)-1])
	}
}

// runTogether splits a word that begins with the word of a statement joined to a name.
func runTogether(text string) (word, name string) {
	for _, w := range statementWords {
		rest, ok := strings.CutPrefix(text, w)
		if r, _ := utf8.DecodeRuneInString(rest); ok && unicode.IsLetter(r) && len(w) > len(word) {
			word, name = w, rest
		}
	}
	return word, name
}

// signsHelp knows the signs that begin a comment in other languages.
func signsHelp(t token) string {
	if t.isSign('/') || t.isSign('-') || t.isSign('*') {
		return commentHelp
	}
	return "begin with one, such as dim or point; a line that begins with a blank continues the one above"
}

// finish checks that the statement has ended.
func (p *parser) finish() {
	if p.failed || p.at >= len(p.tokens) {
		return
	}
	if t := p.tokens[p.at]; t.first && t.kind == nameToken && lookUp(statements, p.text(t)) != nil {
		p.mistakes = append(p.mistakes, mistake{Message: Message{File: p.file, Span: t.span, Text: strayText, Help: "begin it at the left margin"}})
		p.rest = p.tokens[p.at:]
		return
	}
	if len(p.wanted) > 0 {
		p.want("(nothing more)")
	}
	p.fail()
}

// here is the next token; the end of the statement where it has ended or failed.
func (p *parser) here() token {
	if p.at < len(p.tokens) {
		return p.tokens[p.at]
	}
	end := p.tokens[len(p.tokens)-1].span.End
	return token{span: Span{end, end}}
}

// after is the token after that.
func (p *parser) after() token {
	if p.at+1 < len(p.tokens) {
		return p.tokens[p.at+1]
	}
	return token{}
}

func (p *parser) advance() {
	p.at++
	p.wanted, p.sumAs = p.wanted[:0], ""
}

func (p *parser) text(t token) string { return p.file.Text[t.span.Start:t.span.End] }

// from is the stretch from a token to the last one read.
func (p *parser) from(start token) Span {
	end := start.span.End
	if p.at > 0 && p.at <= len(p.tokens) {
		end = max(end, p.tokens[p.at-1].span.End)
	}
	return Span{start.span.Start, end}
}

// want notes something that might come here, for the message where nothing suitable does.
func (p *parser) want(what string) { p.wanted = append(p.wanted, what) }

// is says whether a word of the language comes next.
func (p *parser) is(word string) bool {
	p.want(word)
	t := p.here()
	return t.kind == nameToken && p.text(t) == word
}

// has reads a word of the language if it comes next.
func (p *parser) has(word string) bool {
	if p.is(word) {
		p.advance()
		return true
	}
	return false
}

// need reads a word of the language that must come next.
func (p *parser) need(word string) {
	if !p.has(word) {
		p.fail()
	}
}

// hasSign reads a sign if it comes next.
func (p *parser) hasSign(sign byte) bool {
	p.want(string(sign))
	if p.here().isSign(sign) {
		p.advance()
		return true
	}
	return false
}

func (p *parser) needSign(sign byte) {
	if !p.hasSign(sign) {
		p.fail()
	}
}

// newName reads the name that the statement gives.
func (p *parser) newName(of string) Name {
	n := p.word1("(a name for the " + of + ")")
	p.given = n
	return n
}

// name reads a name; what describes it, for the message. It may be a name of a file that is taken in under a name of its
// own: rear.crankpin.
func (p *parser) name(what string) Name { return p.dotted(p.word1(what)) }

// word1 reads a name of one word.
func (p *parser) word1(what string) Name {
	t := p.here()
	p.want(what)
	if t.kind != nameToken {
		p.fail()
		return Name{}
	}
	if text := p.text(t); !isReserved[text] {
		p.advance()
		p.hyphened(t, what)
		return Name{text, t.span}
	}
	p.reserved(t, what)
	return Name{}
}

// dotted continues a name whose first word has been read, as long as a dot and another word touch it.
func (p *parser) dotted(n Name) Name {
	for !p.failed && p.at+1 < len(p.tokens) {
		dot, next := p.tokens[p.at], p.tokens[p.at+1]
		if !dot.isSign('.') || next.kind != nameToken || dot.span.Start != n.Span.End || !dot.touches(next) {
			break
		}
		word := p.text(next)
		if isReserved[word] && word != "frame" {
			break
		}
		n = Name{n.Text + "." + word, Span{n.Span.Start, next.span.End}}
		p.at += 2
		p.wanted = p.wanted[:0]
	}
	return n
}

// hyphened reports a name that is written with strokes, and takes each of its parts as lost, since in a sum each is a
// name of its own.
func (p *parser) hyphened(first token, what string) {
	last := first
	words := []string{p.text(first)}
	for p.at+1 < len(p.tokens) {
		stroke, next := p.tokens[p.at], p.tokens[p.at+1]
		if !stroke.isSign('-') || next.kind != nameToken || !last.touches(stroke) || !stroke.touches(next) {
			break
		}
		words, last = append(words, p.text(next)), next
		p.at += 2
	}
	if len(words) == 1 {
		return
	}
	for _, w := range words {
		p.lost = append(p.lost, Name{w, first.span})
	}
	whole := Span{first.span.Start, last.span.End}
	help := "write " + shortened(strings.Join(words, "_"))
	if !strings.HasPrefix(what, "(a name for") {
		help += ", or with blanks between them where they are names of their own"
	}
	p.failAt(whole, "a name is of letters, digits and _", help)
	p.lastMistake().hyphen = strings.Join(words, "-")
}

// reserved reports a word of the language in the place of a name: the name may be missing, or badly chosen.
func (p *parser) reserved(t token, what string) {
	text := p.text(t)
	if next := p.after(); strings.HasPrefix(what, "(a name for") && !p.failed && (next.isSign('=') || next.isSign(':') || next.kind == endToken || next.kind == nameToken && isReserved[p.text(next)]) {
		p.failAt(t.span, fmt.Sprintf("'%s' is one of the language's own words and can be no name", text), "choose another name, such as "+insteadOf(text))
		p.lastMistake().chosen = text
		return
	}
	p.fail()
}

// partName reads the name of a part, which may be frame.
func (p *parser) partName() Name {
	if t := p.here(); p.is("frame") {
		p.advance()
		return p.dotted(Name{"frame", t.span})
	}
	p.wanted = p.wanted[:len(p.wanted)-1]
	return p.name("(the name of a part)")
}

// qualified reads PART or PART.PROFILE. Either may have the name of its file before it. Whether a.b is a part of a file
// or a profile of a part is not known here, so it is read as a profile.
func (p *parser) qualified(what string) Qualified {
	start := p.here()
	q := Qualified{Part: p.partName()}
	if at := strings.LastIndexByte(q.Part.Text, '.'); at >= 0 && !p.failed {
		whole := q.Part
		cut := whole.Span.End - int32(len(whole.Text)-at)
		q.Part = Name{whole.Text[:at], Span{whole.Span.Start, cut}}
		q.Profile = &Name{whole.Text[at+1:], Span{cut + 1, whole.Span.End}}
	} else if p.here().isSign('.') {
		p.advance()
		q.Profile = new(p.word1(what))
	}
	q.Span = p.from(start)
	return q
}

// quoted reads a text that must come next.
func (p *parser) quoted(what string) Text {
	t := p.note(what)
	if !t.Given {
		p.fail()
	}
	return t
}

// note reads a text if one comes next.
func (p *parser) note(what string) Text {
	p.want(what)
	t := p.here()
	if t.kind != textToken {
		return Text{}
	}
	p.advance()
	return Text{p.file.Text[t.span.Start+1 : t.span.End-1], t.span, true}
}
