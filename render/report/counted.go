package report

import (
	"fmt"
	"regexp"
	"strings"
)

// CountOf is a number with what it counts.
func CountOf(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// Counted fills a number into a form, and takes of {one|many} in it what goes with that number.
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

// InWords is a number in words up to twelve, and what there are so many of.
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

// WereOf is the verb for so many.
func WereOf(n int) string {
	if n == 1 {
		return "was"
	}
	return "were"
}

// FirstFew is a list in words, its first most entries at the most, and then how many more there are, in the form of Counted.
func FirstFew[T any](of []T, most int, more string, say func(T) string) (words []string) {
	for i, x := range of {
		if i == most {
			return append(words, Counted(more, len(of)-i))
		}
		words = append(words, say(x))
	}
	return words
}

// FewOf is FirstFew of words.
func FewOf(words []string, most int, more string) []string {
	return FirstFew(words, most, more, func(s string) string { return s })
}

// Few names the first few, and how many more there are.
func Few(names []string, between string) string {
	return strings.Join(FewOf(names, MostFaults, "and %d more"), between)
}

// Listing is words with commas between them, and "and" before the last.
func Listing(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}
