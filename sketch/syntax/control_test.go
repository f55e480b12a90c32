package syntax

import (
	"fmt"
	"strings"
	"testing"
)

// No control character passes, wherever it stands, and none hides the statement behind it: that is read as it looks.
func TestControls(t *testing.T) {
	var all []rune
	for c := rune(1); c < 0xa0; c++ {
		if c != '\t' && c != '\n' && (c < ' ' || c >= 0x7f) {
			all = append(all, c)
		}
	}
	for _, c := range append(all, '\u2028', '\u2029') {
		for _, frame := range []string{"# comment%c#\ndim a = 1\n", "title \"a%cb\"\ndim a = 1\n", "dim a = %c1\n", "%cdim a = 1\n", "dim a = 1%c"} {
			text := fmt.Sprintf(frame, c)
			_, messages := Parse("x", text)
			line, column := (&File{Text: text}).Place(int32(strings.IndexRune(text, c)))
			if len(messages) != 1 || !strings.HasPrefix(messages[0].Head(), fmt.Sprintf("x:%d:%d: ", line, column)) {
				t.Errorf("%q: want one message at %d:%d, got %v", text, line, column, messages)
			}
			for _, m := range messages {
				if i := strings.IndexFunc(m.String(), isControl); i >= 0 {
					t.Errorf("%q: the message has a control character at %d: %q", text, i, m.String())
				}
			}
		}
		f, _ := Parse("x", fmt.Sprintf("# comment%cdim a = 1\n", c))
		if read := len(f.Statements) > 0; read != (breaks[c] != "") {
			t.Errorf("%U: is the statement behind it read? %v", c, read)
		}
	}
}
