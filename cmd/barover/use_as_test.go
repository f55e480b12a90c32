package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

var nameOrNote = regexp.MustCompile(`"[^"]*"|[\pL][\pL\d_]*`)

// sideByHand is a file as an author must write it out who has it twice: with a prefix before every name.
func sideByHand(text, prefix, crank, out, side string) string {
	names := map[string]bool{"throw": true, "rod": true, "out": true, "shaft": true, "pin": true, "cross": true, "bore": true, "web": true, "conrod": true, "bars": true, "piston": true}
	var lines []string
	for line := range strings.Lines(text) {
		switch word, _, _ := strings.Cut(line, " "); word {
		case "title", "units", "turn":
			continue
		}
		line = strings.Replace(line, "= crank", "= "+crank, 1)
		line = strings.Replace(line, "= 23", "= "+out, 1)
		line = strings.Replace(line, "centred out", "centred "+side+"out", 1)
		lines = append(lines, nameOrNote.ReplaceAllStringFunc(line, func(w string) string {
			if names[w] {
				return prefix + w
			}
			return w
		}))
	}
	return strings.Join(lines, "")
}

// TestUseAsAnswers: two cylinders from one file answer to the last digit as the same two written out by hand, proved alike.
func TestUseAsAnswers(t *testing.T) {
	one, two := contents(t, filepath.Join(machineFolder, "cylinder.motion")), contents(t, filepath.Join(machineFolder, "two-cylinders.motion"))
	var hand strings.Builder
	for line := range strings.Lines(two) {
		switch {
		case strings.Contains(line, "as front"):
			hand.WriteString(sideByHand(one, "front_", "crank", "23", ""))
		case strings.Contains(line, "as rear"):
			hand.WriteString(sideByHand(one, "rear_", "crank + 90", "25", "-"))
		default:
			hand.WriteString(strings.NewReplacer("front.", "front_", "rear.", "rear_").Replace(line))
		}
	}
	path := filepath.Join(t.TempDir(), "by-hand.motion")
	if err := os.WriteFile(path, []byte(hand.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	answers := func(path string) (a map[string]any) {
		out, _ := barover(t, "check", path, "--json")
		out = strings.NewReplacer("front.frame.", "frame.front_", "rear.frame.", "frame.rear_", "front.", "front_", "rear.", "rear_").Replace(out)
		if err := json.Unmarshal([]byte(out), &a); err != nil {
			t.Fatalf("%v: %s", err, out)
		}
		delete(a, "sketch")
		for _, c := range a["checks"].([]any) { // where it stands, and what a line of its file is called by, differ
			for _, key := range []string{"file", "line", "named"} {
				delete(c.(map[string]any), key)
			}
		}
		return a
	}
	want, got := answers(path), answers(filepath.Join(machineFolder, "two-cylinders.motion"))
	if len(want["checks"].([]any)) < 4 || len(want["measures"].([]any)) < 2 {
		t.Fatalf("too little is asked: %v", want)
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("- by hand, + from one file:\n%s", d)
	}
}
