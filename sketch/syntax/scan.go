package syntax

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// scanner cuts one line of text into tokens. A token never continues on the next line. So a statement is the tokens of
// its lines one after another, and a mistake in one line cannot swallow the next.
type scanner struct {
	text  string
	at    int // next byte
	end   int // of the line
	begun bool
	out   []token
	limit int // tokens to make at most
}

// scanLine appends the tokens of text[start:end] to out, and returns the span of the line's comment; it is empty where
// there is none. It stops at limit tokens.
func scanLine(text string, start, end int, out []token, limit int) ([]token, Span) {
	s := scanner{text: text, at: start, end: end, out: out, limit: limit}
	for len(s.out) < s.limit {
		s.skipBlanks()
		if s.at >= s.end {
			break
		}
		if s.text[s.at] == '#' {
			return s.out, Span{int32(s.at), int32(s.end)}
		}
		s.next()
	}
	return s.out, Span{int32(end), int32(end)}
}

// blankAt is the length of the blank at a place, 0 where there is none. No-break and narrow blanks come with text that is
// copied from a page.
func blankAt(text string, at, end int) int {
	if at >= end {
		return 0
	}
	switch c := text[at]; {
	case c == ' ' || c == '\t':
		return 1
	case c < utf8.RuneSelf:
		return 0
	}
	switch r, n := utf8.DecodeRuneInString(text[at:end]); r {
	case '\u00a0', '\u2009', '\u202f':
		return n
	}
	return 0
}

func (s *scanner) skipBlanks() {
	for n := blankAt(s.text, s.at, s.end); n > 0; n = blankAt(s.text, s.at, s.end) {
		s.at += n
	}
}

// emit makes a token of the text between start and here.
func (s *scanner) emit(start int, t token) {
	t.span = Span{int32(start), int32(s.at)}
	t.first = !s.begun
	s.begun = true
	s.out = append(s.out, t)
}

func (s *scanner) bad(start int, text, help string) {
	s.emit(start, token{kind: badToken, fault: &fault{text, help}})
}

// peek is the character at a place and its length, 0, 0 at the end of the line.
func (s *scanner) peek(at int) (rune, int) {
	if at >= s.end {
		return 0, 0
	}
	if c := s.text[at]; c < utf8.RuneSelf {
		return rune(c), 1
	}
	return utf8.DecodeRuneInString(s.text[at:s.end])
}

func (s *scanner) digitAt(at int) bool { return at < s.end && isDigit(s.text[at]) }

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

// next makes the token that begins here.
func (s *scanner) next() {
	start := s.at
	r, n := s.peek(start)
	switch {
	case isDigit(s.text[start]), r == '.' && s.digitAt(start+1) && !s.afterName(start), isFractionSign(r):
		s.number()
	case unicode.IsLetter(r):
		s.at = s.nameEnd(start)
		s.emit(start, token{kind: nameToken})
	case r == '"':
		s.quoted()
	case r == '±':
		s.at += n
		s.emit(start, token{kind: plusMinusToken})
	case r == '+' && start+3 <= s.end && s.text[start:start+3] == "+/-":
		s.at += 3
		s.emit(start, token{kind: plusMinusToken})
	case r < utf8.RuneSelf && isSign(byte(r)):
		s.at++
		s.emit(start, token{kind: signToken, sign: byte(r)})
	default:
		s.stranger(r, n)
	}
}

func isSign(c byte) bool { return strings.IndexByte("+-*/^(),=:.", c) >= 0 }

// afterName says whether the dot here belongs to PART.NAME rather than to a number such as .5
func (s *scanner) afterName(dot int) bool {
	if len(s.out) == 0 || !s.begun {
		return false
	}
	last := s.out[len(s.out)-1]
	return last.kind == nameToken && int(last.span.End) == dot
}

// nameEnd is where the letters, digits and _ from a place end.
func (s *scanner) nameEnd(at int) int {
	for {
		r, n := s.peek(at)
		if n == 0 || !(unicode.IsLetter(r) || '0' <= r && r <= '9' || r == '_') {
			return at
		}
		at += n
	}
}

// quoted makes a token of the text in quotes that begins here. A text ends on its line.
func (s *scanner) quoted() {
	start := s.at
	afterBlank := start == 0 || s.blankBefore(start)
	end := start + 1
	for end < s.end && s.text[end] != '"' {
		end++
	}
	if end >= s.end {
		s.at = s.end
		s.bad(start, "the text has no closing quote", s.quoteHelp(start))
		return
	}
	s.at = end + 1
	if !afterBlank {
		s.bad(start, "a text needs a blank before it", fmt.Sprintf(`write a blank before "%s"`, shortened(s.text[start+1:end])))
		return
	}
	s.emit(start, token{kind: textToken})
}

// quoteHelp recognises an inch mark that does not touch its number.
func (s *scanner) quoteHelp(start int) string {
	if rest := s.text[start+1 : s.end]; len(s.out) > 0 && s.out[len(s.out)-1].kind == numberToken && len(rest) < 2 {
		number := s.out[len(s.out)-1].span
		return fmt.Sprintf(`an inch mark touches its number: %s"`, s.text[number.Start:number.End])
	}
	return `a text stands on one line between two "`
}

func (s *scanner) blankBefore(at int) bool {
	_, n := utf8.DecodeLastRuneInString(s.text[:at])
	return blankAt(s.text, at-n, at) > 0
}
