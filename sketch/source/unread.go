package source

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"barover/sketch/syntax"
)

// unreadable is why a file cannot be read, with what to write instead where that is known.
type unreadable struct {
	error
	why, help string
}

func (u unreadable) Unwrap() error { return u.error }

var errNoFile = errors.New("this is no file")

// Unread is the message for a file that cannot be read.
func Unread(path string, err error) syntax.Message {
	m := syntax.Message{File: &syntax.File{Path: path}, Text: fmt.Sprintf("%s cannot be read: %s", path, reason(err))}
	var u unreadable
	if errors.As(err, &u) {
		m.Help = u.help
	}
	if m.Help == "" && errors.Is(err, fs.ErrNotExist) {
		m.Help = "check its name and its folder"
	}
	return m
}

// reason is an error of the file system without the path, which the message names already.
func reason(err error) string {
	var p *fs.PathError
	var u unreadable
	switch {
	case errors.As(err, &u):
		return u.why
	case errors.Is(err, fs.ErrNotExist):
		return "there is no such file"
	case errors.As(err, &p):
		err = p.Err
	}
	return strings.ReplaceAll(err.Error(), "\n", " ")
}

// mostNear is how many sketches of a folder are compared, and mostNamed how many are named.
const (
	mostNear  = 1000
	mostNamed = 5
)

// sketchFiles are the names of the sketches in a folder, as far as it can be read.
func sketchFiles(folder string) (names []string) {
	f, err := os.Open(folder)
	if err != nil {
		return nil
	}
	defer f.Close()
	list, _ := f.Readdirnames(mostNear) // a folder that cannot be read gives no suggestion
	for _, n := range list {
		if filepath.Ext(n) == ".motion" {
			names = append(names, n)
		}
	}
	slices.Sort(names)
	return names
}

// nearFile suggests the sketch that was meant by a path at which there is none.
func nearFile(path string) string {
	folder, name := filepath.Split(path)
	if info, err := os.Stat(filepath.Join(folder, ".")); err != nil || !info.IsDir() {
		return fmt.Sprintf("there is no folder %s either", filepath.Clean(folder))
	}
	if name == "" {
		return ""
	}
	var stems []string
	for _, n := range sketchFiles(filepath.Join(folder, ".")) {
		stems = append(stems, strings.TrimSuffix(n, ".motion"))
	}
	stem := strings.TrimSuffix(name, ".motion")
	if near := syntax.Nearest(stem, stems); near != "" && !slices.Contains(stems, stem) {
		stem = near
	} else if !slices.Contains(stems, stem) {
		return ""
	}
	return fmt.Sprintf("did you mean %s.motion?", folder+stem)
}

// sketchesIn suggests the sketches of a folder that was given in place of a sketch.
func sketchesIn(folder string) string {
	names := sketchFiles(folder)
	if len(names) == 0 {
		return "name a sketch, a file NAME.motion"
	}
	more := ""
	if n := len(names) - mostNamed; n > 0 {
		names, more = names[:mostNamed], fmt.Sprintf(" or %d more", n)
	}
	for i, n := range names {
		names[i] = filepath.Join(folder, n)
	}
	return "name a sketch in it: " + strings.Join(names, ", ") + more
}
