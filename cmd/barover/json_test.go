package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"

	"barover/render/report"

	"barover/sketch/quantity"

	"github.com/google/go-cmp/cmp"
)

// TestCheckJSON holds the object that `check --json` prints against the one in testdata/json, key by key in their order.
// Figures are compared to six decimals: what is beyond them may change with the way of the search.
func TestCheckJSON(t *testing.T) {
	for _, name := range []string{"engine", "broken"} {
		t.Run(name, func(t *testing.T) {
			t.Chdir("testdata/json")
			var out, errs bytes.Buffer
			status := run(context.Background(), []string{"check", "--json", name + ".motion"}, &console{out: &out, err: &errs})
			if status != report.FallsShort || errs.Len() > 0 {
				t.Fatalf("status %d\n%s", status, errs.String())
			}
			sameAsFile(t, name+".json", roundedFigures(out.String()))
		})
	}
}

var (
	figurePattern = regexp.MustCompile(`-?\d+\.\d+(e[+-]?\d+)?`)
	gapPattern    = regexp.MustCompile(`(?s)("kind": "gap".*?"at": \{)[^}]+\}`)
)

// roundedFigures rounds, and leaves out where two that pass each other all the time are said to pass: any place is right.
func roundedFigures(text string) string {
	text = gapPattern.ReplaceAllString(text, "$1}")
	return figurePattern.ReplaceAllStringFunc(text, func(s string) string {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			return s
		}
		return strconv.FormatFloat(quantity.HalfUp(v, 6)+0, 'f', -1, 64)
	})
}

// sameAsFile holds text against a file, or writes the file with -update.
func sameAsFile(t *testing.T, path, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if diff := cmp.Diff(contents(t, path), got); diff != "" {
		t.Errorf("%s (-want +got; -update writes it anew):\n%s", filepath.Base(path), diff)
	}
}
