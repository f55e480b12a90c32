package drawing

import "strings"

// FitPair shortens what names two things, with a dash between, to at most so many mm, so that something is left of both.
// Of any other text it leaves the beginning.
func (s *TextStyle) FitPair(text string, most float64) string {
	one, two, pair := strings.Cut(text, pairDash)
	if s.Width(text) <= most || !pair {
		return s.Fit(text, most)
	}
	room := most - s.Width(pairDash)
	if w := s.Width(two); w < room/2 {
		return s.FitMiddle(one, room-w) + pairDash + two
	}
	one = s.FitMiddle(one, max(room/2, room-s.Width(two)))
	return one + pairDash + s.Fit(two, room-s.Width(one))
}

// pairDash stands between the two names of a pair.
const pairDash = " – "

// FitMiddle shortens a text in the middle: names that begin alike often differ in their ends.
func (s *TextStyle) FitMiddle(text string, most float64) string {
	if s.Width(text) <= most {
		return text
	}
	r := []rune(text)
	sum := s.letter('…')
	keep := 0
	for keep+1 < len(r) {
		head, tail := (keep+2)/2, (keep+1)/2 // of one letter more
		next := r[head-1]
		if tail > keep-(keep+1)/2 {
			next = r[len(r)-tail]
		}
		if sum += s.letter(next); s.mm(sum) > most {
			break
		}
		keep++
	}
	if keep < 2 {
		return s.Fit(text, most)
	}
	head := (keep + 1) / 2
	return string(r[:head]) + "…" + string(r[len(r)-(keep-head):])
}
