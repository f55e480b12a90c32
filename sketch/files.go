package sketch

import (
	"fmt"
	"path/filepath"
	"strings"

	"barover/sketch/source"
	"barover/sketch/syntax"
)

// Limits of what one sketch may be made of.
const (
	mostFiles      = 200
	mostNested     = 20 // files using one another in a row
	mostStatements = 200_000
)

// opened is a file of the sketch while those that it uses are taken in.
type opened struct {
	file *syntax.File
	key  string // the same for two ways to name one file
	next int    // the statement to continue with
}

// scopedFile is a file as an instance takes it in; instance is nil for the sketch itself.
type scopedFile struct {
	in  *instance
	key string
}

// files reads the sketch and all files that it uses. The statements of a file take the place of its `use` line. A file
// that is used under a name of its own may be taken in any number of times.
func (l *loader) files(from source.Reader, path string) {
	taken := map[scopedFile]place{}
	stack := []opened{l.open(from, path, place{})}
	taken[scopedFile{nil, stack[0].key}] = place{stack[0].file, syntax.Span{}}
	for len(stack) > 0 {
		top := &stack[len(stack)-1]
		if top.next >= len(top.file.Statements) {
			stack = stack[:len(stack)-1]
			continue
		}
		s := top.file.Statements[top.next]
		top.next++
		if len(l.sketch.statements) >= mostStatements {
			l.tell(place{top.file, s.Where()}, fmt.Sprintf("more than %d statements: the rest of the sketch is not read", mostStatements), "leave some of them out")
			return
		}
		l.sketch.statements = append(l.sketch.statements, statement{top.file, s})
		u, ok := s.(*syntax.Use)
		if !ok {
			continue
		}
		at := place{top.file, u.File.Span}
		used := source.Beside(top.file.Path, u.File.Text)
		key := from.Key(used)
		in := l.instanceOf[top.file]
		if u.As != nil {
			in = l.newInstance(top.file, len(l.sketch.statements)-1, u)
		}
		first, again := taken[scopedFile{in, key}]
		switch chain := useChain(stack, key, filepath.Base(used)); {
		case u.File.Text == "":
			l.tell(at, "the name of the file is empty", `write use "OTHER.motion"`)
			l.allLost = true
		case chain != "":
			l.tell(at, "these files use one another in a circle: "+chain, "take one of these use lines out")
		case u.As != nil && l.instanceNamed(in.prefix) != nil:
			l.tell(at, strings.TrimSuffix(in.prefix, ".")+" is a file taken in already", "choose another name, or take one of the two out",
				l.at(l.instanceNamed(in.prefix).stmt, l.instanceNamed(in.prefix).use.Span).note("it is taken in here first"))
		case again:
			l.tell(at, "this file is taken in already", fmt.Sprintf(`for a second one write use "%s" as NAME`, u.File.Text), first.note("it is taken in here"))
		case len(l.sketch.Files) >= mostFiles:
			l.tell(at, fmt.Sprintf("more than %d files make up this sketch", mostFiles), "put several into one file")
			l.allLost = true
		case len(stack) >= mostNested:
			l.tell(at, fmt.Sprintf("more than %d files use one another in a row", mostNested), "put several into one file")
			l.allLost = true
		default:
			taken[scopedFile{in, key}] = at
			o := l.open(from, used, at)
			if in != nil {
				l.instanceOf[o.file] = in
			}
			if u.As != nil {
				l.instances = append(l.instances, in)
			}
			stack = append(stack, o)
		}
	}
}

// useChain shows the circle of files that the file of that key closes; "" where it closes none. Name is what the file is
// called where it is used.
func useChain(stack []opened, key, name string) string {
	for i := range stack {
		if stack[i].key != key {
			continue
		}
		var names []string
		for _, o := range stack[i:] {
			names = append(names, filepath.Base(o.file.Path))
		}
		if name != names[0] {
			name += ", which is " + names[0] + " by another name"
		}
		return strings.Join(append(names, name), " → ")
	}
	return ""
}

// open reads and parses one file. At is the `use` line that asked for it.
func (l *loader) open(from source.Reader, path string, at place) opened {
	text, err := from.ReadFile(path)
	if err != nil {
		m := source.Unread(path, err)
		file := m.File
		l.sketch.Files = append(l.sketch.Files, file)
		if at.file == nil {
			at = place{file: file}
		} else { // a use line names a file as seen from its own
			m.Help = strings.ReplaceAll(m.Help, filepath.Dir(at.file.Path)+string(filepath.Separator), "")
		}
		l.tell(at, m.Text, m.Help)
		l.allLost = true
		return opened{file: file, key: from.Key(path)}
	}
	file, messages := syntax.Parse(path, string(text))
	l.sketch.Files = append(l.sketch.Files, file)
	if at.file != nil && isNoSketch(file, messages) {
		l.tell(at, fmt.Sprintf("%s is no sketch", path), "name a sketch, a file NAME.motion")
		l.allLost = true
		return opened{file: &syntax.File{Path: path}, key: from.Key(path)}
	}
	l.messages = append(l.messages, messages...)
	l.gaps += file.Gaps
	for _, n := range file.Lost {
		l.lost[n.Text] = true
	}
	return opened{file: file, key: from.Key(path)}
}

// isNoSketch reports whether a used file is not a sketch, by its name and its contents. No message then shows its
// contents, since a sketch from somebody else may name any file.
func isNoSketch(f *syntax.File, messages []syntax.Message) bool {
	return filepath.Ext(f.Path) != ".motion" && len(messages) > 0 && f.Gaps >= len(f.Statements)
}
