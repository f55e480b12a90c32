package syntax

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// Bounds on a file. They are far above any sketch that a person writes, and keep a file that is no sketch from stopping
// the program.
const (
	MostBytes      = 4 << 20 // of a file
	MostStatements = 50_000  // of a file
	MostTokens     = 20_000  // words, numbers and signs of a statement
	MostDepth      = 100     // nested brackets and signs
	MostTerms      = 1_000   // numbers and names of a sum
	MostMessages   = 100     // of a file
)

// Parse reads a sketch. A statement with a mistake is left out of the file, unless only its first word is misspelt. Each
// such statement has one message, and reading continues at the next statement. The messages are sorted by their place.
// Without messages every statement was read.
func Parse(path, text string) (*File, []Message) {
	r := reader{file: &File{Path: path, Text: text}}
	if r.usable() {
		r.read()
	}
	return r.file, r.told()
}

// mistake is a message while it is made.
type mistake struct {
	Message
	chosen string // the word of the language that the author has chosen as a name
	used   string // the word of the language in the place of a name or a sum
	hyphen string // the name that is written with a stroke
}

// told is the messages in the order of their places. A word of the language that was chosen as a name is one mistake,
// however often that name is used. So is a name with a stroke in it.
func (r *reader) told() []Message {
	chosen := map[string]bool{"": false}
	for _, m := range r.mistakes {
		if m.chosen != "" {
			chosen[m.chosen] = true
		}
	}
	var list []Message
	hyphens, names := map[string]bool{}, r.written()
	for _, m := range r.mistakes {
		if other := insteadOf(m.used); names[other] {
			m.Help = "did you mean " + other + "?"
		}
		if !chosen[m.used] && !hyphens[m.hyphen] {
			list = append(list, m.Message)
		}
		hyphens[m.hyphen] = m.hyphen != ""
	}
	slices.SortStableFunc(list, func(a, b Message) int { return int(a.Span.Start) - int(b.Span.Start) })
	return list
}

// insteadOf is the name that is offered in place of a word of the language.
func insteadOf(word string) string { return word + "_1" }

// written are the names in the statements that could be read, if a word of the language stands in the place of one.
func (r *reader) written() map[string]bool {
	names := map[string]bool{}
	if !slices.ContainsFunc(r.mistakes, func(m mistake) bool { return m.used != "" }) {
		return names
	}
	add := func(_ Named, n *Name) { names[n.Text] = true }
	to := Visitor{Given: add, Used: add, Qualified: func(*Qualified) {}, Sum: func(Expr) {}}
	for _, s := range r.file.Statements {
		Walk(s, to)
	}
	return names
}

// reader puts lines together into statements.
type reader struct {
	file      *File
	mistakes  []mistake
	tokens    []token // of the statement being read
	strayed   bool    // the last statement began on a line with a blank before it
	outdented bool    // a shape of the statement being read begins without a blank, and was reported
	full      bool    // a bound was reached: the rest is not read
	spoilt    []Span  // lines with a control character
}

func (r *reader) tell(span Span, text, help string) {
	r.mistakes = append(r.mistakes, mistake{Message: Message{File: r.file, Span: span, Text: text, Help: help}})
}

// usable reports what makes a file no sketch at all, and where it is not UTF-8.
func (r *reader) usable() bool {
	text := r.file.Text
	switch {
	case len(text) > MostBytes:
		r.tell(Span{}, fmt.Sprintf("the file is larger than %d MB: this is no sketch", MostBytes>>20), "put some of it into a file of its own: use \"OTHER.motion\"")
		return false
	case strings.HasPrefix(text, "\xff\xfe") || strings.HasPrefix(text, "\xfe\xff") || strings.IndexByte(text[:min(2, len(text))], 0) >= 0:
		r.tell(Span{}, "the file is UTF-16, not UTF-8", "save it as UTF-8")
		return false
	}
	if at := strings.IndexByte(text, 0); at >= 0 {
		if !utf8.ValidString(text) { // a picture, say: no place in it is better than another
			at = 0
		}
		r.tell(Span{int32(at), int32(at)}, "this is no text: there are bytes 00 in it", "a sketch is a text file in UTF-8")
		return false
	}
	if at := invalidAt(text); at >= 0 {
		r.tell(Span{int32(at), int32(at + 1)}, fmt.Sprintf("the byte %02X is not UTF-8%s", text[at], inLatin(text[at])), "save the file as UTF-8")
	}
	return true
}

// inLatin says which character a byte is in Latin-1, the older encoding of Western Europe: most often ½, ° or ±.
func inLatin(b byte) string {
	if b <= 0xa0 {
		return ""
	}
	return fmt.Sprintf("; in Latin-1 it is %c", rune(b))
}

// invalidAt is the place of the first byte that is not UTF-8, or -1.
func invalidAt(text string) int {
	for at, r := range text {
		if r == utf8.RuneError && !strings.HasPrefix(text[at:], string(utf8.RuneError)) {
			return at
		}
	}
	return -1
}

// byteOrderMark may stand at the start of a file and means nothing.
const byteOrderMark = "\ufeff"

// read goes through the lines. A line with tokens that begins with a blank continues the statement above.
func (r *reader) read() {
	text := r.withoutControls(r.file.Text)
	start := 0
	if strings.HasPrefix(text, byteOrderMark) {
		start = len(byteOrderMark)
	}
	for start < len(text) && !r.full {
		end, next := lineEnd(text, start)
		margin := blankAt(text, start, end) == 0
		if margin && start < end && text[start] != '#' && !r.shapeAtMargin(start, end) {
			r.finish()
		}
		held := len(r.tokens)
		r.tokens, _ = scanLine(text, start, end, r.tokens, MostTokens)
		if !margin && held == 0 && len(r.tokens) > 0 {
			r.astray(r.tokens[0])
		}
		start = next
	}
	r.finish()
}

// lineEnd is where the line from start ends, and where the next one begins.
func lineEnd(text string, start int) (end, next int) {
	i := strings.IndexByte(text[start:], '\n')
	if i < 0 {
		return len(text), len(text)
	}
	end, next = start+i, start+i+1
	if end > start && text[end-1] == '\r' {
		end--
	}
	return end, next
}

// astray reports a line that begins with a blank where there is nothing to continue.
func (r *reader) astray(first token) {
	if r.inSpoilt(first.span.Start) {
		return
	}
	r.tell(first.span, "the line begins with a blank, but there is no statement above for it to continue",
		"begin a statement at the left margin")
	r.strayed = true
}

// shapeAtMargin reports a shape below its profile that begins without a blank, and reads it as if it had one. A profile
// has one message for all of its shapes.
func (r *reader) shapeAtMargin(start, end int) bool {
	text := r.file.Text
	if len(r.tokens) == 0 || r.file.SpanText(r.tokens[0].span) != "profile" {
		return false
	}
	s := scanner{text: text, end: end}
	word := Span{int32(start), int32(s.nameEnd(start))}
	if lookUp(shapes, r.file.SpanText(word)) == nil {
		return false
	}
	if !r.outdented {
		r.tell(word, "this shape has no blank before it, but it belongs to the profile above", "begin the line with a blank")
	}
	r.outdented = true
	return true
}

// finish parses the statement whose tokens have been collected, and the statements that follow in it by mistake.
func (r *reader) finish() {
	tokens := r.tokens
	r.tokens = r.tokens[:0]
	for len(tokens) > 0 && !r.full {
		p := parser{file: r.file, tokens: tokens}
		p.statement()
		r.take(&p)
		tokens = p.rest
	}
	r.strayed, r.outdented = false, false
}

// take keeps what a parser found.
func (r *reader) take(p *parser) {
	for _, m := range p.mistakes {
		if m.Text == strayText && r.strayed { // a whole sketch that is indented is one mistake
			continue
		}
		if m.Text != "" && len(r.mistakes) < MostMessages && !r.inSpoilt(m.Span.Start) {
			r.mistakes = append(r.mistakes, m)
		}
	}
	r.strayed = r.strayed || len(p.rest) > 0
	if p.result != nil {
		r.file.Statements = append(r.file.Statements, p.result)
	} else {
		r.file.Gaps++
		r.file.Lost = append(r.file.Lost, p.lost...)
		if p.given.Text != "" {
			r.file.Lost = append(r.file.Lost, p.given)
		}
	}
	switch {
	case len(r.mistakes) >= MostMessages:
		r.stop(p, fmt.Sprintf("%d mistakes so far: the rest of the sketch is not read", MostMessages), "mend these first")
	case len(r.file.Statements) >= MostStatements:
		r.stop(p, fmt.Sprintf("more than %d statements: the rest of the sketch is not read", MostStatements), "leave some of them out")
	}
}

// stop says why reading ends here.
func (r *reader) stop(p *parser, why, help string) {
	r.full = true
	end := p.tokens[len(p.tokens)-1].span.End
	r.tell(Span{end, end}, why, help)
}
