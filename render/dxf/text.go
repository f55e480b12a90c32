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

// signs are the codes of the format for the signs of drawings.
var signs = map[rune]string{'Ø': "%%c", '⌀': "%%c", '°': "%%d", '±': "%%p"}

// lettered puts the letters that a file of release 12 cannot hold the way that the format writes them: the signs of
// drawings by its own codes, others by their number. What would be read as such a code, but is meant as it stands, is
// written by codes too.
func lettered(s string) string {
	var b strings.Builder
	letters := []rune(s)
	for i, r := range letters {
		before, after := ' ', ' '
		if i > 0 {
			before = letters[i-1]
		}
		if i+1 < len(letters) {
			after = letters[i+1]
		}
		switch {
		case signs[r] != "":
			b.WriteString(signs[r])
		case r == '%' && (before == '%' || after == '%' || signs[after] != ""):
			b.WriteString("%%%")
		case r == '\\' && i+2 < len(letters) && (after == 'U' || after == 'M') && letters[i+2] == '+':
			b.WriteString(`\U+005C`)
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
