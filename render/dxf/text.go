package dxf

import (
	"fmt"
	"strings"
)

// longestName is how long the name of a layer may be in release 12.
const longestName = 31

// Name makes a name that a layer may have: capitals, digits, "-" and "_", at most 31.
func Name(s string) string {
	name := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z':
			return r - 'a' + 'A'
		case r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r == '-', r == '_':
			return r
		}
		return '_'
	}, s)
	if len(name) > longestName {
		name = name[:longestName]
	}
	if name == "" {
		return "_"
	}
	return name
}

// plain keeps a value on the one line that it has.
func plain(s string) string {
	return strings.Map(func(r rune) rune {
		if r < 0x20 || r == 0x7f {
			return ' '
		}
		return r
	}, s)
}

// lettered puts the letters that a file of release 12 cannot hold the way that the format writes them: the signs of
// drawings by its own codes, others by their number.
func lettered(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch {
		case r == 'Ø' || r == '⌀':
			b.WriteString("%%c")
		case r == '°':
			b.WriteString("%%d")
		case r == '±':
			b.WriteString("%%p")
		case r == '×':
			b.WriteByte('x')
		case r == '–' || r == '—' || r == '−':
			b.WriteByte('-')
		case r < 0x80:
			b.WriteRune(r)
		case r < 0x10000:
			fmt.Fprintf(&b, `\U+%04X`, r)
		default:
			b.WriteByte('?')
		}
	}
	return b.String()
}
