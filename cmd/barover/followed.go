package main

import (
	"barover/sketch"
	"barover/sketch/syntax"
)

// followed is a sketch that is read again whenever one of its files has another text: what was last read of it. Work on that
// does not touch it, so that it can be seen meanwhile whether it still is so.
type followed struct {
	path   string
	values sketch.Options

	from     *sketch.Disk
	texts    map[string]reading // of each file; nil before the first time
	sketch   *sketch.Sketch
	messages []syntax.Message
}

// read reads the sketch.
func (f *followed) read() {
	f.texts = map[string]reading{}
	f.from = sketch.OnDisk(f.path, f.values.Anywhere)
	f.sketch, f.messages = sketch.Read(&recorder{f.from, f.texts}, f.path, f.values)
}

// reading is what reading a file gave.
type reading struct {
	text string
	err  bool
}

// recorder reads a sketch and keeps what it reads of each file.
type recorder struct {
	*sketch.Disk
	texts map[string]reading
}

func (r *recorder) ReadFile(path string) ([]byte, error) {
	b, err := r.Disk.ReadFile(path)
	r.texts[path] = reading{string(b), err != nil}
	return b, err
}

// files are those that the sketch was put together of when it was last read.
func (f *followed) files() []string {
	files := []string{f.path}
	for name := range f.texts {
		if name != f.path {
			files = append(files, name)
		}
	}
	return files
}

// stale reports whether the sketch must be read anew.
func (f *followed) stale() bool { return f.texts == nil || f.changed() }

// changed reports whether a file has another text than the one that was last read.
func (f *followed) changed() bool {
	for name, was := range f.texts {
		if b, err := f.from.ReadFile(name); string(b) != was.text || (err != nil) != was.err {
			return true
		}
	}
	return false
}
