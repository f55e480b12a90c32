package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"testing"

	"barover/render/report"
	"barover/solver"
)

// Work that is interrupted says so in a word, leaves no drawing, and counts as not done. A watch that is stopped has done
// its work.
func TestInterrupted(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	dir := t.TempDir()
	path := filepath.Join(dir, "tansy.motion")
	if err := os.WriteFile(path, []byte(contents(t, exampleFolder+"/tansy.motion")), 0o644); err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		verb, says string
		status     int
	}{
		{"draw", "barover: stopped\n", unusable},
		{"check", "barover: stopped\n", unusable},
		{"table", "barover: stopped\n", unusable},
		{"watch", "", report.AllHolds},
	}
	for _, tt := range tests {
		var out, errs bytes.Buffer
		status := run(ctx, []string{tt.verb, path}, &console{out: &out, err: &errs})
		if status != tt.status || errs.String() != tt.says {
			t.Errorf("%s: status %d, want %d; it says %q, want %q", tt.verb, status, tt.status, errs.String(), tt.says)
		}
	}
	if list, err := os.ReadDir(dir); err != nil || len(list) != 1 {
		t.Errorf("the folder holds %v (%v), want the sketch alone", list, err)
	}
}

// A mistake of barover's own ends the command as an unusable sketch does, and says whose it is.
func TestOwnMistake(t *testing.T) {
	var out, errs bytes.Buffer
	c := &console{out: &out, err: &errs}
	status := carryOut(c, func(*console) error { panic("no such wheel") })
	if want := "barover: this is a mistake in barover itself, not in the sketch: no such wheel\n"; status != unusable || !bytes.HasPrefix(errs.Bytes(), []byte(want)) {
		t.Errorf("status %d, says %q", status, errs.String())
	}
}

// So does one that one of several workers makes, with the place that it came from.
func TestOwnMistakeOfAWorker(t *testing.T) {
	var out, errs bytes.Buffer
	status := carryOut(&console{out: &out, err: &errs}, func(*console) error {
		var crew solver.Crew
		crew.Go(loseTheWheel)
		crew.Wait()
		return nil
	})
	if want := "barover: this is a mistake in barover itself, not in the sketch: no such wheel\n"; status != unusable || !bytes.HasPrefix(errs.Bytes(), []byte(want)) {
		t.Errorf("status %d, says %q", status, errs.String())
	}
	if !bytes.Contains(errs.Bytes(), []byte("loseTheWheel")) {
		t.Errorf("it does not say where: %s", errs.String())
	}
}

func loseTheWheel() { panic("no such wheel") }

// Every verb has help that says what it does, and flags that say what they take.
func TestHelpIsWhole(t *testing.T) {
	root := newRoot(&console{out: &bytes.Buffer{}, err: &bytes.Buffer{}})
	for _, cmd := range root.Commands() {
		if cmd.Short == "" || cmd.Long == "" {
			t.Errorf("%s has no help", cmd.Name())
		}
		if cmd.ValidArgsFunction == nil {
			t.Errorf("%s completes no sketches", cmd.Name())
		}
	}
}
