package main

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"barover/render/report"
	"barover/solver/trial/draws"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

// comparison is what tests look at of `compare --json`.
type comparison struct {
	Dims   []struct{ Name string }
	Checks []struct {
		Line          int
		Kind, A, B    string
		Before, After *float64
		OKBefore      bool `json:"ok_before"`
		OKAfter       bool `json:"ok_after"`
		Because       []struct {
			Dim   string
			Share float64
		}
		Together *float64
	}
	Came, Went []struct{ Kind, A, B string }
	Measures   []struct{ Name string }
	Marks      []struct{ Name string }
}

// Every example compared with itself differs in nothing.
func TestExamplesCompareWithThemselves(t *testing.T) {
	for _, name := range []string{"tansy", "harrow-mere"} {
		var c comparison
		path := filepath.Join("../../examples", name+".motion")
		if status := said(t, &c, "compare", path, path, "--json"); status != report.AllHolds {
			t.Errorf("%s: status %d", name, status)
		}
		if n := len(c.Dims) + len(c.Checks) + len(c.Came) + len(c.Went) + len(c.Measures) + len(c.Marks); n != 0 {
			t.Errorf("%s: %d things differ: %+v", name, n, c)
		}
	}
}

// In a whole engine with several changes at once the shares and what is left come to the whole change of each check.
func TestSharesInAWholeEngine(t *testing.T) {
	text, err := os.ReadFile("../../examples/tansy.motion")
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "tansy.motion")
	made := "\nmade rod_centres = 4.99\nmade trunk_bore = 1.2\nplan bed_lip_y = -15/16\nmade big_thick = 10mm\n"
	if err := os.WriteFile(path, append(text, made...), 0o644); err != nil {
		t.Fatal(err)
	}
	var c comparison
	said(t, &c, "compare", path, "--json")
	if len(c.Dims) != 4 || len(c.Checks) < 20 {
		t.Errorf("%d dimensions and %d checks changed; want 4, and most checks", len(c.Dims), len(c.Checks))
	}
	for _, d := range c.Checks {
		if d.Before == nil || d.After == nil {
			continue
		}
		sum := *d.Together
		for _, s := range d.Because {
			sum += s.Share
		}
		if !(math.Abs(sum-(*d.After-*d.Before)) <= 1e-9) {
			t.Errorf("line %d %s %s: shares come to %v, the change is %v", d.Line, d.A, d.B, sum, *d.After-*d.Before)
		}
	}
}

// shuffled is a small engine, statement by statement.
var shuffled = []string{
	`title "Sill mill"`, "units mm", "dim throw = 22", "dim rod = 133", "dim cyl_out = 31.5", "dim rod_thick = 5",
	"dim pin = cyl_out - 14", "dim half = 9.5", "turn crank = 0 to 360 step 10", "point shaft at 0, 0", "point crankpin",
	"point crosspin near 150, 0", "line bore through shaft heading 0", "length shaft crankpin = throw", "angle shaft crankpin = crank",
	"length crankpin crosspin = rod", "slide crosspin on bore", "part crank from shaft to crankpin",
	"part conrod from crankpin to crosspin", "profile conrod.shank centred cyl_out thick rod_thick\n   strip crankpin to crosspin wide 13 to 9",
	"profile conrod.eye centred cyl_out thick rod_thick\n   disc crosspin dia 14", "profile crank.web from 10 thick 12\n   disc crankpin dia 20",
	"profile frame.bars centred cyl_out thick 9\n   box 118, half to 180, half + 5", "profile frame.post centred cyl_out thick 9\n   disc 70, 32 dia 6",
	"clear conrod frame by 0.5", "clear all by 0.2", "gap conrod.shank crank.web at least 2", "keep pin + 14 - cyl_out above -0.1 below 0.1",
	"keep x(crosspin) above 110", "measure piston = x(crosspin)", "measure lean = heading(crankpin, crosspin)",
	"mark half_way when piston rises past 133 showing lean",
}

// later is the same engine after some changes.
func later() []string {
	out := slices.Clone(shuffled)
	for i, s := range out {
		switch s {
		case "dim rod = 133":
			out[i] = "dim rod = 132.5"
		case "keep x(crosspin) above 110":
			out[i] = "keep x(crosspin) above 109"
		case "measure lean = heading(crankpin, crosspin)":
			out[i] = s + "\nplan cyl_out = 32.5\nmade rod_thick = 4.65\nmade pin = 17.5\nkeep y(crosspin) below 1"
		}
	}
	return out
}

// The order of the lines of either sketch changes nothing that is said but the numbers of the lines.
func TestOrderOfLines(t *testing.T) {
	folder := t.TempDir()
	written := func(name string, lines []string) string {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, []byte(strings.Join(lines, "\n")+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	whole := func(t testing.TB, a, b []string) any {
		var out any
		said(t, &out, "compare", written("old.motion", a), written("new.motion", b), "--json")
		return withoutLines(out)
	}
	want := whole(t, shuffled, later())
	if text, _ := json.Marshal(want); !strings.Contains(string(text), "half_way") || !strings.Contains(string(text), "pin + 14 - cyl_out") {
		t.Errorf("not all that changed is told: %s", text)
	}
	for k := range draws.Of(100) {
		rng, a, b := rand.New(rand.NewPCG(*seed, uint64(k))), slices.Clone(shuffled), later()
		rng.Shuffle(len(a), func(i, j int) { a[i], a[j] = a[j], a[i] })
		rng.Shuffle(len(b), func(i, j int) { b[i], b[j] = b[j], b[i] })
		if diff := cmp.Diff(want, whole(t, a, b), cmpopts.EquateApprox(0, 1e-7)); diff != "" {
			t.Fatalf("seed %d, draw %d, (-want +got):\n%s\nold:\n%s\nnew:\n%s", *seed, k, diff, strings.Join(a, "\n"), strings.Join(b, "\n"))
		}
	}
}

// withoutLines takes the numbers of the lines out of what was said.
func withoutLines(v any) any {
	switch v := v.(type) {
	case map[string]any:
		delete(v, "line")
		for _, x := range v {
			withoutLines(x)
		}
	case []any:
		for _, x := range v {
			withoutLines(x)
		}
	}
	return v
}
