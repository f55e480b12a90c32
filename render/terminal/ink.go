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

// In paints text where colour is wanted; "" is no colour.
func (i Ink) In(colour, text string) string {
	if !bool(i) || text == "" || colour == "" {
		return text
	}
	return colour + text + Reset
}

// Say is a paragraph in a colour.
func (i Ink) Say(colour, text string) string {
	var b strings.Builder
	for _, l := range Folded(text, "", Width) {
		b.WriteString(i.In(colour, l) + "\n")
	}
	return b.String()
}

// Verdict is the sentence that an answer ends with: green where all is well, red where it is not.
func (i Ink) Verdict(well bool, text string) string {
	if well {
		return i.Say(Green, text)
	}
	return i.Say(Red, text)
}
