package main

import (
	"go/ast"
	"go/parser"
	gotoken "go/token"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// tells is how an error of the command line says what to write or do instead, or passes on one that does.
var tells = regexp.MustCompile(`\b(write|name|give|choose|leave out|takes?|go(es)? with|from 1 to|did you mean|lists|barover %s|ends in|either|begin)\b|%w`)

// silent are the errors that need not say what to write, each with the reason.
var silent = map[string]string{
	"stopped":                    "the user stopped it",
	"there is no %s %s: %s":      "what is behind the colon says it",
	"%s has no dimension %s%s":   "what is last names the nearest",
	"%s":                         "it is a message of the sketch",
	"there is nothing in it yet": "the file is being saved",
	"a mistake in barover itself, not in the sketch: %v": "nothing written mends it",
}

// Every error of the command line says what to write instead.
func TestErrorsSayWhatToWrite(t *testing.T) {
	found := 0
	for _, name := range goFiles(t) {
		file, err := parser.ParseFile(gotoken.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok || len(call.Args) == 0 {
				return true
			}
			of, ok := call.Fun.(*ast.SelectorExpr)
			text, isText := call.Args[0].(*ast.BasicLit)
			if !ok || !isText || of.Sel.Name != "Errorf" && !(of.Sel.Name == "New" && of.X.(*ast.Ident).Name == "errors") {
				return true
			}
			said, err := strconv.Unquote(text.Value)
			if err != nil {
				t.Fatal(err)
			}
			found++
			if silent[said] == "" && !tells.MatchString(said) {
				t.Errorf("%s: %q does not say what to write instead", name, said)
			}
			return true
		})
	}
	if found < 50 {
		t.Errorf("%d errors found: the test looks in the wrong place", found)
	}
}

// goFiles lists the files of this package that are no tests.
func goFiles(t *testing.T) (list []string) {
	t.Helper()
	all, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range all {
		if strings.HasSuffix(f.Name(), ".go") && !strings.HasSuffix(f.Name(), "_test.go") {
			list = append(list, f.Name())
		}
	}
	return list
}
