package report

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
)

// CountOf returns a number with the noun that it counts: "1 check", "2 checks".
func CountOf(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// Counted formats a number by a form (as fmt.Sprintf does). Of each {one|many} in the form it keeps the word that goes with
// the number.
func Counted(form string, n int) string {
	return oneOrMany.ReplaceAllStringFunc(fmt.Sprintf(form, n), func(both string) string {
		one, many, _ := strings.Cut(both[1:len(both)-1], "|")
		if n == 1 {
			return one
		}
		return many
	})
}

var oneOrMany = regexp.MustCompile(`\{[^{}|]*\|[^{}|]*\}`)

// InWords is CountOf with numbers up to twelve in words, for the start of a sentence: "Two checks".
func InWords(n int, one, many string) string {
	if n == 1 {
		return "One " + one
	}
	names := []string{"No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten", "Eleven", "Twelve"}
	if n < len(names) {
		return names[n] + " " + many
	}
	return fmt.Sprintf("%d %s", n, many)
}

// WereOf returns "was" for one and "were" for any other number.
func WereOf(n int) string {
	if n == 1 {
		return "was"
	}
	return "were"
}

// FirstFew returns the first entries of a list in words, at most most of them. If there are more entries, a last text says
// how many more, by a form of Counted.
func FirstFew[T any](of []T, most int, more string, say func(T) string) (words []string) {
	for i, x := range of {
		if i == most {
			return append(words, Counted(more, len(of)-i))
		}
		words = append(words, say(x))
	}
	return words
}

// FewOf is FirstFew for a list of words.
func FewOf(words []string, most int, more string) []string {
	return FirstFew(words, most, more, func(s string) string { return s })
}

// Few joins the first MostFaults names with the separator between, and says how many more there are.
func Few(names []string, between string) string {
	return strings.Join(FewOf(names, MostFaults, "and %d more"), between)
}

// Joined puts texts together, with the separator between; it leaves out those that are empty.
func Joined(between string, texts ...string) string {
	return strings.Join(slices.DeleteFunc(texts, func(s string) bool { return s == "" }), between)
}

// Led is a text with words before it; "" where there is no text.
func Led(words, text string) string {
	if text == "" {
		return ""
	}
	return words + text
}

// Listing joins words with commas, and "and" before the last.
func Listing(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}
