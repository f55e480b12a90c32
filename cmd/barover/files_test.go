package main

import (
	"errors"
	"os"
	"testing"
)

func contents(t *testing.T, path string) string {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// made makes a file of a mode, whatever the umask is.
func made(t *testing.T, path, text string, mode os.FileMode) {
	t.Helper()
	if err := errors.Join(os.WriteFile(path, []byte(text), 0o600), os.Chmod(path, mode)); err != nil {
		t.Fatal(err)
	}
}
