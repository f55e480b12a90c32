package follow

import (
	"barover/sketch"
	"barover/sketch/source"
	"barover/sketch/syntax"
)

// Followed is a sketch that is read again whenever one of its files has another text. It holds what was last read. Work
// on that does not change it, so that meanwhile Changed can tell whether the text is still the same.
type Followed struct {
	Path   string
	Values sketch.Options

	from     *source.Disk
	Texts    map[string]reading // of each file; nil before the first time
	Sketch   *sketch.Sketch
	Messages []syntax.Message
}

// Read reads the sketch.
func (f *Followed) Read() {
	f.Texts = map[string]reading{}
	f.from = source.OnDisk(f.Path, f.Values.Anywhere)
	f.Sketch, f.Messages = sketch.Read(&recorder{f.from, f.Texts}, f.Path, f.Values)
}

// reading is the result of reading a file.
type reading struct {
	text string
	err  bool
}

// recorder reads a sketch and keeps the text of each file.
type recorder struct {
	*source.Disk
	texts map[string]reading
}

func (r *recorder) ReadFile(path string) ([]byte, error) {
	b, err := r.Disk.ReadFile(path)
	r.texts[path] = reading{string(b), err != nil}
	return b, err
}

// Files are the files that the sketch consisted of when it was last read.
func (f *Followed) Files() []string {
	files := []string{f.Path}
	for name := range f.Texts {
		if name != f.Path {
			files = append(files, name)
		}
	}
	return files
}

// Stale reports whether the sketch must be read again.
func (f *Followed) Stale() bool { return f.Texts == nil || f.Changed() }

// Changed reports whether a file's text differs from the one that was last read.
func (f *Followed) Changed() bool {
	for name, was := range f.Texts {
		if b, err := f.from.ReadFile(name); string(b) != was.text || (err != nil) != was.err {
			return true
		}
	}
	return false
}
