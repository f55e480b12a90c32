// Package source reads the text of a sketch and of the files that it uses, and says why one cannot be read. A sketch may
// come from anybody; this package decides what it may read.
//
// It knows nothing of what the text says. Change what a stranger's sketch may read only with care.
package source

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"barover/sketch/syntax"
)

// Reader is where the text of a sketch and of the files that it uses comes from.
type Reader interface {
	ReadFile(path string) ([]byte, error)
	Key(path string) string // the same for all names of one file
}

// Memory is a source that has its texts in memory. A file has one name there.
type Memory func(path string) ([]byte, error)

// ReadFile gives the text of a file.
func (m Memory) ReadFile(path string) ([]byte, error) { return m(path) }

// Key is the path without detours.
func (m Memory) Key(path string) string { return filepath.Clean(path) }

// Disk reads a sketch and the files that it uses from disk. A sketch may come from anybody, and messages and drawings
// show what it uses. So it may use only files at or below its own folder, or below the top of the version control that
// its folder is in. Links are followed before that is judged.
type Disk struct {
	sketch     string
	anywhere   bool
	top        string // set when the first other file is read; most sketches are one file
	controlled bool
	seen       []fs.FileInfo
}

// OnDisk is the source of one sketch. Anywhere lifts the bound.
func OnDisk(sketch string, anywhere bool) *Disk {
	return &Disk{sketch: filepath.Clean(sketch), anywhere: anywhere}
}

// ReadFile reads the sketch, or a file that it may use.
func (d *Disk) ReadFile(path string) ([]byte, error) {
	if !d.anywhere && filepath.Clean(path) != d.sketch {
		if err := d.within(path); err != nil {
			return nil, err
		}
	}
	return ReadFile(path)
}

// within returns nil if the sketch may use a file, else an error that says why not.
func (d *Disk) within(path string) error {
	if d.top == "" {
		d.top, d.controlled = topOf(realPath(filepath.Dir(d.sketch)))
	}
	if isBelow(d.top, realPath(path)) {
		return nil
	}
	what := "the folder of the sketch"
	if d.controlled {
		what = "the version control that the sketch is in"
	}
	return unreadable{errOutside, fmt.Sprintf("it lies outside of %s, %s", d.top, what), "put it there, or say --anywhere if you trust the sketch"}
}

var errOutside = errors.New("outside of what the sketch may read")

// Key numbers files in the order in which they are asked for, so that links of either kind lead to one number.
func (d *Disk) Key(path string) string {
	info, err := os.Stat(path)
	if err != nil {
		return realPath(path)
	}
	for i, s := range d.seen {
		if os.SameFile(s, info) {
			return fmt.Sprint(i)
		}
	}
	d.seen = append(d.seen, info)
	return fmt.Sprint(len(d.seen) - 1)
}

// controls are the folders or files that version controls keep at their top.
var controls = []string{".git", ".hg", ".svn", ".jj", ".bzr", "_darcs", ".fslckout", "_FOSSIL_"}

// topOf is the top of the version control that a folder is in, or the folder itself.
func topOf(folder string) (top string, controlled bool) {
	for at := folder; ; at = filepath.Dir(at) {
		for _, c := range controls {
			if _, err := os.Lstat(filepath.Join(at, c)); err == nil {
				return at, true
			}
		}
		if at == filepath.Dir(at) {
			return folder, false
		}
	}
}

// realPath is where a path leads through links, as far as it exists.
func realPath(path string) string {
	path, err := filepath.Abs(path)
	if err != nil {
		return path
	}
	for at, rest := path, ""; ; {
		if real, err := filepath.EvalSymlinks(at); err == nil {
			return filepath.Join(real, rest)
		}
		if at == filepath.Dir(at) {
			return path
		}
		at, rest = filepath.Dir(at), filepath.Join(filepath.Base(at), rest)
	}
}

// isBelow reports whether a path without links is a folder or lies in it.
func isBelow(folder, path string) bool {
	way, err := filepath.Rel(folder, path)
	return err == nil && way != ".." && !strings.HasPrefix(way, ".."+string(filepath.Separator))
}

// ReadFile reads a file for Read, as Load does: at most one byte more than a sketch may hold. It refuses what is no
// ordinary file before it opens it. It opens without waiting, in case the file has become a pipe since.
func ReadFile(path string) ([]byte, error) {
	info, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, unreadable{err, "there is no such file", nearFile(path)}
	}
	if err == nil {
		err = ordinary(path, info)
	}
	if err != nil {
		return nil, err
	}
	f, err := openAtOnce(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if info, err = f.Stat(); err == nil {
		err = ordinary(path, info)
	}
	if err != nil {
		return nil, err
	}
	return io.ReadAll(io.LimitReader(f, syntax.MostBytes+1))
}

// ordinary is why a path is not a file with text in it.
func ordinary(path string, info fs.FileInfo) error {
	switch mode := info.Mode(); {
	case mode.IsRegular():
		return nil
	case mode.IsDir():
		return unreadable{errNoFile, "this is a folder, no file", sketchesIn(path)}
	case mode&fs.ModeNamedPipe != 0:
		return unreadable{errNoFile, "this is a pipe, no file", "write what comes out of it to a file NAME.motion, and name that"}
	case mode&fs.ModeDevice != 0:
		return unreadable{errNoFile, "this is a device, no file", "name a sketch, a file NAME.motion"}
	}
	return errNoFile
}
