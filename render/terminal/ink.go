package terminal

import "strings"

// The colours. A word always says the same thing beside them.
const (
	Red    = "\x1b[1;31m"
	Green  = "\x1b[32m"
	Yellow = "\x1b[33m"
	Faint  = "\x1b[2m"
	Reset  = "\x1b[0m"
)

// Ink says whether colour is wanted.
type Ink bool

// In returns text in a colour, if colour is wanted. The colour "" leaves it plain.
func (i Ink) In(colour, text string) string {
	if !bool(i) || text == "" || colour == "" {
		return text
	}
	return colour + text + Reset
}

// Say returns text as a paragraph in a colour, folded to the width of an answer.
func (i Ink) Say(colour, text string) string {
	var b strings.Builder
	for _, l := range Folded(text, "", Width) {
		b.WriteString(i.In(colour, l) + "\n")
	}
	return b.String()
}

// Verdict returns the last sentence of an answer, green where all is well and red where it is not.
func (i Ink) Verdict(well bool, text string) string {
	if well {
		return i.Say(Green, text)
	}
	return i.Say(Red, text)
}
