// Package start holds the starters: whole sketches of common machines, for somebody with an empty file. Each holds as it
// is. Its first line names one dimension, and the foul that another value of it makes, so that a beginner sees at once
// what an answer looks like.
//
// It knows only the first lines of the starters. To add a starter, add a file here, and nothing else.
package start

import (
	"embed"
	"fmt"
	"path"
	"strings"
)

//go:embed *.motion
var files embed.FS

// Starter is a sketch to begin from.
type Starter struct {
	Name    string // "mill-engine"
	Title   string
	Promise string // what its first line says
	Text    string
}

// All lists the starters by their names.
func All() ([]Starter, error) {
	entries, err := files.ReadDir(".")
	if err != nil {
		return nil, fmt.Errorf("the starters cannot be listed: %w", err)
	}
	var list []Starter
	for _, e := range entries {
		text, err := files.ReadFile(e.Name())
		if err != nil {
			return nil, fmt.Errorf("the starter %s cannot be read: %w", e.Name(), err)
		}
		list = append(list, newStarter(e.Name(), string(text)))
	}
	return list, nil
}

func newStarter(file, text string) Starter {
	s := Starter{Name: strings.TrimSuffix(path.Base(file), ".motion"), Text: text}
	for i, line := range strings.Split(text, "\n") {
		if i == 0 {
			s.Promise = strings.TrimPrefix(line, "# ")
		}
		if title, ok := strings.CutPrefix(line, `title "`); ok {
			s.Title = strings.TrimSuffix(title, `"`)
			break
		}
	}
	return s
}
