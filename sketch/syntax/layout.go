package syntax

import (
	"slices"
	"strings"
)

// group is a kind of statement that is aligned with its like.
type group uint8

const (
	alone group = iota // aligned with nothing
	dims
	cases
	moves
	places
	holds
	parts
	sideplays
	profiles
	musts
	measures
	tells
)

var groupOf = map[string]group{
	"dim": dims, "made": dims, "plan": dims, "stock": dims, "case": cases, "turn": moves, "travel": moves,
	"point": places, "line": places, "arc": places,
	"length": holds, "angle": holds, "slide": holds, "loose": holds,
	"part": parts, "sideplay": sideplays, "play": sideplays, "profile": profiles,
	"clear": musts, "allow": musts, "gap": musts, "keep": musts,
	"measure": measures, "mark": tells, "trace": tells, "chart": tells, "setting": tells,
}

// sharesColumns names one kind for all statements of a group whose columns are the same.
var sharesColumns = map[group]string{dims: "dim", moves: "turn", holds: "length"}

// padsWord says for which groups the first words are padded to one length, so that the names line up.
var padsWord = map[group]bool{moves: true, places: true, holds: true, musts: true, tells: true}

// layOut cuts a sketch without mistakes into rows.
func layOut(text string) []row {
	var rows []row
	var tokens []token
	l := layouter{text: text}
	start := 0
	if strings.HasPrefix(text, byteOrderMark) {
		start = len(byteOrderMark)
	}
	for start < len(text) {
		end, next := lineEnd(text, start)
		var comment Span
		tokens, comment = scanLine(text, start, end, tokens[:0], end-start+1)
		margin := blankAt(text, start, end) == 0
		r := row{first: margin && len(tokens) > 0, comment: trimmed(text[comment.Start:comment.End])}
		if !margin && l.first != "" {
			r.lead = indent
		}
		l.fill(&r, tokens)
		rows = append(rows, r)
		start = next
	}
	return rows
}

func trimmed(comment string) string { return strings.TrimRight(comment, " \t\r\u00a0\u2009\u202f") }

// layouter puts the standard blanks between tokens. It remembers the tokens before them from line to line, since they
// decide whether a minus is a sign or goes between two sums.
type layouter struct {
	text         string
	first        string // word of the statement
	before, last token  // the last two tokens
}

// fill puts the tokens of a line into its row.
func (l *layouter) fill(r *row, tokens []token) {
	if len(tokens) == 0 {
		return
	}
	var stops []int
	if r.first {
		l.first = l.word(tokens[0])
		l.before, l.last = token{}, token{}
		r.group, r.kind = groupOf[l.first], l.first
		if kind := sharesColumns[r.group]; kind != "" {
			r.kind = kind
		}
		stops = l.stops(tokens)
	}
	notes := len(tokens)
	if last := notes - 1; tokens[last].kind == textToken && l.first != "title" && l.first != "use" && l.first != "scan" {
		notes = last
	}
	r.pieces = make([]string, 1, len(stops)+1)
	for i, t := range tokens {
		if len(stops) > 0 && i == stops[0] {
			stops = stops[1:]
			r.pieces = append(r.pieces, "")
		}
		piece := &r.pieces[len(r.pieces)-1]
		if i >= notes {
			piece = &r.note
		}
		next := token{}
		if i+1 < len(tokens) {
			next = tokens[i+1]
		}
		if *piece != "" && l.blankBefore(t, next) {
			*piece += " "
		}
		*piece += l.word(t)
		l.before, l.last = l.last, t
	}
}

// word is a token as the author wrote it; a mixed number has one blank in it.
func (l *layouter) word(t token) string {
	text := l.text[t.span.Start:t.span.End]
	if t.kind == numberToken {
		return strings.Join(strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\t' || r == '\u00a0' || r == '\u2009' || r == '\u202f' }), " ")
	}
	return text
}

// stops are the tokens of a statement that line up with those of neighbouring statements of its kind, in order: the
// second word, and the tokens that divide the statement.
func (l *layouter) stops(tokens []token) []int {
	s := stopper{l: l, tokens: tokens}
	if padsWord[groupOf[l.first]] {
		s.at(1)
	}
	switch l.first {
	case "dim", "made", "plan", "stock", "turn", "travel", "length", "loose", "angle", "sideplay", "play", "measure", "setting":
		s.any("=")
	case "case":
		s.any(":")
		s.any("=")
	case "part", "profile":
		s.any("from", "at", "across", "centred")
	case "clear", "allow", "gap":
		s.afterName()
		s.any("by", "at")
	case "keep":
		s.any("above", "below")
	case "mark":
		s.any("when")
		s.any("rises", "falls", "is")
	case "chart":
		s.any("of")
		s.any("against")
		s.any("showing")
	}
	return s.stops
}

// stopper looks for stops from left to right. After a missing one it finds none.
type stopper struct {
	l      *layouter
	tokens []token
	stops  []int
	from   int // where to look for the next
}

// at makes the i-th token a stop.
func (s *stopper) at(i int) {
	if i > 0 && i < len(s.tokens) {
		s.stops = append(s.stops, i)
		s.from = i + 1
		return
	}
	s.from = len(s.tokens)
}

// any makes the next token a stop that is one of some words or signs.
func (s *stopper) any(words ...string) {
	i := max(s.from, 1)
	for i < len(s.tokens) && !slices.Contains(words, s.l.word(s.tokens[i])) {
		i++
	}
	s.at(i)
}

// afterName makes the token after PART or PART.PROFILE a stop. After clear all there is none.
func (s *stopper) afterName() {
	i := 2
	if len(s.tokens) > 1 && s.l.word(s.tokens[1]) == "all" {
		i = len(s.tokens)
	}
	for i < len(s.tokens) && (s.tokens[i].isSign('.') || s.tokens[i-1].isSign('.')) {
		i++
	}
	s.at(i)
}

// blankBefore says whether there is a blank between the last token and this one; next comes after it. A ^ touches its
// neighbours, except a fraction: 1/2^2 would look like half of 1.
func (l *layouter) blankBefore(t, next token) bool {
	last := l.last
	switch {
	case t.isSign(','), t.isSign(')'), last.isSign('('), t.isSign('.'), last.isSign('.'):
		return false
	case isTight(last, t, next), isTight(l.before, last, t):
		return false
	case t.isSign('^'):
		return l.fraction(last)
	case last.isSign('^'):
		return l.fraction(l.before)
	case l.first == "scale" && (t.isSign(':') || last.isSign(':')):
		return false
	case last.isSign('-') || last.isSign('+'):
		return l.operand(l.before)
	case t.isSign('('):
		return !l.calls()
	}
	return true
}

// isTight says whether a * or / was written without blanks. a/2 + b reads better than a / 2 + b, and the author decides.
func isTight(left, t, right token) bool {
	return (t.isSign('*') || t.isSign('/')) && left.touches(t) && t.touches(right)
}

// fraction says whether a token is a number with a stroke in it.
func (l *layouter) fraction(t token) bool {
	return t.kind == numberToken && strings.Contains(l.word(t), "/")
}

// calls says whether the last token is a function, which its bracket touches, and not the word of a statement.
func (l *layouter) calls() bool {
	return l.last.kind == nameToken && isFunctionName(l.word(l.last)) && !l.operand(l.before) &&
		!(l.first == "gap" && l.word(l.before) == "at")
}

// operand says whether a sum may end with the token, so that a sign after it goes between two sums.
func (l *layouter) operand(t token) bool {
	switch t.kind {
	case numberToken:
		return true
	case nameToken:
		text := l.word(t)
		return text == "pi" || !isReserved[text]
	}
	return t.isSign(')')
}
