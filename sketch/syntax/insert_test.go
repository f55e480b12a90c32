package syntax

import (
	"strings"
	"testing"
)

func TestAfterCases(t *testing.T) {
	add := []string{"case way_1 : a = 2", "case way_2 : a = 3"}
	for _, c := range []struct{ name, text, want string }{
		{"behind the last case", "# x\ndim a = 1\ncase b : a = 2,\n   a2 = 3 # why\n\n# more\npoint p at 0, 0\ndim a2 = 1\n",
			"# x\ndim a = 1\ncase b : a = 2,\n   a2 = 3 # why\ncase way_1 : a = 2\ncase way_2 : a = 3\n\n# more\npoint p at 0, 0\ndim a2 = 1\n"},
		{"behind the last dimension", "dim a = 1 # one\nmade a = 2 \"two\"  # three\npoint p at 0, 0\n",
			"dim a = 1 # one\nmade a = 2 \"two\"  # three\ncase way_1 : a = 2\ncase way_2 : a = 3\npoint p at 0, 0\n"},
		{"at the end", "point p at 0, 0", "point p at 0, 0\ncase way_1 : a = 2\ncase way_2 : a = 3\n"},
		{"at the end of the last line", "dim a = 1", "dim a = 1\ncase way_1 : a = 2\ncase way_2 : a = 3\n"},
		{"with the line ends that are there", "dim a = 1\r\npoint p at 0, 0\r\n", "dim a = 1\r\ncase way_1 : a = 2\r\ncase way_2 : a = 3\r\npoint p at 0, 0\r\n"},
		{"of nothing", "", "case way_1 : a = 2\ncase way_2 : a = 3\n"},
	} {
		got, messages := AfterCases("x.motion", c.text, add)
		if got != c.want || len(messages) > 0 {
			t.Errorf("%s:\n%s\nwant\n%s", c.name, got, c.want)
		}
	}
	for _, bad := range []string{"dim a =\n", "dim a = 1\n"} {
		lines := add
		if !strings.HasSuffix(bad, "=\n") {
			lines = []string{"case : a"}
		}
		if got, messages := AfterCases("x.motion", bad, lines); got != bad || len(messages) == 0 {
			t.Errorf("%q became %q, with %d messages", bad, got, len(messages))
		}
	}
}
