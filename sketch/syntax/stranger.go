package syntax

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// strangers are characters outside the language that come with text from elsewhere, and what to write instead.
var strangers = map[rune]string{
	'−': "write - for minus", '–': minus, '—': minus, '‐': minus, '‑': minus,
	'×': "write * for times", '·': "write * for times, and . in a decimal number", '÷': "write / for a division", '∕': "write / for a division", '⁄': "write / for a fraction",
	'⅓': "write 1/3", '⅔': "write 2/3", '⅕': "write 1/5", '⅖': "write 2/5", '⅗': "write 3/5", '⅘': "write 4/5", '⅙': "write 1/6", '⅚': "write 5/6",
	'⅐': "write 1/7", '⅑': "write 1/9", '⅒': "write 1/10",
	'²': "write ^2", '³': "write ^3", '√': "write sqrt( )", 'Ø': "write dia", '⌀': "write dia",
	'″': `write " for inches`, '′': "feet are no unit here: write inches", '\'': "feet are no unit here, and a text is written between two \"",
	';': "one statement stands on a line", '[': "brackets are ( )", ']': "brackets are ( )", '{': "brackets are ( )", '}': "brackets are ( )",
	'>': atLeast, '<': "write below", '≥': atLeast, '≤': "write below", '%': "write a share as a number, 0.05, and a tolerance as a length",
	'_': "a name begins with a letter", '˚': "write ° for degrees", '⁰': "write ° for degrees",
}

const (
	minus   = "write - for minus, and to between the ends of a range"
	atLeast = "write above in a keep line, by in a clear line, at least in a gap line"
)

// stranger makes a bad token of a character that no token begins with.
func (s *scanner) stranger(r rune, n int) {
	start := s.at
	s.at += n
	switch {
	case r == utf8.RuneError && n == 1: // reported for the file as a whole
		s.bad(start, "", "")
	case r == '”' && s.afterNumber(start):
		s.bad(start, "” is no inch mark", `write " for inches`)
	case r == '“' || r == '”' || r == '„' || r == '‟':
		if i := strings.IndexAny(s.text[s.at:s.end], `“”"`); i >= 0 {
			_, last := utf8.DecodeRuneInString(s.text[s.at+i:])
			s.at += i + last
		} else {
			s.at = s.end
		}
		s.bad(start, fmt.Sprintf("%c is no quote of the language", r), `write a text between two "`)
	case r == '‘' || r == '’' || r == '‚' || r == '\'' && s.pairOf(r):
		if i := strings.IndexAny(s.text[s.at:s.end], "‘’'"); i >= 0 {
			_, last := utf8.DecodeRuneInString(s.text[s.at+i:])
			s.at += i + last
		}
		if s.at == start+2 && r == '\'' { // two of them
			s.bad(start, "'' is no inch mark", `write " for inches`)
			return
		}
		s.bad(start, fmt.Sprintf("%c is no quote of the language", r), `write a text between two "`)
	case r == '°':
		s.bad(start, "the ° does not touch a number", "a unit touches its number: 30°")
	case r == '_':
		s.at = s.nameEnd(start)
		s.bad(start, shortened(s.text[start:s.at])+" is no name", strangers[r])
	default:
		help := strangers[r]
		if help == "" {
			help = "names are of letters, digits and _"
		}
		s.bad(start, shown(r)+" has no meaning in a sketch", help)
	}
}

// afterNumber reports whether a number touches this place.
func (s *scanner) afterNumber(at int) bool {
	if len(s.out) == 0 {
		return false
	}
	last := s.out[len(s.out)-1]
	return last.kind == numberToken && int(last.span.End) == at
}

// pairOf reports whether the sign occurs again in the line: then it is a quote, and not the mark of feet.
func (s *scanner) pairOf(r rune) bool { return strings.ContainsRune(s.text[s.at:s.end], r) }

// shown is a character, or its number where it is invisible.
func shown(r rune) string {
	if unicode.IsGraphic(r) && !unicode.IsMark(r) && !unicode.IsSpace(r) {
		return string(r)
	}
	return fmt.Sprintf("the invisible character U+%04X", r)
}

// shortened keeps a word of the sketch in a message to a readable length, and its unprintable characters out.
func shortened(text string) string {
	const most = 40
	var b strings.Builder
	n := 0
	for _, r := range text {
		if n == most {
			return b.String() + "…"
		}
		if !unicode.IsGraphic(r) {
			r = '\uFFFD'
		}
		b.WriteRune(r)
		n++
	}
	return b.String()
}
