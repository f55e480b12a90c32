package main

import (
	"encoding/json"
	"errors"
	"io"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// allowed says which of the house's parts may import which others. A part may always import packages of its own. Answers in words
// are a part by themselves: they alone of what renders know the sketch, for its units, names and lines.
var allowed = map[string][]string{
	"cmd":      {"report", "sketch", "solver", "render", "examples"},
	"sketch":   {"solver"},
	"render":   {"solver"},
	"report":   {"render", "sketch", "solver"},
	"solver":   {},
	"examples": {},
}

// floors are the solver's rooms from the ground up. None imports one that stands above it.
var floors = []string{"plane", "spare", "queue", "expr", "schedule", "outline", "taylor", "position", "linkage", "tube", "sums", "clearance", "", "hunt", "engine",
	"machine", "change", "seek", "field", "mend", "spread"}

// floorOf is how high a room of the solver stands; false for one that only tests use, and for what is no room of it.
func floorOf(path string) (int, bool) {
	if path == "barover/solver" {
		return slices.Index(floors, ""), true
	}
	room, ok := strings.CutPrefix(path, "barover/solver/")
	i := slices.Index(floors, room)
	return i, ok && i >= 0
}

// listed is what `go list -json` says of a package, as far as it is wanted here.
type listed struct {
	ImportPath                         string
	Imports, TestImports, XTestImports []string
}

// TestArrows makes sure that the parts of the house import one another one way only, tests included.
func TestArrows(t *testing.T) {
	cmd := exec.Command("go", "list", "-json=ImportPath,Imports,TestImports,XTestImports", "barover/...")
	cmd.Dir = "../.."
	b, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	seen := map[string]int{}
	for d := json.NewDecoder(strings.NewReader(string(b))); ; {
		var p listed
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		from := partOf(p.ImportPath)
		if _, ok := allowed[from]; !ok {
			t.Errorf("%s is in no part of the house", p.ImportPath)
			continue
		}
		seen[from]++
		if own, ok := floorOf(p.ImportPath); ok {
			for _, i := range p.Imports {
				if other, ok := floorOf(i); ok && other >= own {
					t.Errorf("%s imports %s, which stands above it", p.ImportPath, i)
				}
			}
		} else if from == "solver" && !strings.HasPrefix(p.ImportPath, "barover/solver/trial") {
			t.Errorf("%s has no floor", p.ImportPath)
		}
		for _, imports := range [][]string{p.Imports, p.TestImports, p.XTestImports} {
			for _, i := range imports {
				if to := partOf(i); to != "" && to != from && !slices.Contains(allowed[from], to) {
					t.Errorf("%s imports %s: %s must not know of %s", p.ImportPath, i, from, to)
				}
			}
		}
	}
	for part := range allowed {
		if seen[part] == 0 {
			t.Errorf("no package of %s was seen", part)
		}
	}
}

// partOf is the part of the house that an import path belongs to; "" for what is not ours.
func partOf(path string) string {
	rest, ok := strings.CutPrefix(path, "barover/")
	if !ok {
		return ""
	}
	if rest == "render/report" || strings.HasPrefix(rest, "render/report/") {
		return "report"
	}
	part, _, _ := strings.Cut(rest, "/")
	return part
}
