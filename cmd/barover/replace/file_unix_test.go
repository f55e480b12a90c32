//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package replace

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// What others may do with a file stays as it was: the umask is for new files.
func TestReplaceFileKeepsRights(t *testing.T) {
	defer syscall.Umask(syscall.Umask(0o022))
	path := filepath.Join(t.TempDir(), "mill.motion")
	for _, mode := range []os.FileMode{0o664, 0o666, 0o640, 0o700} {
		fileOf(t, path, "one", mode)
		if err := File(t.Context(), path, []byte("two")); err != nil {
			t.Fatal(err)
		}
		if info, err := os.Stat(path); err != nil || info.Mode().Perm() != mode || textOf(t, path) != "two" {
			t.Errorf("%v has become %v (%v)", mode, info.Mode(), err)
		}
	}
}

func TestReplaceFileRefusesReadOnly(t *testing.T) {
	path := filepath.Join(t.TempDir(), "mill.motion")
	fileOf(t, path, "one", 0o444)
	err := File(t.Context(), path, []byte("two"))
	if err == nil || err.Error() != path+" cannot be written: it is read-only" || textOf(t, path) != "one" {
		t.Errorf("%v; it holds %q", err, textOf(t, path))
	}
}

// A link to a file that is not there yet stays a link.
func TestReplaceFileBehindLink(t *testing.T) {
	dir := t.TempDir()
	link, real := filepath.Join(dir, "link.svg"), filepath.Join(dir, "sheets", "real.svg")
	if err := os.Symlink(filepath.Join("sheets", "real.svg"), link); err != nil {
		t.Fatal(err)
	}
	if err := File(t.Context(), link, []byte("one")); err == nil || !strings.Contains(err.Error(), "there is no folder ") {
		t.Errorf("the folder is not there: %v", err)
	}
	if err := os.Mkdir(filepath.Dir(real), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := File(t.Context(), link, []byte("one")); err != nil {
		t.Fatal(err)
	}
	if info, err := os.Lstat(link); err != nil || info.Mode()&os.ModeSymlink == 0 || textOf(t, real) != "one" {
		t.Errorf("the link has become %v (%v)", info.Mode(), err)
	}
	round := filepath.Join(dir, "round.svg")
	if err := os.Symlink("round.svg", round); err != nil {
		t.Fatal(err)
	}
	if err := File(t.Context(), round, []byte("one")); err == nil {
		t.Error("a link to itself was written")
	}
}

// A file with two names stays one file.
func TestReplaceFileOfTwoNames(t *testing.T) {
	dir := t.TempDir()
	a, b := filepath.Join(dir, "a.svg"), filepath.Join(dir, "b.svg")
	fileOf(t, a, "a long text", 0o644)
	if err := os.Link(a, b); err != nil {
		t.Fatal(err)
	}
	if err := File(t.Context(), a, []byte("short")); err != nil {
		t.Fatal(err)
	}
	if textOf(t, a) != "short" || textOf(t, b) != "short" {
		t.Errorf("%q and %q", textOf(t, a), textOf(t, b))
	}
	if list, err := os.ReadDir(dir); err != nil || len(list) != 2 {
		t.Errorf("the folder holds %v (%v)", list, err)
	}
}

// What a killed process has left is taken away by the next one; what somebody is writing is not.
func TestReplaceFileClearsLeftovers(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, strings.Repeat("mühle", 30)[:116]+".svg")
	left, other := filepath.Join(dir, besideStem(path)+"0123abcd.new"), filepath.Join(dir, ".notes.0123abcd.new")
	fileOf(t, left, "half", 0o644)
	fileOf(t, other, "mine", 0o644)
	busy, err := createBeside(path)
	if err != nil {
		t.Fatal(err)
	}
	defer busy.Close()
	if err := File(t.Context(), path, []byte("whole")); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(left); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("%s is still there: %v", left, err)
	}
	if !stillThere(busy) {
		t.Error("what is being written was taken away")
	}
	if textOf(t, other) != "mine" || textOf(t, path) != "whole" {
		t.Error("other files are not as they should be")
	}
}

// A pipe that nobody reads keeps nobody waiting, and one that is read takes what it is given.
func TestReplaceFilePipe(t *testing.T) {
	pipe := filepath.Join(t.TempDir(), "pipe.svg")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Skip(err)
	}
	if err := File(t.Context(), pipe, []byte("one")); err == nil || !strings.Contains(err.Error(), "nobody reads from this pipe") {
		t.Errorf("nobody reads: %v", err)
	}
	r, err := os.OpenFile(pipe, os.O_RDONLY|syscall.O_NONBLOCK, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	if err := File(t.Context(), pipe, []byte("two")); err != nil {
		t.Fatal(err)
	}
	if got, err := io.ReadAll(r); err != nil || string(got) != "two" {
		t.Errorf("%q, %v", got, err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 50*time.Millisecond)
	defer cancel()
	if err := File(ctx, pipe, bytes.Repeat([]byte("x"), 1<<20)); err == nil {
		t.Error("a pipe that is not emptied took a megabyte")
	}
}
