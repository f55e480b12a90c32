package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// referenceFolder has sketches of published examples and theorems, and the table of what they come to.
const referenceFolder = "../../testdata/reference"

// expectation is one row of the table.
type expectation struct {
	line                 int // of the table, from 1
	row, sketch, options string
	verb, turn, what     string
	want, tolerance      float64
	source, seen         string
	hasTurn              bool
	turnValue            float64
}

func readExpectations(t *testing.T) []expectation {
	t.Helper()
	f, err := os.Open(filepath.Join(referenceFolder, "expected.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	number := func(s string) float64 {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	var out []expectation
	for i, r := range records[1:] {
		e := expectation{line: i + 2, row: r[0], sketch: r[1], options: r[2], verb: r[3], turn: r[4], what: r[5],
			want: number(r[6]), tolerance: number(r[7]), source: r[8], seen: r[9]}
		if e.hasTurn = r[4] != ""; e.hasTurn {
			e.turnValue = number(r[4])
		}
		if e.source == "" || e.seen == "" {
			t.Errorf("line %d: a published value must say where it comes from and how far that was seen", e.line)
		}
		out = append(out, e)
	}
	return out
}

// answers is what barover says of one sketch with one set of options.
type answers struct {
	status int
	report struct {
		Broken []struct{ From, To float64 }
		Marks  []struct {
			Name      string
			At, Shows map[string]float64
		}
		Measures []struct {
			Name            string
			Least, Greatest *float64
		}
		Turn struct{ Name string }
	}
	table map[string]map[string]float64 // by turn as asked, then column
}

func ask(t *testing.T, rows []expectation) *answers {
	t.Helper()
	a := &answers{table: map[string]map[string]float64{}}
	args := append([]string{filepath.Join(referenceFolder, rows[0].sketch+".motion")}, strings.Fields(rows[0].options)...)
	text, status := barover(t, append([]string{"check", "--json"}, args...)...)
	a.status = status
	if err := json.Unmarshal([]byte(text), &a.report); err != nil {
		t.Fatal(err)
	}
	var turns []string
	for _, r := range rows {
		if r.verb == "table" && !slices.Contains(turns, r.turn) {
			turns = append(turns, r.turn)
		}
	}
	if len(turns) == 0 {
		return a
	}
	text, _ = barover(t, append([]string{"table", "--at=" + strings.Join(turns, ",")}, args...)...)
	records, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil || len(records) != len(turns)+1 {
		t.Fatalf("%d rows for %d turns, %v", len(records)-1, len(turns), err)
	}
	for i, turn := range turns {
		a.table[turn] = map[string]float64{}
		for k, name := range records[0] {
			v, err := strconv.ParseFloat(records[i+1][k], 64)
			if err != nil {
				v = math.NaN()
			}
			a.table[turn][name] = v
		}
	}
	return a
}

// barover runs a command line that must be usable, and returns what it prints and its status.
func barover(t testing.TB, args ...string) (string, int) {
	t.Helper()
	var out, errs bytes.Buffer
	status := run(context.Background(), args, &console{out: &out, err: &errs})
	if status == unusable || errs.Len() > 0 {
		t.Fatalf("barover %s: status %d\n%s", strings.Join(args, " "), status, errs.String())
	}
	return out.String(), status
}

// got is what the answers have for an expectation; NaN where they have nothing.
func (a *answers) got(e expectation) float64 {
	switch e.verb {
	case "table":
		if v, ok := a.table[e.turn][e.what]; ok {
			return v
		}
	case "exit":
		return float64(a.status)
	case "broken_from", "broken_to":
		if len(a.report.Broken) == 1 {
			b := a.report.Broken[0]
			return map[string]float64{"broken_from": b.From, "broken_to": b.To}[e.verb]
		}
	case "mark", "shows":
		return a.event(e)
	case "least", "greatest":
		for _, m := range a.report.Measures {
			if p := map[string]*float64{"least": m.Least, "greatest": m.Greatest}[e.verb]; m.Name == e.what && p != nil {
				return *p
			}
		}
	}
	return math.NaN()
}

// event is where a mark happens, or what it shows there, at the time nearest to the turn named. Where none is named it
// must happen once only.
func (a *answers) event(e expectation) float64 {
	name, shown, _ := strings.Cut(e.what, ".")
	best, at, times := math.NaN(), math.NaN(), 0
	for _, m := range a.report.Marks {
		turn := m.At[a.report.Turn.Name]
		if m.Name != name {
			continue
		}
		times++
		if times > 1 && !(math.Abs(turn-e.turnValue) < math.Abs(at-e.turnValue)) {
			continue
		}
		best, at = turn, turn
		if e.verb == "shows" {
			v, ok := m.Shows[shown]
			if best = v; !ok {
				best = math.NaN()
			}
		}
	}
	if times > 1 && !e.hasTurn {
		return math.NaN()
	}
	return best
}

// TestReference holds every row of the table against what barover says.
func TestReference(t *testing.T) {
	groups := map[string][]expectation{}
	var order []string
	used := map[string]bool{}
	for _, e := range readExpectations(t) {
		key := strings.TrimSpace(e.sketch + " " + e.options)
		if groups[key] == nil {
			order = append(order, key)
		}
		groups[key] = append(groups[key], e)
		used[e.sketch+".motion"] = true
	}
	for _, key := range order {
		t.Run(key, func(t *testing.T) {
			a := ask(t, groups[key])
			for _, e := range groups[key] {
				if got := a.got(e); !(math.Abs(got-e.want) <= e.tolerance) {
					t.Errorf("expected.csv:%d: %s: %s %s at %q is %s, want %s ± %g (%s)", e.line, e.row, e.verb, e.what, e.turn,
						digits(got), digits(e.want), e.tolerance, e.source)
				}
			}
		})
	}
	sketches, err := filepath.Glob(filepath.Join(referenceFolder, "*.motion"))
	if err != nil || len(sketches) == 0 {
		t.Fatal("no sketches", err)
	}
	for _, s := range sketches {
		if !used[filepath.Base(s)] {
			t.Errorf("no row of the table speaks of %s", filepath.Base(s))
		}
	}
}

func digits(v float64) string { return fmt.Sprintf("%.12g", v) }
