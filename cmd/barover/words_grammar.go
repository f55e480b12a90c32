package main

import (
	"regexp"
	"slices"
	"strings"

	"barover/sketch/syntax"
)

// grammarFile is a TextMate grammar. Its patterns use only what every reader of such grammars shares with Go: nothing
// looks ahead or behind.
type grammarFile struct {
	Comment   string        `json:"comment"`
	Name      string        `json:"name"`
	ScopeName string        `json:"scopeName"`
	FileTypes []string      `json:"fileTypes"`
	Patterns  []grammarRule `json:"patterns"`
}

// grammarRule names what a pattern matches, or its groups.
type grammarRule struct {
	Name     string                  `json:"name,omitempty"`
	Match    string                  `json:"match"`
	Captures map[string]grammarScope `json:"captures,omitempty"`
}

type grammarScope struct {
	Name string `json:"name"`
}

const grammarComment = "Colours for sketches of barover, *.motion. Written by `barover words --grammar` from the table that the reader of " +
	"sketches uses; do not edit it. Visual Studio Code: name this file in the package.json of a folder under ~/.vscode/extensions, " +
	"contributes.grammars, with language motion and scopeName source.motion. Sublime Text and TextMate: put it into a package or " +
	"bundle as it is. Problem lists find messages by " + problemPattern

const (
	nameForm   = `[\p{L}][\p{L}\p{N}_]*`
	numberForm = `(?:(?:\d+[ \t]+)?\d+/\d+|(?:\d+[ \t]*)?[¼½¾⅛⅜⅝⅞]|(?:\d+(?:\.\d+)?|\.\d+)(?:[eE][+-]?\d+)?)`
)

// grammar is the grammar of the whole language.
func grammar() ([]byte, error) {
	g := grammarFile{Comment: grammarComment, Name: "barover sketch", ScopeName: "source.motion", FileTypes: []string{"motion"}}
	// A pattern with groups has names for the groups, any other a name for the whole.
	rule := func(match string, names ...string) {
		r := grammarRule{Match: match}
		if !strings.Contains(strings.ReplaceAll(match, "(?:", ""), "(") {
			r.Name = names[0]
		} else {
			r.Captures = map[string]grammarScope{}
			for i, n := range names {
				r.Captures[string(rune('1'+i))] = grammarScope{n}
			}
		}
		g.Patterns = append(g.Patterns, r)
	}
	const keyword, gives = "keyword.control.motion", "entity.name.type.motion"
	w := grammarWords()
	rule(`#.*$`, "comment.line.number-sign.motion")
	rule("("+numberForm+")("+oneOf(w.units)+")?", "constant.numeric.motion", "keyword.other.unit.motion")
	rule(`"[^"]*(?:"|$)`, "string.quoted.double.motion")
	rule("^("+oneOf(w.profiles)+`)[ \t]+(`+nameForm+`)\.(`+nameForm+")", keyword, "entity.name.section.motion", gives)
	rule("^("+oneOf(w.naming)+`)[ \t]+(`+nameForm+")", keyword, gives)
	rule(`^(paper)[ \t]+(`+oneOf(w.sizes)+`)\b`, keyword, "constant.language.motion")
	rule("^("+oneOf(w.statements)+`)\b`, keyword)
	rule(`\b(`+oneOf(w.functions)+`)[ \t]*(\()`, "support.function.motion", "punctuation.section.parens.motion")
	rule(`\b(`+oneOf(w.shapes)+`)\b`, "support.type.motion")
	rule(`\b(pi|frame)\b`, "constant.language.motion")
	rule(`\b(`+oneOf(w.between)+`)\b`, "keyword.other.motion")
	rule(`\+/-|[-+*/^=±:]`, "keyword.operator.motion")
	rule(nameForm, "variable.other.motion")
	return inJSON(g)
}

// sortedWords are the words of the language by their place in a statement.
type sortedWords struct {
	statements []string // first in a statement
	naming     []string // those of them that a new name follows
	profiles   []string // those that PART.NAME follows
	sizes      []string // of paper
	shapes     []string
	functions  []string
	units      []string
	between    []string // elsewhere in a statement
}

func grammarWords() (w sortedWords) {
	put := func(list *[]string, word string) {
		if !slices.Contains(*list, word) {
			*list = append(*list, word)
		}
	}
	for _, s := range syntax.Words() {
		put(&w.statements, s.Word)
		for _, f := range s.Forms {
			switch rest := strings.TrimPrefix(f.Form, s.Word+" "); {
			case strings.HasPrefix(rest, "NAME"):
				put(&w.naming, s.Word)
			case strings.HasPrefix(rest, "PART.NAME"):
				put(&w.profiles, s.Word)
			}
			for _, word := range wordsOf(f.Form)[1:] {
				put(&w.between, word)
			}
			for _, size := range sizePattern.FindAllString(f.Form, -1) {
				put(&w.sizes, size)
			}
		}
	}
	for _, s := range syntax.Shapes() {
		put(&w.shapes, s.Word)
		for _, f := range s.Forms {
			for _, word := range wordsOf(f.Form)[1:] {
				put(&w.between, word)
			}
		}
	}
	for _, f := range syntax.Functions() {
		put(&w.functions, f.Name)
	}
	for _, u := range syntax.UnitForms() {
		put(&w.units, u.Form)
	}
	return w
}

var sizePattern = regexp.MustCompile(`\bA\d\b`)

// oneOf is the pattern of any of these words. A longer word comes before one that it begins with.
func oneOf(words []string) string {
	sorted := slices.Clone(words)
	slices.SortFunc(sorted, func(a, b string) int { return strings.Compare(b, a) })
	return strings.Join(sorted, "|")
}
