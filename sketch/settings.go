package sketch

import (
	"fmt"
	"strings"

	"barover/sketch/syntax"
)

// setting is one --set of the command line. Its file holds the word as it was written there.
type setting struct {
	file  *syntax.File
	name  syntax.Name
	value syntax.Expr
}

// settingWord, dimWord and planWord have the same length. A setting is read as a dim line and shown as it was written,
// with every column unchanged. A plan line may give a dimension of a file under a name, rear.bar_half.
const (
	settingWord = "--set "
	dimWord     = "dim   "
	planWord    = "plan  "
)

// settings reads the DIM=V of the command line.
func (l *loader) settings() {
	for _, word := range l.options.Set {
		file := &syntax.File{Path: "command line", Text: settingWord + word}
		l.commands = append(l.commands, file)
		whole := place{file, syntax.Span{Start: int32(len(settingWord)), End: int32(len(file.Text))}}
		if len(word) > 10_000 || strings.ContainsAny(word, "\n\r#") {
			l.tell(place{file: file}, "this sets no dimension", "write --set DIM=V")
			continue
		}
		as := dimWord
		if name, _, _ := strings.Cut(word, "="); strings.Contains(name, ".") {
			as = planWord
		}
		read, messages := syntax.Parse(file.Path, as+word)
		for _, m := range messages {
			for i := range m.Also {
				m.Also[i].File = file
			}
			m.File, m.Help = file, "write --set DIM=V, such as --set throw=22.5"
			l.messages = append(l.messages, m)
		}
		if len(messages) > 0 {
			continue
		}
		d, ok := oneDim(read)
		if !ok {
			l.tell(whole, "this sets no dimension", "write --set DIM=V")
			continue
		}
		if d.PlusMinus != nil || d.Lower != nil || d.Fit.Given || d.Note.Given {
			l.tell(whole, "--set takes a value alone, without tolerance or note", fmt.Sprintf("write --set %s=%s", d.Name.Text, syntax.TextOf(file, d.Value)))
			continue
		}
		l.set = append(l.set, setting{file, d.Name, d.Value})
	}
}

func oneDim(f *syntax.File) (*syntax.Dim, bool) {
	if len(f.Statements) != 1 {
		return nil, false
	}
	d, ok := f.Statements[0].(*syntax.Dim)
	return d, ok && d.Word != "made"
}
