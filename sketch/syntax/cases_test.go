package syntax

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "write what is got into the case files as what is wanted")

// divider parts what a case file puts in from what it expects.
const divider = "-- expected --\n"

// runCases runs each testdata/dir/*.txt: a sketch, the divider, and what work makes of the sketch.
func runCases(t *testing.T, dir string, least int, work func(t *testing.T, path, text string) string) {
	files, err := filepath.Glob(filepath.Join("testdata", dir, "*.txt"))
	if err != nil {
		t.Fatal(err)
	}
	if len(files) < least {
		t.Fatalf("%d cases in testdata/%s, there should be %d or more", len(files), dir, least)
	}
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".txt")
		t.Run(name, func(t *testing.T) {
			all, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			text, want, found := strings.Cut(string(all), divider)
			got := work(t, name+".motion", text)
			if *update {
				if err := os.WriteFile(file, []byte(text+divider+got), 0o666); err != nil {
					t.Fatal(err)
				}
				return
			}
			if !found {
				t.Fatalf("%s has no line %q; what was got:\n%s", file, divider, got)
			}
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("%s (- want, + got):\n%s", file, diff)
			}
		})
	}
}

func printed(t *testing.T, messages []Message) string {
	var b strings.Builder
	if err := Print(&b, messages); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// TestBad: every mistake has its message, with the place, the caret and what to write instead.
func TestBad(t *testing.T) {
	runCases(t, "bad", 60, func(t *testing.T, path, text string) string {
		_, messages := Parse(path, text)
		for _, m := range messages {
			if m.Help == "" {
				t.Errorf("nothing says what to write instead: %s", m.Text)
			}
		}
		if len(messages) == 0 {
			t.Error("no message for a sketch with a mistake")
		}
		if tidied, again := Tidy(path, text); tidied != text || len(again) != len(messages) {
			t.Error("tidy changes a sketch with a mistake")
		}
		return printed(t, messages)
	})
}

// TestGood: every form of every statement is read as it is meant.
func TestGood(t *testing.T) {
	runCases(t, "good", 20, func(t *testing.T, path, text string) string {
		f, messages := Parse(path, text)
		if len(messages) > 0 {
			t.Errorf("messages for a sketch without mistakes:\n%s", printed(t, messages))
		}
		checkSpans(t, f)
		return dumped(f)
	})
}

// TestTidy: the standard layout, which is its own standard layout and means the same.
func TestTidy(t *testing.T) {
	runCases(t, "tidy", 20, func(t *testing.T, path, text string) string {
		got, messages := Tidy(path, text)
		if len(messages) > 0 {
			t.Errorf("messages for a sketch without mistakes:\n%s", printed(t, messages))
		}
		checkTidied(t, text, got)
		return got
	})
}

// TestTidyLeavesGoodSketchesTheirMeaning runs the sketches of the other cases through Tidy.
func TestTidyLeavesGoodSketchesTheirMeaning(t *testing.T) {
	files, _ := filepath.Glob(filepath.Join("testdata", "good", "*.txt"))
	for _, file := range files {
		all, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		text, _, _ := strings.Cut(string(all), divider)
		got, _ := Tidy(file, text)
		checkTidied(t, text, got)
	}
}
