package syntax

import (
	"strings"
)

// longestCompared bounds the work of comparing two words; a longer word is no slip of the pen.
const longestCompared = 48

// Nearest is the candidate that a misspelt word most likely means, or "" where none is near enough. About one letter in
// three may be wrong, missing, added or swapped with its neighbour. Capitals do not matter. Of two equally near
// candidates the one that begins more like the word is given, then the earlier. conrod may mean front.conrod, a name of a
// file that is used under a name.
func Nearest(word string, candidates []string) string {
	w := folded(word)
	if len(w) == 0 || len(w) > longestCompared {
		return ""
	}
	best, least, alike := "", (len(w)+4)/3, 0
	if len(w) == 1 {
		least = 1 // any letter is one slip away from any other
	}
	for _, c := range candidates {
		if strings.HasSuffix(c, "."+word) { // of a file that is used under a name
			return c
		}
		if len(c) > 4*longestCompared || c == word {
			continue
		}
		f := folded(c)
		d, begin := slips(w, f, least+1), common(w, f)
		if d < least || d == least && best != "" && begin > alike {
			best, least, alike = c, d, begin
		}
	}
	return best
}

// DidYouMean suggests the candidate that a misspelt word most likely means; "" where none is near enough.
func DidYouMean(word string, candidates []string) string {
	if near := Nearest(word, candidates); near != "" {
		return "did you mean " + near + "?"
	}
	return ""
}

// common is how many letters two words share at their beginning.
func common(a, b []rune) int {
	n := 0
	for n < len(a) && n < len(b) && a[n] == b[n] {
		n++
	}
	return n
}

func folded(word string) []rune { return []rune(strings.ToLower(word)) }

// slips counts the letters that must be inserted, deleted, changed or swapped with their neighbour to make b of a
// (Damerau–Levenshtein, optimal string alignment). Counts of limit and more are returned as limit.
func slips(a, b []rune, limit int) int {
	if d := len(a) - len(b); d >= limit || -d >= limit {
		return limit
	}
	before, last, this := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		this[0] = i
		for j := 1; j <= len(b); j++ {
			change := last[j-1]
			if a[i-1] != b[j-1] {
				change++
			}
			this[j] = min(change, last[j]+1, this[j-1]+1)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				this[j] = min(this[j], before[j-2]+1)
			}
		}
		before, last, this = last, this, before
	}
	return last[len(b)]
}
