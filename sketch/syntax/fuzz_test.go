package syntax

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// seed gives a fuzzer the sketches of all case files.
func seed(f *testing.F) {
	files, err := filepath.Glob(filepath.Join("testdata", "*", "*.txt"))
	if err != nil {
		f.Fatal(err)
	}
	for _, file := range files {
		all, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		text, _, _ := strings.Cut(string(all), divider)
		f.Add(text)
	}
}

// FuzzParse: whatever a file holds, reading it ends, the messages have places in it, sorted, and can be printed, and
// what was read stands where it says.
func FuzzParse(f *testing.F) {
	seed(f)
	f.Fuzz(func(t *testing.T, text string) {
		file, messages := Parse("x.motion", text)
		if len(messages) > MostMessages+1 {
			t.Errorf("%d messages", len(messages))
		}
		last := int32(0)
		for _, m := range messages {
			if m.Span.Start < last || m.Span.End < m.Span.Start || int(m.Span.End) > len(text) || m.File != file || m.Text == "" {
				t.Errorf("a message at %v after one at %d: %q", m.Span, last, m.Text)
			}
			last = m.Span.Start
			checkShown(t, m.String())
		}
		checkSpans(t, file)
	})
}

// checkShown makes sure that a message is printed in lines that a terminal can show, the caret under the line above.
func checkShown(t *testing.T, shown string) {
	lines := strings.Split(shown, "\n")
	if lines[len(lines)-1] != "" || !strings.HasPrefix(lines[0], "x.motion:") {
		t.Errorf("a message is printed as %q", shown)
	}
	for i, line := range lines {
		if strings.TrimLeft(line, " \t") == "^" && len([]rune(line)) > len([]rune(lines[i-1]))+1 {
			t.Errorf("the caret stands beyond the line: %q", shown)
		}
		if strings.ContainsAny(line, "\x1b\r\x00") {
			t.Errorf("a message holds signs that move the terminal: %q", shown)
		}
	}
}

// FuzzTidy: a sketch without mistakes keeps its meaning and its comments, and is then tidy; any other stays as it is.
func FuzzTidy(f *testing.F) {
	seed(f)
	f.Fuzz(func(t *testing.T, text string) {
		got, messages := Tidy("x.motion", text)
		if len(messages) == 0 {
			checkTidied(t, text, got)
		} else if got != text {
			t.Error("tidy changes a sketch with a mistake")
		}
	})
}
