package replace

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestReplaceFile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "mill.svg")
	for _, text := range []string{"one", "two"} {
		if err := File(t.Context(), path, []byte(text)); err != nil {
			t.Fatal(err)
		}
		if got := textOf(t, path); got != text {
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
	if err := File(t.Context(), link, []byte("two")); err != nil {
		t.Fatal(err)
	}
	if got := textOf(t, real); got != "two" {
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
	plain := filepath.Join(dir, "plain")
	if err := os.WriteFile(plain, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	for path, why := range map[string]string{
		dir:                                    "it is a folder",
		filepath.Join(dir, "nowhere", "a.svg"): "there is no folder " + filepath.Join(dir, "nowhere"),
		filepath.Join(plain, "a.svg"):          plain + " is a file, no folder",
		filepath.Join(dir, strings.Repeat("a", 300)+".svg"): "file name too long",
	} {
		if err := File(t.Context(), path, []byte("x")); err == nil || err.Error() != path+" cannot be written: "+why {
			t.Errorf("%v, want %s", err, why)
		}
	}
	if err := File(t.Context(), os.DevNull, []byte("x")); err != nil {
		t.Errorf("the null device: %v", err)
	}
}

// The new file beside it has a longer name; the longest names have room even so.
func TestReplaceFileOfLongName(t *testing.T) {
	for _, n := range []int{240, 251} {
		path := filepath.Join(t.TempDir(), strings.Repeat("a", n)+".svg")
		if err := File(t.Context(), path, []byte("one")); err != nil || textOf(t, path) != "one" {
			t.Errorf("%d letters: %v", n, err)
		}
	}
}

func textOf(t *testing.T, path string) string {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// fileOf makes a file of a mode, whatever the umask is.
func fileOf(t *testing.T, path, text string, mode os.FileMode) {
	t.Helper()
	if err := errors.Join(os.WriteFile(path, []byte(text), 0o600), os.Chmod(path, mode)); err != nil {
		t.Fatal(err)
	}
}
