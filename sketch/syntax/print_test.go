package syntax

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

// TestReadable: files that are no UTF-8, too large or of odd lines, which a case file cannot hold well.
func TestReadable(t *testing.T) {
	many := strings.Repeat("dim a = 5\n", MostStatements+2)
	wrong := strings.Repeat("oops\n", MostMessages+50)
	tests := []struct {
		name, text string
		statements int
		heads      []string
	}{
		{"nothing", "", 0, nil},
		{"mark alone", "\ufeff", 0, nil},
		{"mark", "\ufeffdim a = 5\n", 1, nil},
		{"mark and mistake", "\ufeffdim a 5\n", 0, []string{"x:1:7: '=' is missing before the number 5"}},
		{"mark twice", "\ufeff\ufeffdim a = 5\n", 0, []string{"x:1:1: the invisible character U+FEFF has no meaning in a sketch"}},
		{"carriage returns", "dim a = 5\r\n  + 6\r\ndim b 7\r\n", 1, []string{"x:3:7: '=' is missing before the number 7"}},
		{"carriage return alone", "dim a = 5\rdim b = 6\n", 2, []string{"x:1:10: a carriage return (CR) stands here without a line feed (LF)"}},
		{"carriage return in a comment", "dim a = 5 # c\rd\n", 1, []string{"x:1:14: a carriage return (CR) stands here without a line feed (LF)"}},
		{"latin-1", "dim a = 30\xb0\n# Gr\xf6\xdfe\ndim b = 6\n", 1, []string{"x:1:11: the byte B0 is not UTF-8; in Latin-1 it is °"}},
		{"latin-1 in a text", "title \"Gr\xf6\xdfe\"\ndim b 6\n", 1, []string{"x:1:10: the byte F6 is not UTF-8; in Latin-1 it is ö", "x:2:7: '=' is missing before the number 6"}},
		{"zero byte", "dim a\x00 = 5\n", 0, []string{"x:1:6: this is no text: there are bytes 00 in it"}},
		{"utf-16", "\xff\xfed\x00i\x00m\x00", 0, []string{"x:1:1: the file is UTF-16, not UTF-8"}},
		{"utf-16 the other way", "\xfe\xff\x00d\x00i\x00m", 0, []string{"x:1:1: the file is UTF-16, not UTF-8"}},
		{"too large", strings.Repeat("#", MostBytes+1), 0, []string{"x:1:1: the file is larger than 4 MB: this is no sketch"}},
		{"large", strings.Repeat("#", MostBytes), 0, nil},
		{"statements", many, MostStatements, []string{"x:50000:10: more than 50000 statements: the rest of the sketch is not read"}},
		{"long statement", "profile a.b across 0 to 1\n" + strings.Repeat(" disc c dia 5\n", MostTokens), 0, []string{"x:1:1: the statement is too long"}},
		{"long sum", "dim a = 1" + strings.Repeat(" + 1", MostTerms), 0, []string{"x:1:4009: more than 1000 numbers and names are in one sum"}},
		{"sum just so long", "dim a = 1" + strings.Repeat(" + 1", MostTerms-1), 1, nil},
		{"just so deep", "dim a = " + strings.Repeat("(", MostDepth) + "1" + strings.Repeat(")", MostDepth), 1, nil},
		{"mistakes", wrong, 0, append(headsOf("oops is no statement", MostMessages), "x:100:5: 100 mistakes so far: the rest of the sketch is not read")},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			f, messages := Parse("x", test.text)
			var heads []string
			for _, m := range messages {
				heads = append(heads, m.Head())
			}
			if diff := cmp.Diff(test.heads, heads); diff != "" {
				t.Errorf("messages (- want, + got):\n%s", diff)
			}
			if len(f.Statements) != test.statements {
				t.Errorf("%d statements, want %d", len(f.Statements), test.statements)
			}
		})
	}
}

// headsOf is the same message for lines 1 to n.
func headsOf(text string, n int) []string {
	list := make([]string, n)
	for i := range list {
		list[i] = fmt.Sprintf("x:%d:1: %s", i+1, text)
	}
	return list
}

func TestPlace(t *testing.T) {
	plain := &File{Path: "x", Text: "abc\nde¼g\r\n\n\tz"}
	marked := &File{Path: "x", Text: "\ufeffab\nc"}
	tests := []struct {
		file         *File
		offset       int32
		line, column int
		text         string
		before       int
	}{
		{plain, 0, 1, 1, "abc", 0},
		{plain, 2, 1, 3, "abc", 2},
		{plain, 3, 1, 4, "abc", 3},
		{plain, 4, 2, 1, "de¼g", 0},
		{plain, 8, 2, 4, "de¼g", 4}, // ¼ is two bytes and one column
		{plain, 9, 2, 5, "de¼g", 5},
		{plain, 10, 2, 6, "de¼g", 5},
		{plain, 11, 3, 1, "", 0},
		{plain, 13, 4, 2, "\tz", 1},
		{plain, 14, 4, 3, "\tz", 2},
		{plain, 999, 4, 3, "\tz", 2},
		{plain, -5, 1, 1, "abc", 0},
		{marked, 0, 1, 1, "ab", 0},
		{marked, 3, 1, 1, "ab", 0},
		{marked, 4, 1, 2, "ab", 1},
		{marked, 6, 2, 1, "c", 0},
		{&File{}, 0, 1, 1, "", 0},
	}
	for _, test := range tests {
		line, column := test.file.Place(test.offset)
		text, before := test.file.Line(test.offset)
		if line != test.line || column != test.column || text != test.text || before != test.before {
			t.Errorf("offset %d of %q: %d:%d %q %d, want %d:%d %q %d", test.offset, test.file.Text,
				line, column, text, before, test.line, test.column, test.text, test.before)
		}
	}
}

func TestPrint(t *testing.T) {
	main := &File{Path: "mill.motion", Text: "point a\n\tpoint\ta at 0, 0\n\x1b[31mred \xff\n"}
	used := &File{Path: "frames.motion", Text: "dim a = 3\n"}
	tests := []struct {
		name    string
		message Message
		want    string
	}{
		{"another file", Message{File: main, Span: Span{15, 16}, Text: "a is given twice", Help: "one name,\none thing",
			Also: []Note{{used, Span{4, 5}, "it is given here too"}}},
			"mill.motion:2:8: a is given twice\n    \tpoint\ta at 0, 0\n    \t     \t^\n" +
				"frames.motion:1:5: it is given here too\n    dim a = 3\n        ^\n    one name,\n    one thing\n"},
		{"no file", Message{Text: "no sketch was given", Help: "name one"}, "no sketch was given\n    name one\n"},
		{"signs that would move the terminal", Message{File: main, Span: Span{34, 35}, Text: "what is this"},
			"mill.motion:3:10: what is this\n    \ufffd[31mred \ufffd\n             ^\n"},
		{"empty line", Message{File: &File{Path: "x", Text: "\n\n"}, Span: Span{1, 1}, Text: "nothing"}, "x:2:1: nothing\n"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if diff := cmp.Diff(test.want, printed(t, []Message{test.message})); diff != "" {
				t.Errorf("- want, + got:\n%s", diff)
			}
		})
	}
}

// TestHugeInput: no input may hold the program up. A second is many times what they take; the rest is for a processor that
// does much else.
func TestHugeInput(t *testing.T) {
	repeat := strings.Repeat
	tests := map[string]string{
		"brackets":           "dim a = " + repeat("(", 100_000) + "1" + repeat(")", 100_000),
		"open brackets":      "dim a = " + repeat("(", MostBytes-10),
		"minus signs":        "dim a = " + repeat("-", MostBytes-10),
		"powers":             "dim a = " + repeat("2^", MostBytes/2-10) + "2",
		"functions":          "dim a = " + repeat("sin(", MostBytes/4-10),
		"a long line":        repeat("x", 10<<20),
		"a long name":        "dim " + repeat("x", MostBytes-10),
		"a long number":      "dim a = " + repeat("9", MostBytes-10),
		"a long fraction":    "dim a = 1/" + repeat("9", MostBytes-20),
		"a long text":        "title \"" + repeat("x", MostBytes-10),
		"texts":              "title " + repeat("\" ", MostBytes/2-10),
		"quotes":             "dim a = " + repeat("“", MostBytes/3-10),
		"blanks":             "dim a = 5" + repeat(" ", MostBytes-10),
		"numbers and blanks": "dim a = " + repeat("5 ", MostBytes/2-10),
		"odd blanks":         "dim a = 5" + repeat("\u00a0", MostBytes/2-10),
		"empty lines":        "dim a =" + repeat("\n", MostBytes-10),
		"lines that go on":   "dim a = 1" + repeat("\n +1", MostBytes/4-10),
		"comments":           "dim a =" + repeat("\n #", MostBytes/3-10),
		"shapes at margin":   "profile a.b across 0 to 1\n" + repeat("disc c dia 5\n", MostBytes/13-10),
		"wrong shapes":       "profile a.b across 0 to 1\n" + repeat(" disc\n", 3000),
		"stray statements":   " dim a = 1\n" + repeat(" dim a = 1\n", MostBytes/11-10),
		"statements":         repeat("dim a = 1\n", MostBytes/10),
		"a million words":    repeat("a\n", 1_000_000),
		"points":             repeat("point a\n", MostBytes/8),
		"invalid bytes":      repeat("\xff", MostBytes),
		"marks":              repeat("\ufeff", MostBytes/3),
		"zero bytes":         repeat("\x00", MostBytes),
		"letters":            repeat("é", MostBytes/2),
		"wide to align":      repeat("dim "+repeat("x", 2000)+" = 1\n", MostBytes/2010),
		"one wide to align":  "dim " + repeat("x", MostBytes/2) + " = 1\n" + repeat("dim a = 1\n", 40_000),
		"notes":              "dim a = " + repeat("x", MostBytes/2) + " \"n\"\n" + repeat("dim a = 1 \"n\" # c\n", 40_000),
	}
	for name, text := range tests {
		t.Run(name, func(t *testing.T) {
			start := time.Now()
			tidied, messages := Tidy("x", text) // which reads it, and says what reading says
			shown := printed(t, messages)
			took := time.Since(start)
			if took > 30*time.Second {
				t.Errorf("took %v", took)
			}
			if len(tidied) > 4*len(text)+1000 || len(shown) > 200_000 {
				t.Errorf("%d bytes tidied to %d, %d of messages", len(text), len(tidied), len(shown))
			}
			t.Logf("%v, %d messages", took, len(messages))
		})
	}
}
