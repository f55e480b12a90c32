package report

import "strings"

// Typed is a word of a command line as it is typed: in quotes where a shell would part or change it.
func Typed(word string) string {
	plain := func(r rune) bool {
		return 'a' <= r && r <= 'z' || 'A' <= r && r <= 'Z' || '0' <= r && r <= '9' || strings.ContainsRune("_-./:=,+", r)
	}
	switch {
	case word != "" && strings.IndexFunc(word, func(r rune) bool { return !plain(r) }) < 0:
		return word
	case !strings.ContainsAny(word, "\"$`!\\"):
		return `"` + word + `"`
	}
	return "'" + strings.ReplaceAll(word, "'", `'\''`) + "'"
}
