package terminal

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

// In paints text where colour is wanted.
func (i Ink) In(colour, text string) string {
	if !bool(i) || text == "" {
		return text
	}
	return colour + text + Reset
}
