package main

import (
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"barover/examples/start"
	"barover/render/report"
	"barover/sketch/syntax"
)

// promise is the first line of a starter: the dimension, the value, and that something fouls.
var promise = regexp.MustCompile(`^With (\w+) = (-?[\d.]+) .* fouls? .*\.$`)

// TestStarters begins from every starter: it holds, is proved and laid out, and fouls as its first line says.
func TestStarters(t *testing.T) {
	list, err := start.All()
	if err != nil || len(list) < 8 {
		t.Fatalf("%d starters: %v", len(list), err)
	}
	folder := t.TempDir()
	for _, s := range list {
		t.Run(s.Name, func(t *testing.T) {
			if laid, messages := syntax.Tidy(s.Name, s.Text); len(messages) > 0 || laid != s.Text {
				t.Errorf("not in the standard layout, or %d mistakes", len(messages))
			}
			path := filepath.Join(folder, s.Name+".motion")
			if err := os.WriteFile(path, []byte(s.Text), 0o666); err != nil {
				t.Fatal(err)
			}
			a := checkExample(t, path)
			if a.status != report.AllHolds || len(a.Marks) == 0 {
				t.Errorf("status %d and %d marks, want all to hold and some", a.status, len(a.Marks))
			}
			for _, c := range a.Checks {
				if c.Sure != "proved" {
					t.Errorf("%s %s %s is %s", c.Kind, c.A, c.B, c.Sure)
				}
			}
			m := promise.FindStringSubmatch(s.Promise)
			if m == nil {
				t.Fatalf("the first line promises nothing: %q", s.Promise)
			}
			worse := checkExample(t, path, "--set", m[1]+"="+m[2])
			fouls := false
			for _, c := range worse.Checks {
				fouls = fouls || c.Kind == "clear" && c.Least != nil && *c.Least < 0
			}
			if worse.status != report.FallsShort || !fouls {
				t.Errorf("with %s=%s status %d, and something fouls: %v", m[1], m[2], worse.status, fouls)
			}
		})
	}
}
