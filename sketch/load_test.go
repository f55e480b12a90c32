package sketch

import (
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/rogpeppe/go-internal/txtar"

	"barover/sketch/source"
	"barover/sketch/syntax"
)

var update = flag.Bool("update", false, "write what the sketches in testdata come to into them")

// readerOf reads the files of an archive.
func readerOf(files map[string]string) source.Memory {
	return func(path string) ([]byte, error) {
		text, ok := files[filepath.ToSlash(path)]
		if !ok {
			return nil, fs.ErrNotExist
		}
		return []byte(text), nil
	}
}

// read reads a sketch that is one file.
func read(text string, o Options) (*Sketch, []syntax.Message) {
	return Read(readerOf(map[string]string{"main.motion": text}), "main.motion", o)
}

// good reads a sketch that must have no mistake.
func good(t *testing.T, text string, o Options) *Sketch {
	t.Helper()
	s, messages := read(text, o)
	if len(messages) > 0 {
		t.Fatalf("messages:\n%s", printed(messages))
	}
	return s
}

func printed(messages []syntax.Message) string {
	var b strings.Builder
	if err := syntax.Print(&b, messages); err != nil {
		return err.Error()
	}
	return b.String()
}

// options reads the lines of an options file: `as drawn`, `case NAME`, `set DIM=V`.
func options(text string) (o Options) {
	for _, line := range strings.Split(strings.TrimSpace(text), "\n") {
		word, rest, _ := strings.Cut(line, " ")
		switch word {
		case "as":
			o.AsDrawn = true
		case "case":
			o.Case = rest
		case "set":
			o.Set = append(o.Set, rest)
		}
	}
	return o
}

// TestMistakes reads each sketch of testdata/mistakes and compares what is said of it, places and carets included. An
// archive there holds main.motion, the files that it uses, options, and want: the messages.
func TestMistakes(t *testing.T) {
	paths, err := filepath.Glob("testdata/mistakes/*.txtar")
	if err != nil || len(paths) == 0 {
		t.Fatalf("no cases: %v", err)
	}
	total := 0
	for _, path := range paths {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".txtar"), func(t *testing.T) {
			archive, err := txtar.ParseFile(path)
			if err != nil {
				t.Fatal(err)
			}
			files := map[string]string{}
			for _, f := range archive.Files {
				files[f.Name] = string(f.Data)
			}
			s, messages := Read(readerOf(files), "main.motion", options(files["options"]))
			total += len(messages)
			if len(messages) == 0 {
				t.Error("no message")
			}
			if s.Problem != nil {
				t.Error("a sketch with messages has a problem")
			}
			for _, m := range messages {
				if m.Help == "" {
					t.Errorf("nothing says what to write instead: %s", m.Text)
				}
			}
			got := printed(messages)
			if *update {
				rewrite(t, archive, path, got)
				return
			}
			if d := cmp.Diff(files["want"], got); d != "" {
				t.Errorf("messages, -want +got (go test -run %s -update writes them):\n%s", t.Name(), d)
			}
		})
	}
	if total < 100 {
		t.Errorf("%d messages in all: some cases are gone", total)
	}
}

func rewrite(t *testing.T, archive *txtar.Archive, path, want string) {
	t.Helper()
	kept := archive.Files[:0]
	for _, f := range archive.Files {
		if f.Name != "want" {
			kept = append(kept, f)
		}
	}
	archive.Files = append(kept, txtar.File{Name: "want", Data: []byte(want)})
	if err := os.WriteFile(path, txtar.Format(archive), 0o644); err != nil {
		t.Fatal(err)
	}
}

// TestLoad reads from disk: a sketch that uses another, one that is not there, a folder.
func TestLoad(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	main := write("engine.motion", "use \"parts/rods.motion\"\npoint a at 0, 0\npoint b at rod, 0\n")
	write("parts/rods.motion", "use \"../common.motion\"\ndim rod = 2*half\n")
	write("common.motion", "dim half = 30\n")
	s, messages := Load(main, Options{})
	if len(messages) > 0 {
		t.Fatal(printed(messages))
	}
	if d, _, _ := s.Dim("rod"); d.Value != 60 {
		t.Errorf("rod = %v, want 60", d.Value)
	}
	var files []string
	for _, f := range s.Files {
		rel, err := filepath.Rel(dir, f.Path)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, filepath.ToSlash(rel))
	}
	if want := []string{"engine.motion", "parts/rods.motion", "common.motion"}; !cmp.Equal(want, files) {
		t.Errorf("files %v, want %v", files, want)
	}
	for name, want := range map[string]string{"gone.motion": "there is no such file", ".": "this is a folder"} {
		s, messages := Load(filepath.Join(dir, name), Options{})
		if len(messages) != 1 || !strings.Contains(messages[0].Text, want) || len(s.Files) != 1 {
			t.Errorf("%s: %v, want one message with %q and one file", name, messages, want)
		}
	}
}

// TestPlaces follows a statement number back to its place, through a used file.
func TestPlaces(t *testing.T) {
	files := map[string]string{
		"main.motion": "title \"a\"\nuse \"rods.motion\"\n\npoint a at 0, 0\n",
		"rods.motion": "# rods\ndim rod = 3\n",
	}
	s, messages := Read(readerOf(files), "main.motion", Options{})
	if len(messages) > 0 {
		t.Fatal(printed(messages))
	}
	var got []string
	for i := -1; i <= s.Statements(); i++ {
		file, line, column := s.Place(i)
		got = append(got, fmt.Sprintf("%s:%d:%d", file, line, column))
	}
	want := []string{"main.motion:1:1", "main.motion:1:1", "main.motion:2:1", "rods.motion:2:1", "main.motion:4:1", "main.motion:1:1"}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	if d, n, ok := s.Dim("rod"); !ok || n != 0 || s.Line(d.Stmt) != 2 {
		t.Errorf("rod: number %d, line %d", n, s.Line(d.Stmt))
	}
	if _, _, ok := s.Dim("rods"); ok {
		t.Error("there is a dimension rods")
	}
}
