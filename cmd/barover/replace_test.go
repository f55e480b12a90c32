package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestReplaceFile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "mill.svg")
	for _, text := range []string{"one", "two"} {
		if err := replaceFile(path, []byte(text)); err != nil {
			t.Fatal(err)
		}
		if got := contents(t, path); got != text {
			t.Errorf("got %q, want %q", got, text)
		}
	}
	list, err := os.ReadDir(dir)
	if err != nil || len(list) != 1 {
		t.Errorf("the folder holds %v (%v), want the file alone", list, err)
	}
}

// What a file may be read by, and that it is a link, is not for a new drawing to change.
func TestReplaceFileKeepsModeAndLink(t *testing.T) {
	dir := t.TempDir()
	real, link := filepath.Join(dir, "real.svg"), filepath.Join(dir, "link.svg")
	if err := os.WriteFile(real, []byte("one"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("real.svg", link); err != nil {
		t.Fatal(err)
	}
	if err := replaceFile(link, []byte("two")); err != nil {
		t.Fatal(err)
	}
	if got := contents(t, real); got != "two" {
		t.Errorf("behind the link stands %q", got)
	}
	info, err := os.Lstat(link)
	if err != nil || info.Mode()&os.ModeSymlink == 0 {
		t.Errorf("the link has become %v (%v)", info.Mode(), err)
	}
	if info, err = os.Stat(real); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the mode has become %v (%v)", info.Mode(), err)
	}
}

func TestReplaceFileRefuses(t *testing.T) {
	dir := t.TempDir()
	if err := replaceFile(dir, []byte("x")); err == nil || !strings.Contains(err.Error(), "is a folder") {
		t.Errorf("a folder: %v", err)
	}
	if err := replaceFile(filepath.Join(dir, "nowhere", "a.svg"), []byte("x")); err == nil {
		t.Error("a folder that is not there was no error")
	}
	if err := replaceFile(os.DevNull, []byte("x")); err != nil {
		t.Errorf("the null device: %v", err)
	}
}

func contents(t *testing.T, path string) string {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}
